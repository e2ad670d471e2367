package acoustics_test

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// The delays of an array are computed at the old velocities. With the new ones,
// the direction is sought in which the elements, fired so, are best in phase.
// The travel times come from the solver of paths. Tolerance: the step of the
// search, 0.01°.
func TestDriftAgainstDelays(t *testing.T) {
	const tilt = 36 * deg
	cold, warm := into(2330, 3240), into(2280, 3230)
	var elements []ray.Element
	for i := range 16 {
		along := 0.6 * mm * si.Length(i)
		elements = append(elements, ray.Element{X: along * si.Length(tilt.Cos()), Height: 5*mm + along*si.Length(tilt.Sin())})
	}
	d := acoustics.Drift{Tilt: tilt, Wedge: 2330, Part: 3240, WarmWedge: 2280, WarmPart: 3230}
	for _, degrees := range []si.Angle{45, 55, 68} {
		kept := cold.Steer(elements, degrees*deg)
		best, at := 0.0, 0.0
		for a := 40.0; a < 80; a += 0.01 {
			needed := warm.Steer(elements, si.Angle(a)*deg)
			var re, im float64
			for i := range kept {
				phase := 2 * math.Pi * 5e6 * float64(kept[i]-needed[i])
				re, im = re+math.Cos(phase), im+math.Sin(phase)
			}
			if sum := math.Hypot(re, im); sum > best {
				best, at = sum, a
			}
		}
		if got := float64(d.Angle(degrees*deg) / deg); math.Abs(got-at) > 0.011 {
			t.Errorf("%v°: %v°, the delays say %v°", degrees, got, at)
		}
	}
}

// The travel times of the same two points before and after, by the solver of
// paths: what the second takes longer is read as sound path in the part. Only the
// wedge has changed. The solver lets the ray find its new way, which is shorter
// in time by a second-order term: some 1 % at 2 %.
func TestRangeShiftAgainstPaths(t *testing.T) {
	for _, warm := range []si.Speed{2284, 2330, 2364.5} {
		d := acoustics.Drift{Wedge: 2330, Part: 3240, WarmWedge: warm, WarmPart: 3240}
		time := func(wedge si.Speed) (si.Time, si.Angle) {
			p := ray.Between(45*mm, []ray.Layer{{Thickness: 16 * mm, Speed: wedge}, {Thickness: 25 * mm, Speed: 3240}})
			return p.Time, p.Angle(wedge)
		}
		before, angle := time(2330)
		after, _ := time(warm)
		want := 3240 * float64(after-before)
		if got := float64(d.RangeShift(16 * mm / si.Length(angle.Cos()))); math.Abs(got-want) > 0.02*math.Abs(want)+1e-12 {
			t.Errorf("wedge at %v m/s: read too long by %v m, paths say %v m", warm, got, want)
		}
	}
	// By hand: 20 mm at 2330 m/s take 8.5837 µs, at 2284 m/s 8.7566 µs; the
	// difference is 0.560 mm at 3240 m/s.
	d := acoustics.Drift{Wedge: 2330, Part: 3240, WarmWedge: 2284, WarmPart: 3232}
	if got := d.RangeShift(20*mm) / mm; math.Abs(float64(got)-0.560) > 0.001 {
		t.Errorf("%v mm, by hand 0.560 mm", got)
	}
	for _, bad := range []acoustics.Drift{{Wedge: 0, Part: 1, WarmWedge: 1}, {Wedge: 1, Part: 1, WarmWedge: si.Unknown[si.Speed]()}} {
		if si.Known(bad.RangeShift(mm)) {
			t.Errorf("a shift of %+v", bad)
		}
	}
}
