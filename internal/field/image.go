package field

import (
	"math"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Image is a total-focusing image: every pair of a transmitting and a receiving
// source is focused at each place, over so many legs out and back.
type Image struct {
	send, hear *Sources
	out, back  int
	span       Span
	depth      float64 // for which best was computed
	best       float64
	there      []complex128
	home       []complex128
	weights    [2][]complex128
}

// Span is where a hole may stand while the gain of an image is set: between two
// places along the surface, and met by the ray from the middle of the aperture
// within a range of refracted angles, out and back.
type Span struct {
	Near, Far si.Length
	From, To  si.Angle
}

// Image returns the image that the sources form, out and back on the last of so
// many legs.
func (m *Model) Image(elements []ray.Element, out, back int, span Span) *Image {
	im := &Image{send: m.Sources(elements), out: out, back: back, span: span, depth: math.NaN()}
	im.hear = im.send
	if out != back {
		im.hear = m.Sources(elements)
	}
	im.weights[0], im.weights[1] = make([]complex128, len(elements)), make([]complex128, len(elements))
	return im
}

// Hole returns the echo of a side-drilled hole, or of any reflector that sends
// back alike in all directions, against that of one at the same depth where it
// is highest in the span. That is what is left of the echo after a gain over
// depth has been set on holes, each shown where it is seen best.
//
// Valid: as Beam.Hole, at depths at which the span holds a place; sources that all transmit, or evenly spaced ones of them.
// Source: the sum over all pairs, which are in phase at the place in focus.
func (im *Image) Hole(p Point) si.Decibel {
	if !im.send.model.ok {
		return si.Unknown[si.Decibel]()
	}
	return decibels(im.pairs(p) / im.atBest(p.Z))
}

// pairs is the sum of the amplitudes of all pairs.
func (im *Image) pairs(p Point) float64 {
	sent, heard := 0.0, 0.0
	for _, a := range im.send.send(p, im.out) {
		sent += a.amplitude
	}
	for _, a := range im.hear.send(p, im.back) {
		heard += a.amplitude
	}
	return sent * heard
}

// atBest is the highest sum at a depth, over places of the span; NaN where it
// holds none.
func (im *Image) atBest(z si.Length) float64 {
	const places = 16
	if float64(z) == im.depth {
		return im.best
	}
	im.depth, im.best = float64(z), math.NaN()
	near, far := im.places(z)
	for i := range places + 1 {
		x := near + (far-near)*si.Length(i)/places
		if sum := im.pairs(Point{x, z}); near <= far && !(sum <= im.best) {
			im.best = sum
		}
	}
	return im.best
}

// places is the part of the span at a depth.
func (im *Image) places(z si.Length) (near, far si.Length) {
	m, c := im.send.model, im.send.centre
	near, far = im.span.Near, im.span.Far
	for _, legs := range []int{im.out, im.back} {
		depth := ray.Unfold(legs, z, m.Thickness)
		at := func(angle si.Angle) si.Length {
			incidence := math.Asin(angle.Sin() * m.wedge / m.part)
			return c.X + c.Height*si.Length(math.Tan(incidence)) + depth*si.Length(angle.Tan())
		}
		near, far = max(near, at(im.span.From)), min(far, at(im.span.To))
	}
	return near, far
}

// Facet returns the echo of a strip with its middle at a place, against that of
// the hole, as Hole.
//
// Valid: as Hole and Beam.Facet.
// Source: as Beam.Facet, with the fields of transmission and reception.
func (im *Image) Facet(p Point, f Facet) si.Decibel {
	m := im.send.model
	if !m.ok || !f.known() {
		return si.Unknown[si.Decibel]()
	}
	best := im.atBest(p.Z)
	n := m.nodes(&f)
	im.there, im.home = sized(im.there, n), sized(im.home, n)
	there, home := im.send.send(p, im.out), im.hear.send(p, im.back)
	for i := range there {
		im.weights[0][i], im.weights[1][i] = complex(there[i].amplitude, 0), complex(home[i].amplitude, 0)
	}
	m.along(im.there, &f, there, im.weights[0])
	m.along(im.home, &f, home, im.weights[1])
	return decibels(m.answer(&f, im.there, im.home, there, home) / (f.hole() * best))
}
