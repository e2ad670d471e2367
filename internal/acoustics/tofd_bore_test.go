package acoustics_test

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// bore is the plane of a pipe's section with its axis in the origin, and the exit
// points of a pair in its bore to both sides of the y axis.
type bore struct{ r, arc float64 }

func (b bore) place(along, depth float64) (x, y float64) {
	return (b.r + depth) * math.Sin(along/b.r), (b.r + depth) * math.Cos(along/b.r)
}

// sum adds up the two straight legs over a place. clear says that neither leads
// through the bore: each is walked in small steps, none of which may be nearer to
// the axis than the surface, but for 1e-12 m of float noise.
func (b bore) sum(along, depth float64) (length float64, clear bool) {
	const steps = 4000
	px, py := b.place(along, depth)
	clear = true
	for _, side := range []float64{-b.arc / 2, b.arc / 2} {
		ex, ey := b.place(side, 0)
		length += math.Hypot(px-ex, py-ey)
		for i := 1; i < steps; i++ {
			u := float64(i) / steps
			clear = clear && math.Hypot(ex+u*(px-ex), ey+u*(py-ey)) > b.r-1e-12
		}
	}
	return length, clear
}

// read is the depth midway at which the legs have a length, by halving.
func (b bore) read(length float64) float64 {
	low, high := 0.0, 10*b.r
	for range 200 {
		m := (low + high) / 2
		if l, _ := b.sum(0, m); l < length {
			low = m
		} else {
			high = m
		}
	}
	return low
}

// shadow is the least depth so far across that both legs reach without the bore, by
// halving.
func (b bore) shadow(along float64) float64 {
	low, high := 0.0, 10*b.r
	for range 50 {
		m := (low + high) / 2
		if _, clear := b.sum(along, m); clear {
			high = m
		} else {
			low = m
		}
	}
	return high
}

func TestPairInTheBoreInThePlane(t *testing.T) {
	const c, tp = 5920.0, 0.15e-6
	for _, b := range []bore{{0.238, 0.060}, {0.100, 0.040}, {0.600, 0.120}, {0.050, 0.050}} {
		near := func(what string, got, want, tolerance float64) {
			t.Helper()
			if !(math.Abs(got-want) <= tolerance) {
				t.Errorf("r %g: %s: %.12g, in the plane %.12g", b.r, what, got, want)
			}
		}
		p := acoustics.PairAround(si.Length(b.arc), si.Length(-b.r), c, tp)
		shadow := b.shadow(0)
		// A leg l that is in the bore for less than a step of l / 4000 is not caught:
		// it leans by l / 8000 r at most, and so errs by l² / 8000 r, with l up to 45 mm.
		const stepped = 6e-6
		near("shadow midway", float64(p.Clear(0)), shadow, stepped)
		near("shadow aside", float64(p.Clear(0.007)), b.shadow(0.007), stepped)
		near("shadow on the other side", float64(p.Clear(-0.007)), b.shadow(-0.007), stepped)
		near("sight", float64(p.Sight(p.Clear(0.007))), 0.007, 1e-12)
		near("first wave", float64(p.First()), b.arc/c, 1e-18)
		if si.Known(p.Lateral()) || si.Known(p.Time(si.Length(shadow-1e-5))) || si.Known(p.Depth(si.Time(b.arc/c*0.99))) || si.Known(p.OffsetError(si.Length(shadow+1e-5), 0.007)) {
			t.Errorf("r %g: something is told through the bore", b.r)
		}
		near("surface", float64(p.SurfaceDeadZone()), math.Max(shadow, b.read(b.arc+c*tp)), stepped)
		wall := shadow + 0.020
		length := func(along, depth float64) float64 { l, _ := b.sum(along, depth); return l }
		near("behind the wall", float64(p.WallDeadZone(si.Length(wall))), b.read(length(0, wall)+c*tp)-wall, 1e-12)
		for _, d := range []float64{shadow + 0.001, shadow + 0.006, wall} {
			at := si.Length(d)
			near("time", float64(p.Time(at)), length(0, d)/c, 1e-18)
			near("depth", float64(p.Depth(si.Time(length(0, d)/c))), d, 1e-12)
			near("resolution", float64(p.Resolution(at)), b.read(length(0, d)+c*tp)-d, 1e-12)
			near("timing", float64(p.TimingError(at, 1e-11)), b.read(length(0, d)+c*1e-11)-d, 2e-9) // linear
			// The least way over a circle, over places that both legs reach.
			least := math.Inf(1)
			for along := -0.03; along <= 0.03; along += 0.0005 {
				if l, clear := b.sum(along, d); clear {
					least = math.Min(least, l)
				}
			}
			near("least way", float64(p.Time(at)), least/c, 1e-18)
			for _, x := range []float64{0.0005, -0.003} {
				if l, clear := b.sum(x, d); clear && d > shadow+0.001 {
					near("offset", float64(p.OffsetError(at, si.Length(x))), b.read(l)-d, 1e-12)
				}
			}
			// At the same time from the pulse, with the exit points a little farther apart.
			const ds = 1e-8
			wide := bore{b.r, b.arc + 2*ds}
			near("separation", float64(p.SeparationError(at, 2*ds)), d-wide.read(length(0, d)), 1e-12)
		}
		for _, x := range []float64{0, 0.003, -0.006} {
			h := float64(p.HiddenByWall(si.Length(wall), si.Length(x)))
			if got, clear := b.sum(x, wall-h); !clear {
				t.Errorf("r %g: a place at %g m is not in sight", b.r, x)
			} else {
				near("hidden by the wall", got/c+tp, length(0, wall)/c, 1e-15)
			}
		}
		// A ray at 55° to the radius, followed until it is midway.
		const alpha = 55 * math.Pi / 180
		ax, ay := b.place(b.arc/2, 0)
		lean := b.arc / 2 / b.r
		meet := ay + ax/math.Tan(alpha-lean) - b.r
		near("rays meet", float64(p.Meet(si.Angle(alpha))), meet, 1e-12)
		near("separation for the crossing", float64(acoustics.PairSeparation(si.Length(meet), si.Angle(alpha), si.Length(-b.r))), b.arc, 1e-12)
		if d := p.Meet(si.Angle(lean / 2)); si.Known(d) {
			t.Errorf("r %g: rays that part meet at %v", b.r, d)
		}
	}
	if far := acoustics.PairAround(0.4, -0.1, c, tp); si.Known(far.First()) || si.Known(far.Clear(0)) {
		t.Error("a pair more than half around has times")
	}
	// As the radius grows, a pair on a plate, but for errors counted from the pulse.
	flat, round := acoustics.Pair{Half: 0.04, Speed: c, Pulse: tp}, acoustics.PairAround(0.08, -1e5, c, tp)
	if math.Abs(float64(flat.First()-round.First())) > 1e-15 || math.Abs(float64(flat.SurfaceDeadZone()-round.SurfaceDeadZone())) > 1e-7 {
		t.Errorf("of a large bore the first wave comes at %v and hides %v, of a plate at %v and %v", round.First(), round.SurfaceDeadZone(), flat.First(), flat.SurfaceDeadZone())
	}
	for _, d := range []si.Length{0.01, 0.03} {
		if math.Abs(float64(flat.Resolution(d)-round.Resolution(d))) > 1e-7 || math.Abs(float64(flat.HiddenByWall(0.04, d/2)-round.HiddenByWall(0.04, d/2))) > 1e-7 ||
			math.Abs(float64(flat.Time(d)-round.Time(d))) > 1e-11 { // the chord lies 8 nm off
			t.Errorf("at %v mm a large bore is no plate", d*1e3)
		}
	}
}
