package coverage_test

import (
	"math"
	"testing"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// swept is a beam of 45° without wedge, moved along the surface.
func swept(legs int, first, last si.Length) coverage.Way {
	w := contact(legs, 45*si.Degree, 45*si.Degree, first, last)
	w.Swept = true
	return w
}

// A beam of 45° that is moved from X₁ to X₂ lies between X₁ + z and X₂ + z
// directly, and between X₁ + 40 − z and X₂ + 40 − z after one skip. The volume
// reaches from X = −10 to 10, 20 mm deep. Areas by hand, in mm².
func TestSweptReachByHand(t *testing.T) {
	plain := geometry.New(squareButt())
	root := squareButt()
	root.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: 8 * mm, Height: 1 * mm}
	root.Zone.Width = 6 * mm // the volume stays the same
	for name, c := range map[string]struct {
		section *geometry.Section
		way     coverage.Way
		mm2     float64
	}{
		// From z = 10 on, the stretch −10 to z − 20.
		"direct": {plain, swept(1, -30*mm, -20*mm), 50},
		// The stretch 10 − z to 10 at every depth.
		"one skip": {plain, swept(2, -30*mm, -10*mm), 200},
		// What leaves between −24 and −16 bounces under the root, from −4 to 4.
		// Left of it 10 − z to min(10, 16 − z): 18 + 14·6; right of it, below
		// z = 14, 24 − z to 10: 18.
		"root":     {geometry.New(root), swept(2, -30*mm, -10*mm), 18 + 84 + 18},
		"one spot": {plain, swept(1, -30*mm, -30*mm), 0},
		"no emitter": {plain, coverage.Way{Swept: true, From: 45 * si.Degree, To: 45 * si.Degree,
			Course: course(2330, 1)}, 0},
	} {
		got := coverage.Measure(c.section, reach(c.section, []coverage.View{same(c.way)}, 0))
		if math.Abs(float64(got.Reached)*1e6-c.mm2) > 0.02 { // rows with a corner, as in TestReachByHand
			t.Errorf("%s: reached %.4f mm², by hand %.4f", name, float64(got.Reached)*1e6, c.mm2)
		}
	}
}

// Through a wedge the exit point moves by more than the array does, since the
// front of the array is higher: from 5 mm to 8 mm height at 30° in the wedge,
// 3 tan 30° more. α by Snell's law, sin α = 3240/2330 · 0.5.
func TestSweptThroughWedge(t *testing.T) {
	alpha := math.Asin(3240.0 / 2330 * 0.5)
	part := squareButt()
	part.Zone.Width = 98 * mm
	s := geometry.New(part)
	way := coverage.Way{
		Emitters: []coverage.Emitter{{X: -30 * mm, Height: 5 * mm}, {X: -20 * mm, Height: 8 * mm}}, Swept: true,
		From: si.Angle(alpha), To: si.Angle(alpha), Course: course(2330, 1),
	}
	row := reach(s, []coverage.View{same(way)}, 1).Row[0] // its middle is 10 mm deep
	from := -0.030 + 0.005*math.Tan(math.Pi/6) + 0.010*math.Tan(alpha)
	to := -0.020 + 0.008*math.Tan(math.Pi/6) + 0.010*math.Tan(alpha)
	if len(row) != 1 || math.Abs(float64(row[0].From)-from) > 1e-12 || math.Abs(float64(row[0].To)-to) > 1e-12 {
		t.Errorf("reached %v, by hand %.6f to %.6f m", row, from, to)
	}
}

// A moved beam keeps its angle, wherever it meets the face: 45° to a vertical
// one. The face at X = 2 lies between the rays from −20 and −10 from 12 mm
// depth on: 40 of 100 points.
func TestSweptIncidence(t *testing.T) {
	s := geometry.New(squareButt())
	got := incidence(s, face(t, s, "B root face"), []coverage.View{same(swept(1, -20*mm, -10*mm))}, 100)
	if got.Reached != 0.40 || math.Abs(float64(got.Best/si.Degree)-45) > 1e-9 || math.Abs(float64(got.Worst/si.Degree)-45) > 1e-9 {
		t.Errorf("reached %v, %v to %v off square", got.Reached, got.Best/si.Degree, got.Worst/si.Degree)
	}
}
