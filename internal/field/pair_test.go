package field

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// duo is a probe of 6 mm at 5 MHz on a wedge of 2400 m/s, 60° in steel of 5950 m/s:
// rows P057 to P060 of the published cases, but for the factor of the edge. The
// wedge is so short that sound spreads from the exit point.
func duo() (Media, ray.Element) {
	m := contact()
	m.Wedge.Longitudinal = 2400
	m.Part = ray.Plate(100*mm, acoustics.Medium{Density: si.Unknown[si.Density](), Longitudinal: 5950, Transverse: 3230})
	m.Round, m.Element, m.Part.Strata[0].Thickness = true, 6*mm, 100*mm
	m.Tilt = acoustics.Refract(60*si.Degree, 5950, 2400)
	return m, ray.Element{X: -40 * mm, Height: 1e-6}
}

// At an edge of both beams, where each field is 6 dB down by the divergence of a
// round source, and spreading apart, the echo is 12 dB down. The lower edges meet
// there: half angle asin(0.7051 · 0.48 / 6) in the wedge, lower edge by Snell.
func TestPairAtTheEdges(t *testing.T) {
	m, source := duo()
	half := acoustics.CircularHalfAngle(6*mm, acoustics.Wavelength(2400, m.Frequency), acoustics.FieldEdge(6))
	lower, _ := acoustics.WedgeEdges(60*si.Degree, half, 2400, 5950)
	axis := Point{0, -source.X / si.Length((60 * si.Degree).Tan())}
	edge := Point{0, -source.X / si.Length(lower.Tan())}
	pair := New(m).Pair(source, axis)
	// Spread of a ray from the surface: s √(cos α / cos β) · c / c_w, from neighbouring rays.
	spread := func(angle si.Angle) float64 {
		in := acoustics.Refract(angle, 5950, 2400)
		return 40e-3 / angle.Sin() * math.Sqrt(in.Cos()/angle.Cos())
	}
	want := -12 - 40*math.Log10(spread(lower)/spread(60*si.Degree))
	near(t, "where the lower edges meet", float64(pair.Tip(edge)), want, 0.05)
	near(t, "at the reference", float64(pair.Tip(axis)), 0, 1e-12)
}

func TestPairIsSymmetrical(t *testing.T) {
	m, source := duo()
	pair := New(m).Pair(source, Point{0, 20 * mm})
	for _, p := range []Point{{3 * mm, 10 * mm}, {10 * mm, 30 * mm}} {
		near(t, "mirrored", float64(pair.Tip(p)), float64(pair.Tip(Point{-p.X, p.Z})), 1e-4) // rays of a row
	}
	m.Frequency = si.Unknown[si.Frequency]()
	if si.Known(New(m).Pair(source, Point{0, 20 * mm}).Tip(Point{0, 10 * mm})) {
		t.Error("an unknown frequency gives a known echo")
	}
}
