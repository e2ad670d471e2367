package coverage_test

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/si"
)

// A share that falls off linearly on both sides of a plateau from 27 to 33 mm:
// one tenth within 5 mm on the left, within 2 mm on the right.
func plateau(front si.Length) si.Ratio {
	x := float64(front / mm)
	return si.Ratio(0.95 - math.Max(0, (27-x)/50) - math.Max(0, (x-33)/20))
}

func TestKeepRange(t *testing.T) {
	offsets := func(nominal, from, to, step, tolerance float64) coverage.Offsets {
		return coverage.Offsets{
			Nominal: si.Length(nominal) * mm, Min: si.Length(from) * mm, Max: si.Length(to) * mm,
			Step: si.Length(step) * mm, Tolerance: si.Ratio(tolerance),
		}
	}
	nan := math.NaN()
	dip := func(front si.Length) si.Ratio { // a dip 4 mm wide at 40 mm
		if math.Abs(float64(front/mm)-40) < 2 {
			return 0.5
		}
		return 0.9
	}
	for name, c := range map[string]struct {
		f        func(si.Length) si.Ratio
		o        coverage.Offsets
		from, to float64
	}{
		// 0.01 is lost after 0.5 mm on the left and 0.2 mm on the right.
		"plateau": {plateau, offsets(30, 0, 60, 1, 0.01), 26.5, 33.2},
		// 26.53 and 33.188 exactly: rounded inwards.
		"rounded": {plateau, offsets(30, 0, 60, 1, 0.0094), 26.6, 33.1},
		// Nothing may be lost.
		"strict": {plateau, offsets(30, 0, 60, 1, 0), 27, 33},
		// Bounds end the walk.
		"bounds": {plateau, offsets(30, 29.25, 31.17, 0.7, 0.01), 29.3, 31.1},
		// The nominal offset is on the slope: the share rises on one side, and
		// the range never leaves the nominal offset out.
		"slope":   {plateau, offsets(34.03, 0, 60, 1, 0), 27 - 50*1.03/20 + 0.075, 34.03}, // 24.425 rounded inwards to 24.5
		"dip":     {dip, offsets(30, 20, 60, 1, 0.1), 20, 38},
		"nominal": {plateau, offsets(61, 0, 60, 1, 0.01), nan, nan},
		"unknown": {func(si.Length) si.Ratio { return si.Unknown[si.Ratio]() }, offsets(30, 0, 60, 1, 0.01), nan, nan},
		"no step": {plateau, offsets(30, 0, 60, 0, 0.01), nan, nan},
		"no max":  {plateau, offsets(30, 0, math.Inf(1), 1, 1), nan, nan},
	} {
		from, to := coverage.KeepRange(c.f, c.o)
		for _, e := range [][2]float64{{float64(from / mm), c.from}, {float64(to / mm), c.to}} {
			if math.IsNaN(e[0]) != math.IsNaN(e[1]) || math.Abs(e[0]-e[1]) > 1e-6 { // ends lie on a grid of 0.1 mm
				t.Errorf("%s: %v to %v mm, by hand %v to %v", name, float64(from/mm), float64(to/mm), c.from, c.to)
				break
			}
		}
		if si.Known(from) && (c.f(from) < c.f(c.o.Nominal)-c.o.Tolerance-1e-9 || c.f(to) < c.f(c.o.Nominal)-c.o.Tolerance-1e-9) {
			t.Errorf("%s: the ends do not keep the share", name)
		}
	}
}
