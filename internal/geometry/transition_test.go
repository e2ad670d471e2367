package geometry_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// thicker is the V in 20 mm whose wall grows to 26 mm by a slope of 45° on side
// A, and by a step to 30 mm on side B.
func thicker() *schema.Part {
	return with(singleV(), func(p *schema.Part) {
		p.Weld.Root = schema.Reinforcement{Condition: "as-welded", Width: 6 * mm, Height: mm}
		p.TransitionA = &schema.Transition{Begins: 40 * mm, Slope: 45 * si.Degree, Thickness: 26 * mm}
		p.TransitionB = &schema.Transition{Begins: 50 * mm, Slope: 90 * si.Degree, Thickness: 30 * mm}
	})
}

func TestTransitions(t *testing.T) {
	s := geometry.New(thicker())
	at := func(x, z si.Length) geometry.Point { return geometry.Point{X: x * mm, Z: z * mm} }
	near := cmp.Comparer(func(a, b si.Length) bool { return a == b || math.Abs(float64(a-b)) <= noise })
	for name, c := range map[string]struct{ got, want []geometry.Transition }{
		"section":  {s.Transitions, []geometry.Transition{{"A", true, at(-40, 20), at(-46, 26)}, {"B", true, at(50, 20), at(50, 30)}}},
		"mirrored": {s.Mirror().Transitions, []geometry.Transition{{"B", true, at(40, 20), at(46, 26)}, {"A", true, at(-50, 20), at(-50, 30)}}},
		"flipped":  {s.Flip().Transitions, []geometry.Transition{{"A", false, at(-40, 0), at(-46, -6)}, {"B", false, at(50, 0), at(50, -10)}}},
	} {
		if d := cmp.Diff(c.want, c.got, near); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	inf := si.Length(math.Inf(1))
	uneven := [][2]si.Length{{-inf, -40 * mm}, {-3 * mm, 3 * mm}, {50 * mm, inf}}
	for name, c := range map[string]struct{ got, want [][2]si.Length }{
		"bottom":         {s.Uneven(true), uneven},
		"top":            {s.Uneven(false), nil},
		"flipped top":    {s.Flip().Uneven(false), uneven},
		"flipped bottom": {s.Flip().Uneven(true), nil},
	} {
		if d := cmp.Diff(c.want, c.got, near); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
	for name, spoil := range map[string]func(*schema.Part){
		"begins":    func(p *schema.Part) { p.TransitionA.Begins = si.Unknown[si.Length]() },
		"slope":     func(p *schema.Part) { p.TransitionB.Slope = 0 },
		"thickness": func(p *schema.Part) { p.TransitionB.Thickness = 19 * mm },
	} {
		if geometry.New(with(thicker(), spoil)).Known() {
			t.Errorf("%s: the section is known", name)
		}
	}
}
