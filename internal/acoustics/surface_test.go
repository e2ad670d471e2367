package acoustics

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// What is not reflected as a transverse wave leaves as a longitudinal one, whose
// amplitude R' = −κ sin 4b / (…) is computed here by itself; the energies, by
// the width of each beam and its speed, must add up to one.
func TestFreeSurfaceKeepsEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const longitudinal, transverse = 5900, 3230
		b := rapid.Float64Range(0.01, math.Asin(transverse/5900.0)-0.001).Draw(t, "angle")
		k := longitudinal / 3230.0
		a := math.Asin(k * math.Sin(b))
		below := math.Sin(2*a)*math.Sin(2*b) + k*k*math.Pow(math.Cos(2*b), 2)
		converted := k * math.Sin(4*b) / below
		energy := converted * converted * k * math.Cos(a) / math.Cos(b)
		r := float64(FreeSurfaceReflection(si.Angle(b), longitudinal, transverse))
		if sum := r*r + energy; math.Abs(sum-1) > 1e-9 {
			t.Fatalf("at %v rad the energies add up to %v", b, sum)
		}
	})
}

func TestCornerLossIsSymmetric(t *testing.T) {
	// The corner may be met from either face.
	for _, b := range []si.Angle{32, 50, 60} {
		one, other := CornerLoss(b*si.Degree, 5900, 3230), CornerLoss((90-b)*si.Degree, 5900, 3230)
		if math.Abs(float64(one-other)) > 1e-9 {
			t.Errorf("%v°: %v dB and %v dB", b, one, other)
		}
	}
}
