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
	leans    []lean
	course   ray.Course
	centre   ray.Element
	up       bool // the last leg goes up
	damped   bool // attenuation counts
	ok       bool

	at Point
	depth
	rows     []ray.Row
	middle   ray.Row // from the centre
	arrivals []arrival
	total    float64 // of the amplitudes
	timed    Point   // for which time holds
	time     si.Time // from the centre
}

// depth is what is the same for all places of a depth.
type depth struct {
	last  si.Speed // of the wave that comes there
	ratio si.Ratio // radius over that of the scan surface
	kept  *keptTable
}

// lean is how an element stands around a pipe: the angle between its normal and
// the radius through it, and its own radius over that of the scan surface.
type lean struct{ sin, cos, radius float64 }

// Sources returns an aperture of the given sources, whose sound goes over the
// legs, each of its own kind of wave, from the probe on.
func (m *Model) Sources(elements []ray.Element, legs ...acoustics.Wave) *Sources {
	nowhere := Point{si.Unknown[si.Length](), si.Unknown[si.Length]()}
	s := &Sources{
		model: m, elements: elements, up: len(legs)%2 == 0, ok: m.ok && len(elements) > 0 && len(legs) > 0,
		course: ray.Course{Wedge: si.Speed(m.wedge), Coating: m.Coating, Part: m.Part, Legs: legs},
		at:     nowhere, timed: nowhere, rows: make([]ray.Row, len(elements)), arrivals: make([]arrival, len(elements)),
	}
	s.centre = m.middle(elements)
	for _, e := range elements {
		if r := m.Part.Radius; r != 0 {
			sin, cos := math.Sincos(float64(m.Tilt) + float64((e.X-m.Touch)/r))
			s.leans = append(s.leans, lean{sin, cos, float64(1 + (e.Height+m.Coating.Thickness)/r)})
		}
	}
	for i := range m.Part.Strata {
		for _, wave := range legs {
			s.ok = s.ok && m.speed(i, wave) > 0 && m.Part.Strata[i].Thickness > 0
		}
	}
	s.ok = s.ok && m.Part.Base >= 0 && m.Part.Base < len(m.Part.Strata)
	if s.ok {
		s.damped = m.InWedge > 0 || m.damp[0] > 0 || m.damp[1] > 0
		s.depth = s.depthOf(len(legs), 0)
	}
	return s
}

// arrival is the wave of one source at a place.
type arrival struct {
	amplitude, time float64
	sine            float64 // of its angle from the normal of the surface there
}

// send returns the waves of all sources at a place of the part. Places that
// follow each other in a row are the quickest.
func (s *Sources) send(p Point) []arrival {
	if s.at == p {
		return s.arrivals
	}
	if !(s.at.Z == p.Z) {
		leg, z := len(s.course.Legs), s.model.within(p.Z)
		s.depth = s.depthOf(leg, z)
		for i, e := range s.elements {
			s.rows[i] = s.course.Row(e, leg, z)
		}
		s.middle = s.course.Row(s.centre, leg, z)
	}
	s.at, s.total = p, 0
	for i := range s.elements {
		s.arrivals[i] = s.arrive(&s.rows[i], i, p.X, &s.depth)
		s.total += s.arrivals[i].amplitude
	}
	if s.total == 0 { // nothing comes so far round a pipe
		s.total = math.NaN()
		for i := range s.arrivals {
			s.arrivals[i].amplitude = math.NaN()
		}
	}
	return s.arrivals
}

// within is a depth of the part; unknown outside, but for float noise.
func (m *Model) within(z si.Length) si.Length {
	noise := 1e-9 * m.thickness
	if !(z >= -noise && z <= m.thickness+noise) {
		return si.Unknown[si.Length]()
	}
	return min(max(z, 0), m.thickness)
}

// depthOf is a depth on a leg, which may be one more than sound is sent over.
func (s *Sources) depthOf(leg int, z si.Length) depth {
	m, legs := s.model, s.course.Legs
	stratum, lower := len(m.Part.Strata)-1, si.Length(0)
	for i := range m.Part.Strata {
		if lower += m.Part.Strata[i].Thickness; z < lower || leg%2 == 1 && z == lower {
			stratum = i
			break
		}
	}
	d := depth{last: m.speed(stratum, legs[min(leg, len(legs))-1]), ratio: 1, kept: s.kept}
	if m.Part.Radius != 0 {
		d.ratio = si.Ratio(1 - z/m.Part.Radius)
	}
	if d.kept == nil || stratum != d.kept.stratum {
		d.kept = m.kept(legs, stratum)
	}
	return d
}

// sum is the sum of the amplitudes at a place, of waves in phase.
func (s *Sources) sum(p Point) float64 {
	s.send(p)
	return s.total
}

// sinceCentre is the time of the ray from the centre to the place last sent to.
func (s *Sources) sinceCentre() si.Time {
	if s.timed != s.at {
		s.timed, s.time = s.at, s.middle.To(s.at.X-s.centre.X).Time
	}
	return s.time
}

// arrive returns the wave of a source at a place of its row. Around a pipe a
// source that does not see the place sends nothing there.
func (s *Sources) arrive(row *ray.Row, source int, x si.Length, d *depth) arrival {
	passage := row.To(x - s.elements[source].X)
	a := arrival{
		time: float64(passage.Time), sine: float64(passage.Sine(d.last)),
		amplitude: d.kept.at(float64(passage.Sine(d.kept.fastest))) / float64(passage.Spread),
	}
	if s.leans != nil {
		if !si.Known(passage.Time) && si.Known(x) && si.Known(d.ratio) {
			return arrival{}
		}
		a.sine /= float64(d.ratio)
		a.amplitude *= s.sent(&s.leans[source], passage)
	}
	if s.damped {
		m, ways := s.model, row.Ways(passage)
		loss := lost(float64(m.InWedge), ways.Wedge) + lost(m.damp[acoustics.Longitudinal], ways.Longitudinal) + lost(m.damp[acoustics.Transverse], ways.Transverse)
		a.amplitude *= math.Pow(10, -loss/20)
	}
	return a
}

// sent is what an element around a pipe sends along a ray.
func (s *Sources) sent(l *lean, passage ray.Passage) float64 {
	sine := float64(passage.Sine(s.course.Wedge)) / l.radius
	cosine := math.Sqrt(1 - sine*sine)
	if !(cosine*l.cos+sine*l.sin > 0) {
		return 0
	}
	return s.model.element.at(sine*l.cos - cosine*l.sin)
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

// middle is the middle of the array, which is straight in the plane.
func (m *Model) middle(elements []ray.Element) ray.Element {
	var along, up si.Length
	for _, e := range elements {
		u, v := m.apart(elements[0], e)
		along, up = along+u/si.Length(len(elements)), up+v/si.Length(len(elements))
	}
	if len(elements) == 0 {
		return ray.Element{}
	}
	return m.moved(elements[0], along, up)
}

// apart returns how far in the plane of the section one place lies from another,
// along the surface at the first and square to it. A place in the part has a
// negative height.
//
//	u = (R + h') sin(ΔX / R), v = (R + h') cos(ΔX / R) − R − h
//
// Source: geometry of a circle.
func (m *Model) apart(from, to ray.Element) (along, up si.Length) {
	along, up = to.X-from.X, to.Height-from.Height
	if r := m.Part.Radius; r != 0 {
		turn, from := float64(along/r), float64(r+to.Height+m.Coating.Thickness)
		half := math.Sin(turn / 2)
		along, up = si.Length(from*math.Sin(turn)), up-si.Length(2*from*half*half)
	}
	return along, up
}

// moved is the inverse of apart.
func (m *Model) moved(from ray.Element, along, up si.Length) ray.Element {
	to := ray.Element{X: from.X + along, Height: from.Height + up}
	if r := float64(m.Part.Radius); r != 0 {
		above, u := r+float64(to.Height+m.Coating.Thickness), float64(along)
		to.X = from.X + si.Length(r*math.Atan(u/above))
		to.Height += si.Length(math.Copysign(u*u/(math.Hypot(u, above)+math.Abs(above)), r))
	}
	return to
}

// lost is what an attenuation takes on a way; nothing where it is not known.
func lost(damp float64, way si.Length) float64 {
	if !(damp > 0 && way > 0) {
		return 0
	}
	return damp * float64(way)
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
