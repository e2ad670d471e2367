package acoustics

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// axial is the pressure on the axis of a rectangular piston of sides a and r·a,
// in the Fresnel approximation: a product of two integrals, summed by Simpson.
// The square of its argument is a² / (2 λ z).
func axial(argument, r float64) float64 {
	fresnel := func(to float64) float64 {
		const n = 100
		var c, s float64
		for i := 0; i <= n; i++ {
			weight := 2.0 + 2*float64(i%2)
			if i == 0 || i == n {
				weight = 1
			}
			x := to * float64(i) / n
			c += weight * math.Cos(math.Pi*x*x/2)
			s += weight * math.Sin(math.Pi*x*x/2)
		}
		return math.Hypot(c, s) * to / (3 * n)
	}
	return fresnel(argument) * fresnel(r*argument)
}

// k is found as the first maximum when one comes from far away. The tolerance
// of 0.5 % covers the linear interpolation and the third digit of the table.
func TestNearFieldRectangularAgainstIntegration(t *testing.T) {
	for ratio := 0.025; ratio <= 1; ratio += 0.0375 {
		u := 0.8
		for axial(u+2e-4, ratio) > axial(u, ratio) {
			u += 2e-4
		}
		want := 2 / (u * u) // a² / (2 λ N) = u², N = k a² / (4 λ)
		n := NearFieldRectangular(20*si.Millimetre, si.Length(ratio)*20*si.Millimetre, 1*si.Millimetre)
		got := float64(n) * 4 * 1e-3 / (20e-3 * 20e-3)
		if math.Abs(got-want) > 0.005*want {
			t.Errorf("sides 1 : %.3f: k is %.4f, want %.4f", ratio, got, want)
		}
	}
}

func TestNearFieldIsSymmetric(t *testing.T) {
	if a, b := NearFieldRectangular(0.01, 0.007, 0.0006), NearFieldRectangular(0.007, 0.01, 0.0006); a != b {
		t.Errorf("exchanging the sides changes %v to %v", a, b)
	}
}
