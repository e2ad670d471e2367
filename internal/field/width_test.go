package field

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// rayleigh is the field of a flat array in contact, focused straight ahead, by the
// sum over its whole surface of spherical waves: neither rays nor directivities.
func rayleigh(n int, pitch, width, length, focus, c, f, x, z float64) float64 {
	k := 2 * math.Pi * f / c
	re, im := 0.0, 0.0
	for e := range n {
		centre := (float64(e) - float64(n-1)/2) * pitch
		delay := 0.0
		if !math.IsInf(focus, 1) {
			delay = (math.Hypot(focus, centre) - focus) / c
		}
		const parts = 12
		for i := range parts {
			for j := range 3 {
				px := centre + ((float64(i)+0.5)/parts-0.5)*width
				py := ((float64(j)+0.5)/3 - 0.5) * length
				r := math.Sqrt((x-px)*(x-px) + py*py + z*z)
				phase := k*r - 2*math.Pi*f*delay
				re += math.Cos(phase) * z / (r * r)
				im += math.Sin(phase) * z / (r * r)
			}
		}
	}
	return math.Hypot(re, im)
}

// Width, place of the highest echo and depth of field of a focused beam are those
// of Rayleigh's integral, read off in small steps. At the focus the width is near
// that of the directivity of a strip over the distance, 0.886 λ F / D, as the
// published 1.02 λ F / D is that of a round source.
func TestFocusAgainstRayleighIntegral(t *testing.T) {
	const (
		n, pitch, width, length = 24, 0.6e-3, 0.5e-3, 0.2e-3
		c, f, focus             = 5900.0, 5e6, 25e-3
		lambda                  = c / f
	)
	b := New(contact()).Sources(every(n, pitch), longitudinal).Beam(0, focus)
	brute := func(x, z float64) float64 { return rayleigh(n, pitch, width, length, focus, c, f, x, z) }

	edge := func(z float64) float64 { // half the width
		x := 0.0
		for brute(x, z) > math.Sqrt(0.5)*brute(0, z) {
			x += 1e-5
		}
		return x
	}
	for _, z := range []float64{20e-3, 25e-3, 30e-3} {
		near(t, "width over that of the integral", float64(b.Width(si.Length(z)))/(2*edge(z)), 1, 0.02)
	}
	near(t, "width at the focus over 0.886 λ F / D", float64(b.Width(focus))/(0.886*lambda*focus/(n*pitch)), 1, 0.05) // its ends send a little less to the focus

	best, most := 0.0, 0.0
	echo := func(z float64) float64 { return brute(0, z) * brute(0, z) * math.Sqrt(z) }
	for z := 10e-3; z < 60e-3; z += 0.1e-3 {
		if e := echo(z); e > most {
			best, most = z, e
		}
	}
	from, to := best, best
	for echo(from) > most/2 {
		from -= 0.05e-3
	}
	for echo(to) > most/2 {
		to += 0.05e-3
	}
	gotFrom, highest, gotTo := b.Depth(60 * mm)
	near(t, "path of the highest echo", float64(highest), best, 0.5e-3)
	near(t, "begin of the depth of field", float64(gotFrom), from, 0.5e-3)
	near(t, "end of the depth of field", float64(gotTo), to, 0.5e-3)
	for _, z := range []float64{12e-3, 18e-3, 35e-3, 50e-3} {
		want := 20 * math.Log10(echo(z)/echo(25e-3))
		near(t, "gain over distance of a focused beam", float64(b.Level(si.Length(z))-b.Level(25*mm)), want, 0.25)
	}
}

// every is so many elements on the surface about X = 0, each for itself.
func every(n int, pitch si.Length) []ray.Element {
	var list []ray.Element
	for i := range n {
		list = append(list, ray.Element{X: pitch * (si.Length(i) - si.Length(n-1)/2)})
	}
	return list
}

// Far from an array without a focus the echo of a hole falls by 9.03 dB a
// doubling, row P237 of the published cases, and the beam is as wide as the
// directivity of a strip has it.
func TestLevelFarAway(t *testing.T) {
	m := contact()
	m.Part.Strata[0].Thickness = 10
	b := New(m).Sources(every(16, 0.6*mm), longitudinal).Beam(0, si.Unknown[si.Length]())
	near(t, "hole at double the distance", float64(b.Level(1)-b.Level(2)), 9.03, 0.02)
	spread := acoustics.RectangularHalfAngle(16*0.6*mm, acoustics.Wavelength(5900, m.Frequency), acoustics.EchoEdge(6))
	near(t, "width over that of a strip", float64(b.Width(1))/(2*spread.Tan()), 1, 0.01)
}

// Behind a wedge the law of acoustics.HoleGain, which rests on virtual sources,
// holds far away.
func TestLevelBehindAWedge(t *testing.T) {
	m := wedged()
	m.Wedge.Density = si.Unknown[si.Density]()
	m.Part.Strata[0].Thickness = 3000 * mm
	sources := New(m).Sources(sloped(8, 0.6*mm, m), transverse)
	angle := 55 * si.Degree
	b := sources.Beam(angle, si.Unknown[si.Length]())
	in := acoustics.Refract(angle, 3230, 2730)
	beam := acoustics.Beam{
		Aperture: 8 * 0.6 * mm, Tilt: m.Tilt, Angle: angle, WedgePath: sources.centre.Height / si.Length(in.Cos()),
		WedgeSpeed: 2730, PartSpeed: 3230, Frequency: m.Frequency,
	}
	for _, path := range []si.Length{150 * mm, 300 * mm} {
		want := acoustics.HoleGain(beam.DistanceAt(path), beam.DistanceAt(2*path))
		near(t, "gain over distance", float64(b.Level(path)-b.Level(2*path)), float64(want), 0.3)
	}
}

// The best of an image falls as its pairs do: of two elements a hair apart, in
// contact, as one source does.
func TestLevelOfAnImage(t *testing.T) {
	m := contact()
	m.Part.Strata[0].Thickness = 1
	s := New(m).Sources(every(2, 1e-6), longitudinal)
	upright := Angles{-10 * si.Degree, 10 * si.Degree}
	im := New(m).Image(s, s, Span{-5 * mm, 5 * mm, upright, upright})
	near(t, "hole at double the depth", float64(im.Level(100*mm)-im.Level(200*mm)), 9.03, 0.02)

	// Out on one leg and back on two: 3 mm of 20 are 3 mm out and 37 mm back.
	m.Part.Strata[0].Thickness = 20 * mm
	model := New(m)
	two := model.Image(model.Sources(every(2, 1e-6), longitudinal), model.Sources(every(2, 1e-6), longitudinal, longitudinal), Span{-1e-9, 1e-9, upright, upright})
	want := func(z float64) float64 { // 1 / (r_t r_r), and the root over both ways
		out, back := z, 40e-3-z
		return 20 * math.Log10(1/(out*back)*math.Sqrt(out*back/(out+back)))
	}
	near(t, "hole at 3 mm and at 12 mm", float64(two.Level(3*mm)-two.Level(12*mm)), want(3e-3)-want(12e-3), 0.02)
}

func TestWidthUnknown(t *testing.T) {
	m := contact()
	m.Frequency = si.Unknown[si.Frequency]()
	b := New(m).Sources(every(16, 0.6*mm), longitudinal).Beam(0, 20*mm)
	from, highest, to := b.Depth(50 * mm)
	for _, x := range []si.Length{b.Width(20 * mm), from, highest, to, si.Length(b.Level(20 * mm))} {
		if si.Known(x) {
			t.Errorf("of an unknown frequency: %v", x)
		}
	}
	b = New(contact()).Sources(every(16, 0.6*mm), longitudinal).Beam(0, 20*mm)
	if si.Known(b.Width(0)) || si.Known(b.Width(-1)) || si.Known(b.Level(0)) {
		t.Error("a width or a level at no sound path")
	}
}
