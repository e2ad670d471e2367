package field

import (
	"math"
	"math/cmplx"
	"testing"

	"soundwrit/internal/si"
)

// The beam of an array on a wedge against waves that are added up twice without
// any ray: from each source to the contact face, and from every place of the face
// into the part, by Rayleigh's second integral in the plane of the section. A
// boundary on which pressures are equal stands in for the contact, so that only
// refraction and spreading are compared. Across the section, where the integral
// knows nothing, and for the change of a tube's width at the face, each source is
// weighted by its path of least time, which is searched for on a grid. The
// tolerance is the far field of the kernel, 1 / (8 k r), and the ends of the
// integral.
func TestRefractedBeamAgainstTwoIntegrals(t *testing.T) {
	const (
		cw, c, f, tilt = 2730.0, 3230.0, 5e6, 36 * math.Pi / 180
		kw, k          = 2 * math.Pi * f / cw, 2 * math.Pi * f / c
		n, pitch       = 16, 0.6e-3
		from, to, dx   = -70e-3, 10e-3, 0.02e-3
	)
	m := wedged()
	m.Wedge.Density = si.Unknown[si.Density]() // nothing is lost at the face
	m.Element = 1e-6                           // and elements send alike, but for their obliquity
	m.Part.Strata[0].Thickness = 100 * mm
	b := New(m).Sources(sloped(n, pitch, m), transverse).Beam(60*si.Degree, si.Unknown[si.Length]())
	exit := float64(b.Axis(0))

	delay := func(i int) float64 { // of a plane wave along the array, to 60° in the part
		return float64(i) * pitch * math.Sin(math.Asin(math.Sin(math.Pi/3)*cw/c)-tilt) / cw
	}
	source := func(i int) (x, h float64) {
		return -40e-3 + float64(i)*pitch*math.Cos(tilt), 6e-3 + float64(i)*pitch*math.Sin(tilt)
	}
	brute := func(x, z float64) float64 {
		var sum complex128
		for i := range n {
			xs, h := source(i)
			var one complex128
			least, q, away := math.Inf(1), 0.0, 0.0
			for at := from; at < to; at += dx {
				l, r := math.Hypot(at-xs, h), math.Hypot(x-at, z)
				oblique := math.Cos(math.Atan2(at-xs, h) - tilt)
				one += cmplx.Rect(oblique*z/r*math.Sqrt(k/(2*math.Pi*l*r))*dx, -kw*l-k*r)
				if time := l/cw + r/c; time < least {
					least, q, away = time, (z/r)/(h/l), l+r*c/cw
				}
			}
			sum += one * cmplx.Rect(1/math.Sqrt(q*away), -2*math.Pi*f*delay(i))
		}
		return cmplx.Abs(sum)
	}
	model := func(x, z float64) float64 {
		return cmplx.Abs(b.field(b.sources.send(Point{si.Length(x), si.Length(z)})))
	}
	for _, z := range []float64{8e-3, 20e-3} {
		axis := exit + z*math.Tan(math.Pi/3)
		peak, want := model(axis, z), brute(axis, z)
		near(t, "height on the axis", peak/want, 1, 0.03)
		for off := -8e-3; off <= 8e-3; off += 1e-3 {
			near(t, "field across the beam", model(axis+off, z)/peak, brute(axis+off, z)/want, 0.03)
		}
	}
}
