package acoustics_test

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// Times by adding up distances, and depths from them by halving: no formula of
// the program is used.
func timeOf(s, x, d, c float64) float64 { return (math.Hypot(s+x, d) + math.Hypot(s-x, d)) / c }

func depthOf(s, c, t float64) float64 {
	low, high := 0.0, 1.0
	for range 200 {
		if m := (low + high) / 2; timeOf(s, 0, m, c) < t {
			low = m
		} else {
			high = m
		}
	}
	return low
}

func TestPairAgainstSummedPaths(t *testing.T) {
	const c = 5920.0
	near := func(what string, got si.Length, want, tolerance float64) {
		t.Helper()
		if !(math.Abs(float64(got)-want) <= tolerance) {
			t.Errorf("%s: %.9f m, by summed paths %.9f", what, float64(got), want)
		}
	}
	const tp = 0.25e-6
	for _, s := range []float64{0.012, 0.035, 0.080} {
		for _, d := range []float64{0.004, 0.012, 0.033} {
			p := acoustics.Pair{Half: si.Length(s), Speed: c, Pulse: tp}
			// 1e-12 m is what halving leaves.
			near("depth", p.Depth(si.Time(timeOf(s, 0, d, c))), d, 1e-12)
			near("surface", p.SurfaceDeadZone(), depthOf(s, c, timeOf(s, 0, 0, c)+tp), 1e-12)
			near("resolution", p.Resolution(si.Length(d)), depthOf(s, c, timeOf(s, 0, d, c)+tp)-d, 1e-12)
			near("behind the wall", p.WallDeadZone(0.040), depthOf(s, c, timeOf(s, 0, 0.040, c)+tp)-0.040, 1e-12)
			for _, x := range []float64{0, 0.003, -0.009} {
				near("offset", p.OffsetError(si.Length(d), si.Length(x)), depthOf(s, c, timeOf(s, x, d, c))-d, 1e-12)
				// A place at that height has its echo end just as the wall's begins.
				h := float64(p.HiddenByWall(0.040, si.Length(x)))
				if got, want := timeOf(s, x, 0.040-h, c)+tp, timeOf(s, 0, 0.040, c); math.Abs(got-want) > 1e-15 {
					t.Errorf("hidden by the wall at s %v, x %v: %g s, not %g", s, x, got, want)
				}
			}
			// The linear errors against differences: the second order is left.
			const dt, ds = 1e-11, 1e-7
			near("timing", p.TimingError(si.Length(d), dt), depthOf(s, c, timeOf(s, 0, d, c)+dt)-d, 1e-9)
			delay := timeOf(s, 0, d, c) - timeOf(s, 0, 0, c)
			near("separation", p.SeparationError(si.Length(d), 2*ds), math.Abs(depthOf(s+ds, c, timeOf(s+ds, 0, 0, c)+delay)-d), 1e-11)
		}
	}
}

func TestPairOutsideItsRange(t *testing.T) {
	none := si.Unknown[si.Length]()
	good := acoustics.Pair{Half: 0.04, Speed: 5920, Pulse: 0.3e-6}
	still := acoustics.Pair{Half: 0.04, Speed: 5920}
	for name, x := range map[string]si.Length{
		"no distance": acoustics.Pair{Speed: 5920, Pulse: 1e-6}.SurfaceDeadZone(), "no pulse": still.SurfaceDeadZone(),
		"no pulse, wall": still.WallDeadZone(0.04), "no pulse, resolution": still.Resolution(0.01), "no pulse, hidden": still.HiddenByWall(0.04, 0),
		"unknown depth": good.Resolution(none), "before the lateral wave": good.Depth(1e-9), "no thickness": good.WallDeadZone(0),
		"far aside": good.HiddenByWall(0.04, 1), "surface timing": good.TimingError(0, 1e-9), "surface separation": good.SeparationError(0, 1e-3),
		"negative depth": good.OffsetError(-1, 0), "no angle": acoustics.PairSeparation(0.02, 0, 0), "level": acoustics.PairSeparation(0.02, math.Pi/2, 0),
		"time": si.Length(good.Time(none)),
	} {
		if si.Known(x) {
			t.Errorf("%s gives %v", name, x)
		}
	}
	if l, u := acoustics.WedgeEdges(60*deg, math.Pi/2, 2400, 5950); si.Known(l) || si.Known(u) {
		t.Error("a half angle of 90° has edges")
	}
	if l, u := acoustics.WedgeEdges(60*deg, 0, 2400, 5950); math.Abs(float64(l-60*deg)) > 1e-12 || math.Abs(float64(u-60*deg)) > 1e-12 {
		t.Errorf("a beam without width: %v to %v", l, u)
	}
}

// A worked case of the study of the codes: 25 mm of wall, axes of 60° that cross
// at two thirds of it, so that s = 28.868 mm, and a pulse of 0.2 µs: 5.88 mm are
// hidden below the surface, and 0.90 mm over the far wall. Printed to 0.01 mm.
func TestDeadZonesOfTheWorkedCase(t *testing.T) {
	p := acoustics.Pair{Half: 28.868 * si.Millimetre, Speed: 5920, Pulse: 0.2e-6}
	if got := float64(p.SurfaceDeadZone() / si.Millimetre); math.Abs(got-5.88) > 0.005 {
		t.Errorf("below the surface %v mm, want 5.88", got)
	}
	if got := float64(p.WallDeadZone(25*si.Millimetre) / si.Millimetre); math.Abs(got-0.90) > 0.005 {
		t.Errorf("over the far wall %v mm, want 0.90", got)
	}
}

// On a pipe everything is looked at in its plane, with the axis in the origin: ways
// are straight lines between places there, depths are found by halving, rays of an
// angle met by stepping.
func TestPairAroundPipeInThePlane(t *testing.T) {
	const c, tp = 5920.0, 0.25e-6
	for _, ring := range []struct{ radius, arc float64 }{{0.254, 0.080}, {0.100, 0.040}, {0.600, 0.120}} {
		phi := ring.arc / 2 / ring.radius
		ax, ay := ring.radius*math.Sin(phi), ring.radius*math.Cos(phi)
		sum := func(arc, depth float64) float64 {
			x, y := (ring.radius-depth)*math.Sin(arc/ring.radius), (ring.radius-depth)*math.Cos(arc/ring.radius)
			return math.Hypot(x-ax, y-ay) + math.Hypot(x+ax, y-ay)
		}
		sagitta := ring.radius - ay
		read := func(length float64) float64 { // depth midway, below the chord
			low, high := sagitta, ring.radius/2
			for range 200 {
				if m := (low + high) / 2; sum(0, m) < length {
					low = m
				} else {
					high = m
				}
			}
			return low
		}
		near := func(what string, got, want, tolerance float64) {
			t.Helper()
			if !(math.Abs(got-want) <= tolerance) {
				t.Errorf("R %g: %s: %.12g, in the plane %.12g", ring.radius, what, got, want)
			}
		}
		p := acoustics.PairAround(si.Length(ring.arc), si.Length(ring.radius), c, tp)
		near("lateral wave", float64(p.Lateral()), 2*ax/c, 1e-18)
		near("surface", float64(p.SurfaceDeadZone()), read(2*ax+c*tp), 1e-12)
		wall := sagitta + 0.012
		near("behind the wall", float64(p.WallDeadZone(si.Length(wall))), read(sum(0, wall)+c*tp)-wall, 1e-12)
		for _, d := range []float64{sagitta + 0.001, sagitta + 0.004, wall} {
			at := si.Length(d)
			near("time", float64(p.Time(at)), sum(0, d)/c, 1e-18)
			near("depth", float64(p.Depth(si.Time(sum(0, d)/c))), d, 1e-12)
			near("resolution", float64(p.Resolution(at)), read(sum(0, d)+c*tp)-d, 1e-12)
			near("timing", float64(p.TimingError(at, 1e-11)), read(sum(0, d)+c*1e-11)-d, 2e-9) // linear
			for _, x := range []float64{0.002, -0.006} {
				near("offset", float64(p.OffsetError(at, si.Length(x))), read(sum(x, d))-d, 1e-12)
			}
			// As far after the lateral wave, with the exit points a little farther apart.
			const ds = 1e-7
			wide := acoustics.PairAround(si.Length(ring.arc+2*ds), si.Length(ring.radius), c, tp)
			deeper := wide.Depth(wide.Lateral()+p.Time(at)-p.Lateral()) - at
			near("separation", float64(p.SeparationError(at, 2*ds)), float64(deeper), 1e-11)
		}
		for _, x := range []float64{0, 0.003, -0.006} {
			h := float64(p.HiddenByWall(si.Length(wall), si.Length(x)))
			near("hidden by the wall", (sum(x, wall-h))/c+tp, sum(0, wall)/c, 1e-15)
		}
		// A ray at 55° to the radius, followed until it is midway.
		const alpha = 55 * math.Pi / 180
		low, high := 0.0, 10*ring.radius
		for range 200 {
			if m := (low + high) / 2; ax-m*math.Sin(phi+alpha) > 0 {
				low = m
			} else {
				high = m
			}
		}
		meet := ring.radius - (ay - low*math.Cos(phi+alpha))
		near("rays meet", float64(p.Meet(si.Angle(alpha))), meet, 1e-12)
		near("separation for the crossing", float64(acoustics.PairSeparation(si.Length(meet), si.Angle(alpha), si.Length(ring.radius))), ring.arc, 1e-12)
		if d := p.Time(si.Length(sagitta / 2)); si.Known(d) {
			t.Errorf("R %g: over the chord a time of %v", ring.radius, d)
		}
	}
	// As the radius grows, a pair on a plate.
	flat, round := acoustics.Pair{Half: 0.04, Speed: c, Pulse: tp}, acoustics.PairAround(0.08, 1e5, c, tp)
	for _, d := range []si.Length{0.01, 0.03} {
		if math.Abs(float64(flat.Resolution(d)-round.Resolution(d))) > 1e-7 || math.Abs(float64(flat.HiddenByWall(0.04, d/2)-round.HiddenByWall(0.04, d/2))) > 1e-7 {
			t.Errorf("at %v mm a large pipe is no plate", d*1e3)
		}
	}
}
