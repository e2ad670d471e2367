package coverage_test

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// waves are plane waves from a stretch of the surface, of the slopes given.
func waves(legs int, first, last si.Length, slopes ...float64) coverage.Way {
	w := contact(legs, 0, 80*si.Degree, first, last)
	for _, slope := range slopes {
		w.Waves = append(w.Waves, si.Angle(math.Atan(slope)))
	}
	return w
}

// From X = −30 to −20 a wave of slope 1 lies between z − 30 and z − 20, one of
// slope 2 between 2z − 30 and 2z − 20. In the volume, from −10 to 10 and 20 deep,
// the first fills 50 mm², the second 25 + 50 + 25; they do not overlap there.
func TestWavesReachByHand(t *testing.T) {
	s := geometry.New(squareButt())
	for _, c := range []struct {
		way coverage.Way
		mm2 float64
	}{
		{waves(1, -30*mm, -20*mm, 1), 50}, {waves(1, -30*mm, -20*mm, 2), 100},
		{waves(1, -30*mm, -20*mm, 1, 2), 150}, {waves(1, -30*mm, -20*mm, 2, 2), 100},
		{waves(1, -30*mm, -20*mm, 0.1), 0},
	} {
		got := coverage.Measure(s, reach(s, []coverage.View{same(c.way)}, 0))
		if math.Abs(float64(got.Reached)*1e6-c.mm2) > 0.02 { // rows with a corner, as in TestReachByHand
			t.Errorf("slopes %v: reached %.4f mm², by hand %.4f", c.way.Waves, float64(got.Reached)*1e6, c.mm2)
		}
	}
}

// The face at X = −2 is met at 90° less the mean angle of the waves that reach
// it, going out and coming back the same way: slopes 1 and 2 from a stretch so
// long that both reach all of it.
func TestWavesMeetAFaceByTheirMean(t *testing.T) {
	s := geometry.New(squareButt())
	way := waves(1, -80*mm, -2*mm, 1, 2)
	got := incidence(s, s.Faces[0], []coverage.View{same(way)}, 20)
	want := math.Pi/2 - (math.Atan(1)+math.Atan(2))/2
	if got.Reached != 1 || math.Abs(float64(got.Best)-want) > 1e-9 || math.Abs(float64(got.Worst)-want) > 1e-9 {
		t.Errorf("met at %v to %v over %v of it, by hand %.5f over all", got.Best, got.Worst, got.Reached, want)
	}
}
