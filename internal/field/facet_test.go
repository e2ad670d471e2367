package field

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// A strip h long in the section and endless along the weld is worth an area of
// h √(λ s / 2), the second factor being the width of the zone that an endless
// reflector uses. As many discs of the published equivalence between disc and
// hole (acoustics.EquivalentDisc, rows P242 to P244 of the published cases) go
// into it as its echo is higher than the hole's, at every path.
func TestFacetAgainstEquivalentDisc(t *testing.T) {
	lambda, hole, height := 0.65*mm, 3*mm, 2.5*mm
	for _, path := range []si.Length{40 * mm, 100 * mm} {
		disc := float64(acoustics.EquivalentDisc(hole, lambda, path))
		area := float64(height) * math.Sqrt(float64(lambda*path)/2)
		want := 20 * math.Log10(area/(math.Pi/4*disc*disc))
		near(t, "strip over hole", float64(FacetOverHole(height, lambda, hole)), want, 1e-9)
	}
}

// Far from the source a strip answers square by that law, and turned by ε less
// by the directivity of the strip, sin u / u with u = 2π h sin ε / λ, and the
// obliquity. Reflection as another wave is the table's business: a longitudinal
// wave near square keeps nearly all.
func TestTurnedFacet(t *testing.T) {
	m := contact()
	m.Part.Strata[0].Thickness = 10
	model := New(m)
	b := model.Sources(row(4, 0.6*mm), longitudinal).Beam(0, si.Unknown[si.Length]())
	lambda := float64(acoustics.Wavelength(5900, m.Frequency))
	const height = 2e-3
	for _, degrees := range []float64{0, 2, 5, 8, 12} {
		e := degrees * math.Pi / 180
		strip := Facet{Height: height, NormalX: si.Ratio(math.Sin(e)), NormalZ: si.Ratio(math.Cos(e)), Hole: 3 * mm}
		u := 2 * math.Pi * height * math.Sin(e) / lambda
		shape := 1.0
		if u > 0 {
			shape = math.Abs(math.Sin(u) / u)
		}
		kept, _ := acoustics.FreeSurfaceReflection(acoustics.Longitudinal, si.Angle(e), 5900, 3230)
		want := float64(FacetOverHole(height, si.Length(lambda), 3*mm)) + 20*math.Log10(shape*math.Cos(e)*float64(kept))
		near(t, "turned strip", float64(b.Facet(Point{0, 1}, strip)), want, 0.25) // the sum over the strip's places
	}
}

// The echo of a strip is highest where the law of reflection sends it back: for
// out on one leg and back on two, an upright face is met by equal angles.
func TestTandemPrefersUpright(t *testing.T) {
	m := wedged()
	model := New(m)
	im := image(model, sloped(64, 0.6*mm, m), transverse, 1, 2, around())
	at := func(turn float64) float64 {
		sin, cos := math.Sincos(turn * math.Pi / 180)
		return float64(im.Facet(Point{0, 16 * mm}, Facet{Height: 3 * mm, NormalX: si.Ratio(cos), NormalZ: si.Ratio(sin), Hole: 3 * mm}))
	}
	if upright := at(0); !(upright > at(20)+6 && upright > at(-20)+6) {
		t.Errorf("a strip turned by 20° answers %.1f and %.1f dB, an upright one %.1f", at(20), at(-20), upright)
	}
	if si.Known(im.Facet(Point{0, 16 * mm}, Facet{Height: 3 * mm, NormalX: 1, NormalZ: 1, Hole: 3 * mm})) {
		t.Error("a normal that is not of length one gives a known echo")
	}
}
