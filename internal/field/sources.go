package field

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Sources is an aperture that sends over given legs, with the waves that it last
// sent to a place, which the beams and images that it forms share.
type Sources struct {
	model    *Model
	elements []ray.Element
	legs     []acoustics.Wave
	centre   ray.Element
	last     si.Speed // of the wave that comes to a place
	kept     *keptTable
	up       bool // the last leg goes up
	ok       bool

	damped bool // attenuation counts

	at       Point
	crossed  []crossing // down to the place
	rows     []ray.Row
	arrivals []arrival
	total    float64 // of the amplitudes

	crossings []crossing // store of down
}

// Sources returns an aperture of the given sources, whose sound goes over the
// legs, each of its own kind of wave, from the probe on.
func (m *Model) Sources(elements []ray.Element, legs ...acoustics.Wave) *Sources {
	s := &Sources{
		model: m, elements: elements, legs: legs, up: len(legs)%2 == 0, ok: m.ok && len(elements) > 0 && len(legs) > 0,
		at: Point{si.Unknown[si.Length](), si.Unknown[si.Length]()}, rows: make([]ray.Row, len(elements)), arrivals: make([]arrival, len(elements)),
	}
	for _, e := range elements {
		s.centre.X += e.X / si.Length(len(elements))
		s.centre.Height += e.Height / si.Length(len(elements))
	}
	for i := range m.Part.Strata {
		for _, wave := range legs {
			s.ok = s.ok && m.speed(i, wave) > 0 && m.Part.Strata[i].Thickness > 0
		}
	}
	s.ok = s.ok && m.Part.Base >= 0 && m.Part.Base < len(m.Part.Strata)
	if s.ok {
		s.last = si.Speed(m.part[legs[len(legs)-1]])
		s.kept = m.kept(legs, m.Part.Base)
		s.damped = m.InWedge > 0 || m.damp[0] > 0 || m.damp[1] > 0
	}
	return s
}

// crossing is how much of the part's depth is crossed as one kind of wave, in one
// stratum.
type crossing struct {
	stratum int
	wave    acoustics.Wave
	speed   si.Speed
	depth   si.Length
}

// down lists what is crossed to a depth on the last leg, which comes last. Nothing
// is, of a depth outside the part.
func (s *Sources) down(z si.Length) []crossing {
	m, list := s.model, s.crossings[:0]
	last := ray.Unfold(2-len(s.legs)%2, z, m.thickness) // NaN outside
	if s.up {
		last -= m.thickness
	}
	for n, wave := range s.legs {
		left := m.thickness
		if n == len(s.legs)-1 {
			// On the surface a ray in the part has no length; a nanometre below it does.
			left = max(last, 1e-9)
		}
		for i := range m.Part.Strata {
			if n%2 == 1 {
				i = len(m.Part.Strata) - 1 - i
			}
			through := min(left, m.Part.Strata[i].Thickness)
			list = append(list, crossing{i, wave, m.speed(i, wave), through})
			if left -= through; !(left > 0) {
				break
			}
		}
	}
	s.crossings = list
	return list
}

// row prepares the rays of a source.
func (s *Sources) row(from ray.Element, crossed []crossing) ray.Row {
	layers := []ray.Layer{{Thickness: from.Height, Speed: si.Speed(s.model.wedge)}}
	for _, c := range crossed {
		if last := &layers[len(layers)-1]; last.Speed == c.speed && len(layers) > 1 {
			last.Thickness += c.depth // legs of one wave follow each other
			continue
		}
		layers = append(layers, ray.Layer{Thickness: c.depth, Speed: c.speed})
	}
	return ray.NewRow(layers)
}

// arrival is the wave of one source at a place.
type arrival struct {
	amplitude, time float64
	sine            float64 // of its angle from the normal of the surface
}

// send returns the waves of all sources at a place of the part. Places that
// follow each other in a row are the quickest.
func (s *Sources) send(p Point) []arrival {
	if s.at == p {
		return s.arrivals
	}
	if !(s.at.Z == p.Z) {
		s.crossed = append(s.crossed[:0], s.down(p.Z)...)
		end := s.crossed[len(s.crossed)-1]
		if s.last = end.speed; end.stratum != s.kept.stratum {
			s.kept = s.model.kept(s.legs, end.stratum)
		}
		for i, e := range s.elements {
			s.rows[i] = s.row(e, s.crossed)
		}
	}
	s.at, s.total = p, 0
	for i, e := range s.elements {
		s.arrivals[i] = s.arrive(&s.rows[i], e, s.crossed, p.X)
		s.total += s.arrivals[i].amplitude
	}
	return s.arrivals
}

// sum is the sum of the amplitudes at a place, of waves in phase.
func (s *Sources) sum(p Point) float64 {
	s.send(p)
	return s.total
}

// sendAt returns the waves of all sources where so much is crossed.
func (s *Sources) sendAt(x si.Length, crossed []crossing, list []arrival) []arrival {
	list = list[:0]
	for _, e := range s.elements {
		row := s.row(e, crossed)
		list = append(list, s.arrive(&row, e, crossed, x))
	}
	return list
}

// arrive returns the wave of one source at a place of a row.
func (s *Sources) arrive(row *ray.Row, from ray.Element, crossed []crossing, x si.Length) arrival {
	passage := row.To(x - from.X)
	a := arrival{
		time: float64(passage.Time), sine: float64(passage.Sine(s.last)),
		amplitude: s.kept.at(float64(passage.Sine(s.kept.fastest))) / float64(passage.Spread),
	}
	if s.damped {
		m := s.model
		loss := lost(float64(m.InWedge), from.Height, si.Speed(m.wedge), passage)
		for _, c := range crossed {
			if c.stratum == m.Part.Base {
				loss += lost(m.damp[c.wave], c.depth, c.speed, passage)
			}
		}
		a.amplitude *= math.Pow(10, -loss/20)
	}
	return a
}

// away is the cosine of the angle between a wave and the normal of the surface,
// negative where it goes up.
func (s *Sources) away(a *arrival) float64 {
	cosine := math.Sqrt(1 - a.sine*a.sine)
	if s.up {
		return -cosine
	}
	return cosine
}

// lost is what an attenuation takes on the way through a depth; nothing where it
// is not known.
func lost(damp float64, depth si.Length, speed si.Speed, p ray.Passage) float64 {
	if !(damp > 0 && depth > 0) {
		return 0
	}
	sine := float64(p.Sine(speed))
	return damp * float64(depth) / math.Sqrt(1-sine*sine)
}

// Aperture returns so many sources, evenly spaced as the elements of an array
// of which the centres of the first and the last are given. More than most are
// replaced by that many, each for a run of elements: what is added up varies
// slowly along the aperture.
func Aperture(first, last ray.Element, elements int) []ray.Element {
	const most = 16
	if elements < 1 {
		return nil
	}
	n := min(elements, most)
	list := make([]ray.Element, n)
	for i := range list {
		share := 0.5
		if elements > 1 {
			share = ((float64(i)+0.5)/float64(n)*float64(elements) - 0.5) / float64(elements-1)
		}
		list[i] = ray.Element{
			X:      first.X + si.Length(share)*(last.X-first.X),
			Height: first.Height + si.Length(share)*(last.Height-first.Height),
		}
	}
	return list
}
