package field

import (
	"math"
	"math/cmplx"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Beam is an aperture with the delays of one law. It transmits and receives.
type Beam struct {
	sources *Sources
	delays  []float64
	course  ray.Course // of the sources, and more legs of the same wave
	ray     ray.Ray    // from the aperture's centre
	leg     ray.Leg    // the last of those over which the sources send
	entry   si.Time    // of the ray into the part
	wave    acoustics.Wave
	speed   float64   // of the wave in the base metal
	axis    []float64 // field on the axis at every so far a sound path; NaN where not yet asked for
	weight  []complex128
	strip   []complex128
	list    []arrival
	ok      bool
}

// step is the distance between the places of the axis at which a beam's field
// is computed.
const step = 2e-3

// beyond is over how many legs more than are sent over a beam's axis is followed.
const beyond = 40

// Beam returns the beam of a refracted angle, focused at a sound path in the
// part, or plane in the wedge where that is unknown. Its legs are of one kind of
// wave; of others nothing is known, and nothing where its ray turns before the
// last.
func (s *Sources) Beam(angle si.Angle, focus si.Length) *Beam {
	m, legs := s.model, s.course.Legs
	b := &Beam{sources: s, course: s.course, weight: make([]complex128, len(s.elements)), delays: make([]float64, len(s.elements))}
	if b.ok = s.ok && len(slices.Compact(slices.Clone(legs))) == 1; !b.ok {
		return b
	}
	b.wave, b.speed = legs[0], m.part[legs[0]]
	b.course.Legs = ray.Waves(b.wave, len(legs)+beyond)
	b.ray = b.course.Leave(s.centre, angle)
	b.entry = b.ray.Time(1, 0)
	b.leg = b.ray.Leg(len(legs))
	b.ok = si.Known(b.ray.X(len(legs), b.course.Wall(len(legs)-1)))
	if !si.Known(focus) {
		b.steer()
		return b
	}
	leg, x, z := b.ray.Along(focus)
	way := b.course
	way.Legs = way.Legs[:leg]
	for i, t := range way.Focus(s.elements, x, z) {
		b.delays[i] = float64(t)
	}
	return b
}

// steer makes the delays even along the array: those of a plane wave in the wedge,
// which goes as the ray from its centre does.
//
//	u sin θ / c − v cos θ / c, u and v the place of an element beside the centre
func (b *Beam) steer() {
	s := b.sources
	sin, cos := math.Sincos(float64(b.ray.AtElement()))
	speed := float64(b.course.AtElement(s.centre))
	for i, e := range s.elements {
		along, up := s.model.apart(s.centre, e)
		b.delays[i] = (float64(along)*sin - float64(up)*cos) / speed
	}
}

// Axis returns where the beam's axis lies at the depth of a place; infinitely far
// where no ray comes there.
func (b *Beam) Axis(z si.Length) si.Length {
	if x := b.leg.X(z); si.Known(x) || !si.Known(b.sources.model.within(z)) {
		return x
	}
	return si.Length(math.Inf(1))
}

// Hole returns the echo of a side-drilled hole, or of any reflector that sends
// back alike in all directions, against that of one on the axis of the beam, on
// the same leg and at the same time of the central ray. That is what is left of
// the echo after time-corrected gain from holes at every path.
//
// Valid: places in the part; NaN elsewhere, and of media that are not known.
// Source: sum over the aperture of the rays of the package's comment; Rayleigh's
// integral and the far field of a strip in field_test.go.
func (b *Beam) Hole(p Point) si.Decibel {
	if !b.ok {
		return si.Unknown[si.Decibel]()
	}
	field := cmplx.Abs(b.field(b.sources.send(p)))
	return 2 * decibels(field/b.onAxis())
}

// Facet returns the echo of a strip with its middle at a place, against that of
// the hole, as Hole.
//
// Valid: as Hole; strips over which a wave from one source is nearly plane:
// h² ≪ 4 λ s.
// Source: Kirchhoff's integral over the strip, of free faces met at the angle of
// the mean ray; facet_test.go.
func (b *Beam) Facet(p Point, f Facet) si.Decibel {
	m := b.sources.model
	if !b.ok || !f.known() {
		return si.Unknown[si.Decibel]()
	}
	arrivals := b.sources.send(p)
	b.field(arrivals)
	b.strip = sized(b.strip, m.nodes(&f, b.wave))
	b.sources.along(b.strip, &f, arrivals, b.weight)
	axis := b.onAxis()
	return decibels(m.answer(&f, b.strip, b.strip, b.sources, b.sources) / (f.hole() * axis * axis))
}

func sized(s []complex128, n int) []complex128 {
	if len(s) != n {
		return make([]complex128, n)
	}
	return s
}

// field adds the waves of all sources up, each with its delay, and keeps them as
// weights.
func (b *Beam) field(arrivals []arrival) complex128 {
	var sum complex128
	for i := range arrivals {
		a := &arrivals[i]
		sin, cos := math.Sincos(-b.sources.model.omega * (a.time + b.delays[i] - b.delays[0] - arrivals[0].time))
		b.weight[i] = complex(a.amplitude*cos, a.amplitude*sin)
		sum += b.weight[i]
	}
	return sum
}

// onAxis is the amplitude on the axis at the sound path of the central ray to the
// place last sent to, read between places of the axis. In a clad part that path is
// the time, counted as a path in the base metal.
func (b *Beam) onAxis() float64 {
	path := float64(b.sources.sinceCentre()-b.entry) * b.speed
	if !(path >= 0) {
		path = 0 // before the beam's own exit, within the rounding of a ray
	}
	i := int(path / step)
	share := path/step - float64(i)
	return b.axisAt(i)*(1-share) + b.axisAt(i+1)*share
}

// axisAt is the field at a place of the axis. Where its ray turns back around a
// pipe, it stays what it was before.
func (b *Beam) axisAt(i int) float64 {
	for len(b.axis) <= i {
		b.axis = append(b.axis, math.NaN())
	}
	if math.IsNaN(b.axis[i]) {
		path := math.Max(float64(i)*step, 1e-6)
		b.axis[i] = b.at(b.ray.After(si.Time(path / b.speed)))
		if i > 0 && math.IsNaN(b.axis[i]) && b.course.Part.Radius != 0 {
			b.axis[i] = b.axisAt(i - 1)
		}
	}
	return b.axis[i]
}

// at is the field of the beam at a place of a leg, which need not be the last. What
// walls pass on is that of all legs.
func (b *Beam) at(leg int, x, z si.Length) float64 {
	s := b.sources
	if leg < 1 {
		return math.NaN()
	}
	d := s.depthOf(leg, z)
	b.list = b.list[:0]
	for i, e := range s.elements {
		row := b.course.Row(e, leg, z)
		b.list = append(b.list, s.arrive(&row, i, x, &d))
	}
	return cmplx.Abs(b.field(b.list))
}
