package field

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Image is a total-focusing image: every pair of a transmitting and a receiving
// source is focused at each place, or each plane wave and receiving source.
type Image struct {
	send, hear *Sources
	span       Span
	waves      []planeWave
	wave       acoustics.Wave // that meets the reflector, out and back
	ok         bool
	fronts     si.Length // for which the fronts of the plane waves hold
	depth      si.Length // for which best was computed
	best       Point     // where the echo is highest
	most       float64   // its sum
	sent       []complex128
	heard      []complex128
	there      []complex128
	home       []complex128
}

// Span is where a hole may stand while the gain of an image is set: between two
// places along the surface, and met by the ray from the middle of the aperture
// within a range of refracted angles of the first leg, out and back.
type Span struct {
	Near, Far si.Length
	Out, Back Angles
}

// Angles is a range of refracted angles.
type Angles struct{ From, To si.Angle }

// planeWave is a wave that all sources send together into the part.
type planeWave struct {
	ray      ray.Ray   // of the first source
	slowness float64   // along the surface
	phase    []float64 // of each source, so that their waves pass the origin together
	front    float64   // when the wave passes X = 0 at the depth last asked for
}

// Image returns the image that sources form of which one aperture sends and the
// other hears, or the same does both. Both kinds of wave at the reflector are the
// same; of others nothing is known, since a hole sends back little of the other
// kind, and differently in each direction.
func (m *Model) Image(send, hear *Sources, span Span) *Image {
	im := &Image{send: send, hear: hear, span: span, fronts: si.Unknown[si.Length](), depth: si.Unknown[si.Length](), ok: send.ok && hear.ok}
	if im.ok {
		im.wave = send.course.Legs[len(send.course.Legs)-1]
		im.ok = hear.course.Legs[len(hear.course.Legs)-1] == im.wave
	}
	im.sent, im.heard = make([]complex128, len(send.elements)), make([]complex128, len(hear.elements))
	return im
}

// PlaneWaves makes all sources send plane waves of the given refracted angles,
// one after the other, in place of each source by itself. Each wave is imaged at
// the time at which it would pass without ends, as all of them are added up.
func (im *Image) PlaneWaves(angles []si.Angle) {
	if !im.ok {
		return
	}
	s := im.send
	for _, angle := range angles {
		w := planeWave{ray: s.course.Leave(s.elements[0], angle), slowness: angle.Sin() / s.model.part[s.course.Legs[0]]}
		delays := s.course.Steer(s.elements, angle)
		origin := delays[0] + w.ray.Front(1, 0, 0)
		for _, d := range delays {
			w.phase = append(w.phase, s.model.omega*float64(d-origin))
		}
		im.waves = append(im.waves, w)
	}
}

// Hole returns the echo of a side-drilled hole, or of any reflector that sends
// back alike in all directions, against that of one at the same depth where it
// is highest in the span. That is what is left of the echo after a gain over
// depth has been set on holes, each shown where it is seen best.
//
// Valid: as Beam.Hole, at depths at which the span holds a place; sources that all
// transmit, or evenly spaced ones of them, or plane waves.
// Source: the sum over all pairs, which are in phase at the place in focus.
func (im *Image) Hole(p Point) si.Decibel {
	if !im.ok {
		return si.Unknown[si.Decibel]()
	}
	return decibels(im.pairs(p) / im.atBest(p.Z))
}

// pairs is the sum of the amplitudes of all pairs.
func (im *Image) pairs(p Point) float64 {
	if len(im.waves) > 0 {
		return im.interfere(p, im.send.send(p)) * im.hear.sum(p)
	}
	return im.send.sum(p) * im.hear.sum(p)
}

// interfere weights the arrivals at a place by what all plane waves together have
// of them, and returns their sum.
func (im *Image) interfere(p Point, arrivals []arrival) float64 {
	s := im.send
	clear(im.sent)
	if im.fronts != p.Z {
		im.fronts = p.Z
		for i := range im.waves {
			w := &im.waves[i]
			w.front = float64(w.ray.Front(len(s.course.Legs), 0, p.Z) - w.ray.Front(1, 0, 0))
		}
	}
	for _, w := range im.waves {
		if math.IsNaN(w.front) {
			continue // it turns before that depth
		}
		ideal := w.slowness*float64(p.X) + w.front
		for i := range arrivals {
			sin, cos := math.Sincos(-(w.phase[i] + s.model.omega*(arrivals[i].time-ideal)))
			im.sent[i] += complex(cos, sin)
		}
	}
	var sum complex128
	for i, a := range arrivals {
		im.sent[i] *= complex(a.amplitude, 0)
		sum += im.sent[i]
	}
	return cmplx.Abs(sum)
}

// atBest is the highest sum at a depth, over places of the span; NaN where it
// holds none.
func (im *Image) atBest(z si.Length) float64 {
	const places = 16
	if z == im.depth {
		return im.most
	}
	im.depth, im.most = z, math.NaN()
	near, far := im.places(z)
	for i := range places + 1 {
		p := Point{near + (far-near)*si.Length(i)/places, z}
		if sum := im.pairs(p); near <= far && !(sum <= im.most) {
			im.best, im.most = p, sum
		}
	}
	return im.most
}

// Level returns the echo of a long side-drilled hole, square to the section, at a
// depth where it is highest in the span, as Beam.Level.
//
//	20 log₁₀ (Σ Σ a_t a_r √(r_t r_r / (r_t + r_r))), r = s + L_w c_w / c of the middle of the aperture
//
// Valid: as Hole, and as Beam.Level.
// Source: as Beam.Level; the hole mirrors the sound across the section, so that
// it spreads over both ways together.
func (im *Image) Level(z si.Length) si.Decibel {
	if !im.ok {
		return si.Unknown[si.Decibel]()
	}
	most := im.atBest(z)
	out, back := im.send.across(im.best), im.hear.across(im.best)
	return decibels(most * math.Sqrt(2*out*back/(out+back)))
}

// across is how far from a place the middle of the aperture seems to be, in the
// plane across the section.
func (s *Sources) across(p Point) float64 {
	r, _ := s.course.To(s.centre, p.X, p.Z)
	return float64(r.Across(len(s.course.Legs), p.Z))
}

// places is the part of the span at a depth.
func (im *Image) places(z si.Length) (near, far si.Length) {
	near, far = im.span.Near, im.span.Far
	for _, way := range []struct {
		s *Sources
		Angles
	}{{im.send, im.span.Out}, {im.hear, im.span.Back}} {
		near, far = max(near, way.s.run(way.From, z)), min(far, way.s.run(way.To, z))
	}
	return near, far
}

// run is where the ray of a refracted angle of the first leg from the middle of
// the aperture lies at a depth of the last; around a pipe, of the largest that
// comes there.
func (s *Sources) run(angle si.Angle, z si.Length) si.Length {
	leg := len(s.course.Legs)
	if s.course.Part.Radius != 0 {
		angle = min(angle, s.course.Limit(s.centre, leg, z))
	}
	return s.course.Leave(s.centre, angle).X(leg, z)
}

// Facet returns the echo of a strip with its middle at a place, against that of
// the hole, as Hole.
//
// Valid: as Hole and Beam.Facet.
// Source: as Beam.Facet, with the fields of transmission and reception.
func (im *Image) Facet(p Point, f Facet) si.Decibel {
	m := im.send.model
	if !im.ok || !f.known() {
		return si.Unknown[si.Decibel]()
	}
	best := im.atBest(p.Z)
	n := m.nodes(&f, im.wave)
	im.there, im.home = sized(im.there, n), sized(im.home, n)
	there, home := im.send.send(p), im.hear.send(p)
	if len(im.waves) > 0 {
		im.interfere(p, there)
	} else {
		for i := range there {
			im.sent[i] = complex(there[i].amplitude, 0)
		}
	}
	for i := range home {
		im.heard[i] = complex(home[i].amplitude, 0)
	}
	im.send.along(im.there, &f, there, im.sent)
	im.hear.along(im.home, &f, home, im.heard)
	return decibels(m.answer(&f, im.there, im.home, im.send, im.hear) / (f.hole() * best))
}
