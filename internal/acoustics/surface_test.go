package acoustics

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// What is not reflected as the same wave leaves as the other one; the energies,
// by the width of each beam and its speed, must add up to one.
func TestFreeSurfaceKeepsEnergy(t *testing.T) {
	const longitudinal, transverse = 5900, 3230
	const k = longitudinal / 3230.0
	rapid.Check(t, func(t *rapid.T) {
		b := rapid.Float64Range(0, math.Asin(transverse/5900.0)-0.001).Draw(t, "angle")
		a := math.Asin(k * math.Sin(b))
		width := k * math.Cos(a) / math.Cos(b)
		kept, converted := FreeSurfaceReflection(Transverse, si.Angle(b), longitudinal, transverse)
		if sum := float64(kept*kept + converted*converted*si.Ratio(width)); math.Abs(sum-1) > 1e-9 {
			t.Fatalf("transverse at %v rad: the energies add up to %v", b, sum)
		}
		kept, converted = FreeSurfaceReflection(Longitudinal, si.Angle(a), longitudinal, transverse)
		if sum := float64(kept*kept + converted*converted/si.Ratio(width)); math.Abs(sum-1) > 1e-9 {
			t.Fatalf("longitudinal at %v rad: the energies add up to %v", a, sum)
		}
	})
	// Past the critical angle no longitudinal wave carries anything away.
	if kept, converted := FreeSurfaceReflection(Transverse, 60*si.Degree, longitudinal, transverse); math.Abs(float64(kept)-1) > 1e-12 || converted != 0 {
		t.Errorf("60°: kept %v, converted %v", kept, converted)
	}
}

// What leaves as both kinds is all that came, and the same ray backwards is sent on
// in the same share.
func TestFreeSurfaceSharesAreReciprocal(t *testing.T) {
	const longitudinal, transverse = 5900, 3230
	rapid.Check(t, func(t *rapid.T) {
		in := Wave(rapid.IntRange(0, 1).Draw(t, "wave"))
		angle := si.Angle(rapid.Float64Range(0, 1.57).Draw(t, "angle"))
		kept, turned := FreeSurfaceShare(in, in, angle, longitudinal, transverse), FreeSurfaceShare(in, 1-in, angle, longitudinal, transverse)
		if math.Abs(float64(kept+turned)-1) > 1e-9 {
			t.Fatalf("%v and %v of the energy leave", kept, turned)
		}
		from, to := si.Speed(longitudinal), si.Speed(transverse)
		if in == Transverse {
			from, to = to, from
		}
		if other := Refract(angle, from, to); si.Known(other) {
			if back := FreeSurfaceShare(1-in, in, other, longitudinal, transverse); math.Abs(float64(back-turned)) > 1e-9 {
				t.Fatalf("%v is turned into the other kind, and %v back", turned, back)
			}
		} else if turned != 0 {
			t.Fatalf("%v leaves as a wave that does not exist", turned)
		}
	})
	if got := FreeSurfaceShare(Transverse, Longitudinal, 2, longitudinal, transverse); si.Known(got) {
		t.Errorf("past grazing %v leaves", got)
	}
}

// With Poisson's ratio 0.25 a longitudinal wave is wholly converted at 60° and
// 77.21°, a classic result (from memory, high; printed to 0.01°).
func TestWholeConversion(t *testing.T) {
	for _, degrees := range []si.Angle{60, 77.21} {
		kept, _ := FreeSurfaceReflection(Longitudinal, degrees*si.Degree, si.Speed(math.Sqrt(3)), 1)
		if kept > 1e-3 {
			t.Errorf("%v°: %v of the wave is kept", degrees, kept)
		}
	}
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
