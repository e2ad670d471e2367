package coverage_test

import (
	"math/rand"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// unequalPart is a joint with square edges whose walls bend: it is misaligned,
// or grows thicker by one or both of its surfaces, on side B from the weld on.
func unequalPart(r *rand.Rand) *schema.Part {
	length := func(a, b float64) si.Length { return si.Length(a+(b-a)*r.Float64()) * mm }
	part := &schema.Part{Thickness: length(12, 30)}
	part.Weld = schema.Weld{Preparation: "square", RootGap: length(2, 6), Misalignment: []si.Length{0, 2 * mm, -2 * mm}[r.Intn(3)]}
	part.Weld.Cap.Condition, part.Weld.Root.Condition = "flush", "flush"
	part.Zone = schema.Zone{Width: length(4, 10), Boundary: "straight"}
	grows := func(begins si.Length) *schema.Transition {
		return &schema.Transition{
			Begins: begins, Slope: []si.Angle{10, 14, 30, 60, 90}[r.Intn(5)] * si.Degree, Thickness: part.Thickness + length(1, 6),
			Surface: []string{"bottom", "top", "both"}[r.Intn(3)],
		}
	}
	if r.Intn(3) > 0 {
		part.TransitionA = grows(length(14, 30))
	}
	if r.Intn(3) > 0 {
		part.TransitionB = grows(length(4, 30))
	}
	return part
}

// The closed form against traced rays where walls bend: rays turn at the depth
// that each level stretch has, none turns on a slope, and none goes through a
// corner that stands in its way.
func TestReachBetweenUnequalWalls(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	const rows, columns = 10, 40
	judged, hits := 0, 0
	for range 30 {
		part, views := unequalPart(r), []coverage.View{randomView(r), randomView(r)}
		for i := range views { // behind what slopes on the probe's side
			views[i].Region = nil
			for _, w := range []*coverage.Way{&views[i].Transmit, &views[i].Receive} {
				for k := range w.Emitters {
					w.Emitters[k].X -= 50 * mm
				}
			}
		}
		section := geometry.New(part)
		stands := section.Top.At(-80 * mm)
		got := reach(section.DepthsFrom(stands), views, rows)
		for k := range rows {
			z := float64(got.Top+stands) + (float64(k)+0.5)*float64(got.Height)
			all, reached := judge(t, r, columns, got.Row[k], z, bruteRow(part, section, views, z, float64(got.Height)), part, views)
			judged, hits = judged+all, hits+reached
		}
	}
	if hits < 150 || judged-hits < 1000 {
		t.Errorf("%d places judged, %d of them reached", judged, hits)
	}
}

// By hand: a pipe end of 20 mm counterbored by 2 mm for 30 mm, taper 45°, square
// edges and no gap. A beam of 45° from X = −60 turns at the bore's depth? At 18 mm
// it would be at −42, outside the bore, which ends at −30; so it goes on to 20 mm,
// turns at X = −40, and rises through depth 8 at X = −28. The nominal wall would
// have it there at −60 + 18 + 10 = −32.
func TestTurnBeyondCounterbore(t *testing.T) {
	part := &schema.Part{Thickness: 18 * mm}
	part.Weld = schema.Weld{Preparation: "square"}
	part.Weld.Cap.Condition, part.Weld.Root.Condition = "flush", "flush"
	part.CounterboreA = &schema.Counterbore{Length: 30 * mm, Depth: 2 * mm, Taper: 45 * si.Degree}
	part.Zone = schema.Zone{Width: 29 * mm, Boundary: "straight"}
	s := geometry.New(part)
	way := contact(2, 45*si.Degree, 46*si.Degree, -60*mm)
	got := reach(s, []coverage.View{same(way)}, 9).Row[4] // its middle lies at 9 mm
	if len(got) != 1 || got[0].From-(-29*mm) > 1e-9 || got[0].From-(-29*mm) < -1e-9 {
		t.Errorf("depth 9 mm: %v, by hand from −60 + 20 + 11 = −29 mm", got)
	}
	// One of 45° from X = −40 turns in the bore at −22, as from a wall of 18 mm.
	way = contact(2, 45*si.Degree, 46*si.Degree, -40*mm)
	got = reach(s, []coverage.View{same(way)}, 9).Row[4]
	if len(got) != 1 || got[0].From-(-13*mm) > 1e-9 || got[0].From-(-13*mm) < -1e-9 {
		t.Errorf("depth 9 mm: %v, by hand from −40 + 18 + 9 = −13 mm", got)
	}
	// One of 45° from X = −51 meets the taper, which goes from (−32, 20) to
	// (−30, 18), at −31.5: no ray between is followed.
	way = contact(2, 45*si.Degree, 45*si.Degree, -50.5*mm)
	if got = reach(s, []coverage.View{same(way)}, 9).Row[4]; len(got) != 0 {
		t.Errorf("a ray that turns on the taper reaches %v", got)
	}
}
