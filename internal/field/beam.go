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
	exit    float64 // along the surface, of the ray from the aperture's centre
	sine    float64 // of the refracted angle
	cosine  float64
	inWedge float64 // time from the centre to the exit
	wave    acoustics.Wave
	speed   float64   // of the wave
	axis    []float64 // field on the axis at every so far a sound path; NaN where not yet asked for
	weight  []complex128
	strip   []complex128
	list    []arrival
	ok      bool
}

// step is the distance between the places of the axis at which a beam's field
// is computed.
const step = 2e-3

// Beam returns the beam of a refracted angle, focused at a sound path in the
// part, or plane where that is unknown. Its legs are of one kind of wave and the
// part of one metal; of others nothing is known.
func (s *Sources) Beam(angle si.Angle, focus si.Length) *Beam {
	m := s.model
	b := &Beam{sources: s, sine: angle.Sin(), cosine: angle.Cos(), weight: make([]complex128, len(s.elements)), delays: make([]float64, len(s.elements))}
	if b.ok = s.ok && len(m.Part.Strata) == 1 && len(slices.Compact(slices.Clone(s.legs))) == 1; !b.ok {
		return b
	}
	b.wave, b.speed = s.legs[0], float64(s.last)
	incidence := math.Asin(b.sine * m.wedge / b.speed)
	b.exit = float64(s.centre.X) + float64(s.centre.Height)*math.Tan(incidence)
	b.inWedge = float64(s.centre.Height) / (math.Cos(incidence) * m.wedge)
	array := ray.Array{Elements: s.elements, Wedge: si.Speed(m.wedge), Part: si.Speed(b.speed)}
	times := array.Steer(angle)
	if si.Known(focus) {
		times = array.Focus(si.Length(b.exit+float64(focus)*b.sine), focus*si.Length(b.cosine))
	}
	for i, t := range times {
		b.delays[i] = float64(t)
	}
	return b
}

// Axis returns where the beam's axis lies at the depth of a place.
func (b *Beam) Axis(z si.Length) si.Length {
	depth := ray.Unfold(len(b.sources.legs), z, b.sources.model.thickness)
	return si.Length(b.exit) + depth*si.Length(b.sine/b.cosine)
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
	return 2 * decibels(field/b.onAxis(p))
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
	axis := b.onAxis(p)
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

// onAxis is the amplitude on the axis at the sound path of the central ray to a
// place, read between places of the axis.
func (b *Beam) onAxis(p Point) float64 {
	m, c := b.sources.model, b.sources.centre
	depth := max(ray.Unfold(len(b.sources.legs), p.Z, m.thickness), 1e-9)
	layers := [2]ray.Layer{{Thickness: c.Height, Speed: si.Speed(m.wedge)}, {Thickness: depth, Speed: si.Speed(b.speed)}}
	path := (float64(ray.Between(p.X-c.X, layers[:]).Time) - b.inWedge) * b.speed
	if !(path >= 0) {
		path = 0 // before the beam's own exit, within the rounding of a ray
	}
	i := int(path / step)
	share := path/step - float64(i)
	return b.axisAt(i)*(1-share) + b.axisAt(i+1)*share
}

func (b *Beam) axisAt(i int) float64 {
	for len(b.axis) <= i {
		b.axis = append(b.axis, math.NaN())
	}
	if math.IsNaN(b.axis[i]) {
		path := math.Max(float64(i)*step, 1e-6)
		b.axis[i] = cmplx.Abs(b.field(b.waves(path)))
	}
	return b.axis[i]
}

// waves returns the waves of all sources on the axis. The axis is straight as on
// paper, whatever the walls; its reflections are counted by the legs.
func (b *Beam) waves(path float64) []arrival {
	return b.at(b.exit+path*b.sine, path*b.cosine)
}

// at returns the waves of all sources at an unfolded depth.
func (b *Beam) at(x, unfolded float64) []arrival {
	crossed := [1]crossing{{0, b.wave, si.Speed(b.speed), si.Length(math.Max(unfolded, 1e-9))}}
	b.list = b.sources.sendAt(si.Length(x), crossed[:], b.list)
	return b.list
}
