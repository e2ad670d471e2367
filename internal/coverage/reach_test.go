package coverage_test

import (
	"math"
	"math/rand"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// twice is the refracted angle whose tangent is 2, so that figures stay round.
var twice = si.Angle(math.Atan(2))

// A fan from 45° to arctan 2 that leaves the surface at X = −30 mm covers, at
// depth z, X from −30 + z to −30 + 2z directly and from 10 − z to 50 − 2z after
// one skip. Areas by hand, in mm².
func TestReachByHand(t *testing.T) {
	plain := geometry.New(squareButt())
	// A root reinforcement 8 mm wide takes the bounces between X = −4 and 4,
	// that is tangents between 1.3 and 1.7. The zone is 2 mm narrower, so that
	// the volume stays the same.
	root := squareButt()
	root.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: 8 * mm, Height: 1 * mm}
	root.Zone.Width = 6 * mm
	// A cap 20 mm wide hides every bounce at the top from X = −10 to 10, which
	// only leg 3 has.
	capped := squareButt()
	capped.Weld.Cap = schema.Reinforcement{Condition: "as-welded", Width: 20 * mm, Height: 1 * mm}
	capped.Zone.Width = 0
	leg := func(n int) coverage.View { return same(contact(n, 45*si.Degree, twice, -30*mm)) }
	third := func(x si.Length) coverage.View { return same(contact(3, 45*si.Degree, twice, x)) }
	for name, c := range map[string]struct {
		section *geometry.Section
		views   []coverage.View
		mm2     float64
	}{
		// From z = 10 to 20 the stretch −10 to 2z − 30: ½·10·20.
		"direct": {plain, []coverage.View{leg(1)}, 100},
		// The stretch 10 − z to 10: ½·20·20.
		"one skip": {plain, []coverage.View{leg(2)}, 200},
		// Missed: 20 − z down to z = 10, then 40 − 3z down to z = 40/3:
		// 150 + 50/3.
		"both": {plain, []coverage.View{leg(1), leg(2)}, 400 - 150 - 50.0/3},
		// Lost between 22 − 1.3z and min(10, 38 − 1.7z):
		// ∫(1.3z − 12) from 120/13 to 280/17 + ∫(16 − 0.4z) from 280/17 to 20.
		"root": {geometry.New(root), []coverage.View{leg(2)}, 200 - 34.069735 - 30.726643},
		// Direct rays do not bounce.
		"root, direct": {geometry.New(root), []coverage.View{leg(1)}, 100},
		// From X = −70 the third leg is at x = −70 + (40 + z)s, s from 1 to 2:
		// it bounces at the top from −30 to 10, all right of −10 is lost, and
		// what bounces at −10 has s = 1.5: up to −10 + 1.5z is left, from
		// −30 + z on. ∫ of the stretch −10 to min(10, 1.5z − 10):
		// ½·(40/3)·20 + (20 − 40/3)·20.
		"cap, third leg": {geometry.New(capped), []coverage.View{third(-70 * mm)}, 400.0/3 + 400.0/3},
		// Without the cap everything from −30 + z to 10 + 2z.
		"third leg": {plain, []coverage.View{third(-70 * mm)}, 400},
		"none":      {plain, nil, 0},
		// Above the critical angle of the wedge nothing gets into the part.
		"beyond critical": {plain, []coverage.View{same(coverage.Way{
			Emitters: []coverage.Emitter{{X: -30 * mm, Height: 5 * mm}}, From: 50 * si.Degree, To: 60 * si.Degree,
			Course: course(5000, 1),
		})}, 0},
		"unknown angle": {plain, []coverage.View{same(contact(1, 45*si.Degree, si.Unknown[si.Angle](), -30*mm))}, 0},
		"no emitter":    {plain, []coverage.View{same(contact(1, 45*si.Degree, twice))}, 0},
		"no leg":        {plain, []coverage.View{same(contact(0, 45*si.Degree, twice, -30*mm))}, 0},
		// Imaged from 15 to 20 mm depth and beyond X = −5: (2z − 25)·dz
		// integrated from 15 to 20 is 175 − 125.
		"region": {plain, []coverage.View{func() coverage.View {
			v := leg(1)
			v.Region = &schema.Region{Near: 5 * mm, Far: 50 * mm, Top: 15 * mm, Bottom: 20 * mm}
			return v
		}()}, 50},
	} {
		got := coverage.Measure(c.section, reach(c.section, c.views, 0))
		// Only rows that hold the corner of a stretch are not exact: less than
		// the square of their height, 0.05² mm², times the slopes, each.
		if math.Abs(float64(got.Reached)*1e6-c.mm2) > 0.02 {
			t.Errorf("%s: reached %.4f mm², by hand %.4f", name, float64(got.Reached)*1e6, c.mm2)
		}
		if math.Abs(float64(got.Share)*400-float64(got.Reached)*1e6) > 1e-6 {
			t.Errorf("%s: share %v of 400 mm², reached %v", name, got.Share, got.Reached)
		}
	}
}

// Four emitters 1 mm apart: at 15 mm depth their stretches begin at −15, −14,
// −13, −12 and end at 0, 1, 2, 3 mm. Two of them reach from the second
// beginning to the second end from the right.
func TestHalfOfTheEmitters(t *testing.T) {
	part := squareButt()
	part.Zone.Width = 28 * mm
	s := geometry.New(part)
	four := contact(1, 45*si.Degree, twice, -30*mm, -29*mm, -28*mm, -27*mm)
	odd := contact(1, 45*si.Degree, twice, -30*mm, -29*mm, -28*mm)
	one := contact(1, 45*si.Degree, twice, -28*mm)
	for name, c := range map[string]struct {
		view coverage.View
		want coverage.Interval
	}{
		"four":      {same(four), coverage.Interval{From: -14 * mm, To: 2 * mm}},
		"three":     {same(odd), coverage.Interval{From: -14 * mm, To: 1 * mm}}, // two of three: half is not enough
		"both ways": {coverage.View{Transmit: four, Receive: one}, coverage.Interval{From: -13 * mm, To: 2 * mm}},
	} {
		// One row of 20 mm would have its middle at 10; two have them at 5 and 15.
		got := reach(s, []coverage.View{c.view}, 2).Row[1]
		if len(got) != 1 || math.Abs(float64(got[0].From-c.want.From))+math.Abs(float64(got[0].To-c.want.To)) > 1e-12 {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

// The closed form against rays shot one by one from wall to wall: for joints,
// arrays and angles drawn at random, each place of a grid has the same answer.
func TestReachAgainstTracedRays(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	const rows, columns = 12, 60
	judged, hits := 0, 0
	for range 60 {
		part, views := randomPart(r), []coverage.View{randomView(r), randomView(r)}
		section := geometry.New(part)
		got := reach(section, views, rows)
		height := float64(part.Thickness) / rows
		for k := range rows {
			z := (float64(k) + 0.5) * height
			all, reached := judge(t, r, columns, got.Row[k], z, bruteRow(part, section, views, z, height), part, views)
			judged, hits = judged+all, hits+reached
		}
	}
	// The comparison means nothing unless both answers are common.
	if hits < 1000 || judged-hits < 1000 {
		t.Errorf("%d places judged, %d of them reached", judged, hits)
	}
}

// judge compares one row with what traced rays say at places drawn at random.
// The border of what is lost at a reinforcement is found to the distance of two
// rays, half a millimetre in the widest fan: nearer to a border nothing is
// judged.
func judge(t *testing.T, r *rand.Rand, columns int, row []coverage.Interval, z float64, brute func(float64) bool, part *schema.Part, views []coverage.View) (judged, hits int) {
	t.Helper()
	const border = 1e-3
	for range columns {
		x := (r.Float64()*2 - 1) * 0.045
		want := brute(x)
		if brute(x-border) != want || brute(x+border) != want {
			continue
		}
		judged++
		if want {
			hits++
		}
		if contains(row, x) != want {
			t.Fatalf("X %.3f mm, Z %.3f mm: reached %v, traced rays say %v\npart %+v\nA %+v B %+v\nviews %+v",
				x*1e3, z*1e3, !want, want, part, part.TransitionA, part.TransitionB, views)
		}
	}
	return judged, hits
}

// The swept outline of a direct fan, drawn as a polygon and rastered.
func TestReachAgainstRaster(t *testing.T) {
	part := squareButt()
	part.Weld.BevelAngle, part.Weld.RootFace = 35*si.Degree, 2*mm
	part.Zone.Boundary = "parallel"
	s := geometry.New(part)
	// From X = −22: to the bottom at 20 tan 40° and 20 tan 68° further on.
	view := same(contact(1, 40*si.Degree, 68*si.Degree, -22*mm))
	fan := geometry.Polygon{{X: -22 * mm}, {X: (-22 + 20*2.47508685) * mm, Z: 20 * mm}, {X: (-22 + 20*0.83909963) * mm, Z: 20 * mm}}
	const step = 0.05e-3
	hit, all := 0, 0
	for x := -0.04 + step/2; x < 0.04; x += step {
		for z := step / 2; z < 0.02; z += step {
			if inside(s.Volume, x, z) {
				all++
				if inside(fan, x, z) {
					hit++
				}
			}
		}
	}
	got := coverage.Measure(s, reach(s, []coverage.View{view}, 0))
	// The raster errs by less than half a step along the borders of the
	// region, 100 mm at most, and in both senses: 1 mm² of 900 is generous.
	if want := float64(hit) / float64(all); math.Abs(float64(got.Share)-want) > 1e-3 {
		t.Errorf("share %.5f, raster says %.5f", got.Share, want)
	}
}

func TestMirrorAndFlip(t *testing.T) {
	part := squareButt()
	part.Weld = schema.Weld{
		Preparation: "double-V", BevelAngle: 30 * si.Degree, LowerAngle: si.Unknown[si.Angle](), UpperDepth: si.Unknown[si.Length](),
		RootFace: 2 * mm, RootGap: 2 * mm, Cap: part.Weld.Cap, Root: part.Weld.Root,
	}
	s := geometry.New(part)
	view := same(contact(1, 45*si.Degree, twice, -30*mm))
	a := reach(s, []coverage.View{view}, 50)
	b := reach(s.Mirror(), []coverage.View{view}, 50).Mirror()
	both := coverage.Union(a, b)
	near := cmp.Comparer(func(x, y si.Length) bool { return math.Abs(float64(x-y)) < 1e-12 })
	if d := cmp.Diff(both, both.Mirror(), near); d != "" {
		t.Errorf("a symmetrical weld seen from both sides is not reached symmetrically: %s", d)
	}
	// What is reached from the bottom lies where the same probe on top reaches,
	// measured from the other surface: of this joint, the rows in reverse.
	below := reach(s.Flip(), []coverage.View{view}, 50).Flip(s.Thickness, 1)
	for k := range a.Row {
		if d := cmp.Diff(a.Row[k], below.Row[len(a.Row)-1-k], near); d != "" {
			t.Errorf("row %d: %s", k, d)
		}
	}
	if math.Abs(float64(below.Top)) > 1e-12 {
		t.Errorf("flipped rows begin at %v", below.Top)
	}
	// The direct fan from the top is widest at the bottom, and the other way round.
	if len(a.Row[49]) == 0 || len(a.Row[0]) != 0 || len(below.Row[0]) == 0 || len(below.Row[49]) != 0 {
		t.Error("the fan does not widen away from the probe")
	}
}

// Looking more never shows less: wider angles, and another side.
func TestMoreNeverLowersCoverage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))
		s := geometry.New(randomPart(r))
		views := []coverage.View{randomView(r), randomView(r)}
		wider := append([]coverage.View(nil), views...)
		wider[0].Transmit.From -= si.Angle(rapid.Float64Range(0, 20).Draw(t, "less")) * si.Degree
		wider[1].Receive.To += si.Angle(rapid.Float64Range(0, 10).Draw(t, "more")) * si.Degree
		const rows = 60
		share := func(r coverage.Rows) si.Ratio { return coverage.Measure(s, r).Share }
		plain := reach(s, views, rows)
		if a, b := share(plain), share(reach(s, wider, rows)); b < a-1e-9 {
			t.Fatalf("wider angles: %v instead of %v", b, a)
		}
		other := reach(s.Mirror(), views, rows).Mirror()
		if a, b := share(plain), share(coverage.Union(plain, other)); b < a-1e-9 || b > 1 {
			t.Fatalf("another side: %v instead of %v", b, a)
		}
		if a, b := share(reach(s, views[:1], rows)), share(plain); b < a-1e-9 {
			t.Fatalf("another view: %v instead of %v", b, a)
		}
	})
}

func TestUnknownSection(t *testing.T) {
	part := squareButt()
	part.Thickness = si.Unknown[si.Length]()
	s := geometry.New(part)
	rows := reach(s, []coverage.View{same(contact(1, 45*si.Degree, twice, -30*mm))}, 0)
	got := coverage.Measure(s, coverage.Union(rows, rows.Mirror()))
	if si.Known(got.Share) || si.Known(got.Volume) || si.Known(got.Reached) || len(got.Missed) != 0 {
		t.Errorf("coverage of an unknown section: %+v", got)
	}
}

func contains(row []coverage.Interval, x float64) bool {
	for _, s := range row {
		if float64(s.From) <= x && x <= float64(s.To) {
			return true
		}
	}
	return false
}
