package coverage_test

import (
	"math"
	"math/rand"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// The direct fan of TestReachByHand leaves one region of 300 mm²: everything
// down to 10 mm depth, and right of 2z − 30 below.
func TestMissedByHand(t *testing.T) {
	s := geometry.New(squareButt())
	got := coverage.Measure(s, reach(s, []coverage.View{same(contact(1, 45*si.Degree, twice, -30*mm))}, 0))
	if len(got.Missed) != 1 {
		t.Fatalf("%d regions missed", len(got.Missed))
	}
	m := got.Missed[0]
	if math.Abs(float64(m.Area)*1e6-300) > 0.02 || math.Abs(float64(m.Share)-0.75) > 5e-5 {
		t.Errorf("missed %v m², share %v", m.Area, m.Share)
	}
	want := []float64{-10, 0, 10, 20}
	for i, v := range []si.Length{m.From.X, m.From.Z, m.To.X, m.To.Z} {
		if math.Abs(float64(v)*1e3-want[i]) > 1e-9 { // the extent is that of the rows, which begin and end at the surfaces
			t.Errorf("extent %d: %v, want %v mm", i, v, want[i])
		}
	}
	// Straight borders need few points: the outline has five corners, each of
	// which a row may cut off.
	if len(m.Outline) != 1 || len(m.Outline[0]) > 12 {
		t.Errorf("outline of %d pieces, the first with %d points", len(m.Outline), len(m.Outline[0]))
	}
}

func TestMissedRegionsAreConnected(t *testing.T) {
	s := geometry.New(squareButt())
	at := func(x si.Length) coverage.View { return same(contact(1, -1*si.Degree, 1*si.Degree, x)) }
	// Two narrow upright fans part the volume into three strips; largest first.
	// From −4 and 5 mm, the fans spread by 20 tan 1° = 0.349 mm: the strips
	// are 6, 9 and 5 mm wide less half of that each side that a fan has.
	got := coverage.Measure(s, reach(s, []coverage.View{at(-4 * mm), at(5 * mm)}, 0))
	want := []float64{20 * (9 - 0.3491), 20*6 - 20*0.17455, 20*5 - 20*0.17455}
	if len(got.Missed) != len(want) {
		t.Fatalf("%d regions missed, want %d", len(got.Missed), len(want))
	}
	for i, m := range got.Missed {
		if math.Abs(float64(m.Area)*1e6-want[i]) > 0.01 { // the fan's width is given to 0.0001 mm
			t.Errorf("region %d: %.4f mm², by hand %.4f", i, float64(m.Area)*1e6, want[i])
		}
	}
	// A fan that ends at 10 mm depth leaves two strips joined below it: one
	// region, drawn in three pieces.
	// So does one that begins there, with the strips below.
	for _, half := range []*schema.Region{region(20*mm, 20*mm, 0, 10*mm), region(20*mm, 20*mm, 10*mm, 20*mm)} {
		v := at(0)
		v.Region = half
		got = coverage.Measure(s, reach(s, []coverage.View{v}, 0))
		if len(got.Missed) != 1 || len(got.Missed[0].Outline) != 3 {
			t.Errorf("one region of three pieces expected: %+v", got.Missed)
		}
	}
}

// What is reached and what is missed make up the volume, and the outlines fill
// the regions: areas by the shoelace formula, which Measure does not use.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))
		s := geometry.New(randomPart(r))
		rows := reach(s, []coverage.View{randomView(r), randomView(r), randomView(r)}, 100)
		got := coverage.Measure(s, rows)
		missed, last := si.Area(0), si.Area(math.Inf(1))
		for _, m := range got.Missed {
			drawn := si.Area(0)
			for _, o := range m.Outline {
				drawn += o.Area()
			}
			// Outlines are straightened by up to 1 µm along their length of
			// 200 mm at most.
			if math.Abs(float64(drawn-m.Area)) > 0.2e-6 {
				t.Fatalf("outlines of %v m² for a region of %v", drawn, m.Area)
			}
			if m.Area > last {
				t.Fatal("regions are not sorted")
			}
			missed, last = missed+m.Area, m.Area
		}
		if math.Abs(float64(got.Reached+missed-got.Volume)) > 1e-12 {
			t.Fatalf("reached %v and missed %v are not %v", got.Reached, missed, got.Volume)
		}
		filled := si.Area(0)
		for _, o := range rows.Outlines() {
			filled += o.Area()
		}
		if math.Abs(float64(filled-got.Reached)) > 0.4e-6 {
			t.Fatalf("outlines of %v m² for %v reached", filled, got.Reached)
		}
		// A row of the volume that holds a bend is not exact; the volume is to
		// one in a thousand with 100 rows.
		// A slope inside the volume makes a whole row one that is not.
		exact := 1e-3
		if len(s.Transitions) > 0 {
			exact = 1e-2
		}
		if math.Abs(float64(got.Volume/s.Volume.Area())-1) > exact {
			t.Fatalf("volume %v, its polygon %v", got.Volume, s.Volume.Area())
		}
	})
}
