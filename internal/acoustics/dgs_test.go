package acoustics

import (
	"math"
	"math/cmplx"
	"testing"

	"soundwrit/internal/si"
)

// strip integrates the field of a strip on its axis, Fresnel's approximation.
func strip(width, distance, wavelength float64) complex128 {
	const n = 400
	sum := complex128(0)
	for i := range n {
		y := width * ((float64(i)+0.5)/n - 0.5)
		sum += cmplx.Exp(complex(0, math.Pi*y*y/(wavelength*distance)))
	}
	return sum * complex(width/n/math.Sqrt(distance*wavelength), 0)
}

// mirrored integrates what a strip receives of its own image in a mirror.
func mirrored(width, distance, wavelength float64) complex128 {
	const n = 400
	sum := complex128(0)
	for i := range n {
		for j := range n {
			y := width * float64(i-j) / n
			sum += cmplx.Exp(complex(0, math.Pi*y*y/(2*wavelength*distance)))
		}
	}
	return sum * complex(width*width/n/n/math.Sqrt(2*distance*wavelength), 0)
}

func level(z complex128) float64 { return 20 * math.Log10(cmplx.Abs(z)) }

func TestGainsAgainstIntegration(t *testing.T) {
	const millimetre, wavelength, narrow, wide = 1e-3, 0.81e-3, 5.6e-3, 10e-3
	hole := func(d Distance) float64 {
		p := strip(narrow, float64(d.Plane), wavelength)
		return level(p * p * mirrored(wide, float64(d.Across), wavelength))
	}
	wall := func(d Distance) float64 {
		return level(mirrored(narrow, float64(d.Plane), wavelength) * mirrored(wide, float64(d.Across), wavelength))
	}
	near := wide * wide / (4 * wavelength)
	far := func(n, more float64) Distance {
		return Distance{si.Length(n*near - more*millimetre), si.Length(n * near)}
	}
	// The laws leave out what a phase of order N/s does to the echo: 0.8 dB at three
	// near fields, a tenth of that at ten.
	for _, c := range []struct {
		from, to  Distance
		tolerance float64
	}{
		{far(3, 0), far(6, 0), 0.8}, {far(3, 20), far(9, 20), 0.8},
		{far(10, 0), far(20, 0), 0.08}, {far(10, 9), far(15, 9), 0.08}, {far(10, 40), far(40, 40), 0.08},
	} {
		if got, want := float64(HoleGain(c.from, c.to)), hole(c.from)-hole(c.to); math.Abs(got-want) > c.tolerance {
			t.Errorf("hole from %v to %v: %.2f dB, by integration %.2f dB", c.from, c.to, got, want)
		}
		if got, want := float64(WallGain(c.from, c.to)), wall(c.from)-wall(c.to); math.Abs(got-want) > c.tolerance {
			t.Errorf("wall from %v to %v: %.2f dB, by integration %.2f dB", c.from, c.to, got, want)
		}
	}
	// Nearer, the law asks for more gain than the hole does, so that a span
	// computed by it is not too small.
	for _, n := range []float64{0.5, 0.7, 1, 1.5, 2} {
		if got, want := float64(HoleGain(far(n, 5), far(5, 5))), hole(far(n, 5))-hole(far(5, 5)); got < want {
			t.Errorf("hole from %v near fields: law %.2f dB, by integration %.2f dB", n, got, want)
		}
	}
}

// TestDistancesByRays traces rays beside the central one through the contact
// face, in three dimensions, back to where they seem to come from.
func TestDistancesByRays(t *testing.T) {
	const height, path, wedge, part, small = 0.012, 0.05, 2330.0, 3240.0, 1e-4
	for _, degrees := range []float64{40, 55, 70} {
		angle := si.Angle(degrees) * si.Degree
		inWedge := math.Asin(wedge / part * math.Sin(float64(angle)))
		b := Beam{Aperture: 0.008, Angle: angle, WedgePath: si.Length(height / math.Cos(inWedge)), WedgeSpeed: wedge, PartSpeed: part, Frequency: 4e6}
		got := b.DistanceAt(path)
		// x and y of the place on the face, and of the direction below it.
		trace := func(polar, sideways float64) (x, y, dx, dy, dz float64) {
			u, v := math.Sin(polar)*math.Cos(sideways), math.Sin(sideways)
			w := math.Sqrt(1 - u*u - v*v)
			x, y = height*u/w, height*v/w
			dx, dy = u*part/wedge, v*part/wedge
			return x, y, dx, dy, math.Sqrt(1 - dx*dx - dy*dy)
		}
		x0, _, dx0, _, dz0 := trace(inWedge, 0)
		x1, _, dx1, _, dz1 := trace(inWedge+small, 0)
		// Rays x0 + s dx0/dz0 and x1 + s dx1/dz1 meet at the depth z, above the face.
		z := (x0 - x1) / (dx1/dz1 - dx0/dz0)
		if plane := path - z/dz0; math.Abs(plane-float64(got.Plane)) > 1e-3*path {
			t.Errorf("%v degrees, plane of incidence: %.4f mm, by rays %.4f mm", degrees, 1e3*float64(got.Plane), 1e3*plane)
		}
		_, y, _, dy, dz := trace(inWedge, small)
		if across := path + y/dy*dz/dz; math.Abs(across-float64(got.Across)) > 1e-3*path {
			t.Errorf("%v degrees, across: %.4f mm, by rays %.4f mm", degrees, 1e3*float64(got.Across), 1e3*across)
		}
	}
}

// The published row P238 prints the ratio of pressures at twice the distance,
// to two digits.
func TestHoleAtTwiceTheDistance(t *testing.T) {
	if ratio := math.Pow(10, -float64(HoleGain(Distance{1, 1}, Distance{2, 2}))/20); math.Abs(ratio-0.357) > 0.005 {
		t.Errorf("at twice the distance the hole sends %.3f, published 0.357", ratio)
	}
}

func TestGainsOfNothing(t *testing.T) {
	one := Distance{1, 1}
	for _, x := range []si.Decibel{
		HoleGain(Distance{0, 1}, one), HoleGain(one, Distance{1, -1}), HoleGain(one, Beam{}.DistanceAt(1)),
		WallGain(Distance{1, 0}, one), WallGain(one, Distance{si.Unknown[si.Length](), 1}),
	} {
		if si.Known(x) {
			t.Errorf("a gain of %v out of nothing", x)
		}
	}
}
