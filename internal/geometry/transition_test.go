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

// Where a ray from the top surface meets a slope of 45° from 20 to 26 mm depth
// that begins 40 mm beside the centreline, or the wall behind it: two straight
// lines, by hand.
func TestMeets(t *testing.T) {
	of := func(slope si.Angle) *geometry.Section {
		return geometry.New(with(singleV(), func(p *schema.Part) {
			p.TransitionA = &schema.Transition{Begins: 40 * mm, Slope: slope, Thickness: 26 * mm}
			p.TransitionB = &schema.Transition{Begins: 40 * mm, Slope: slope, Thickness: 26 * mm}
		}))
	}
	slope, step := of(45*si.Degree), of(90*si.Degree)
	for name, c := range map[string]struct {
		s       *geometry.Section
		x       si.Length // mm
		degrees si.Angle
		want    geometry.Point // mm
		turns   bool
	}{
		"even wall":                   {slope, -20, 45, geometry.Point{X: 0, Z: 20}, true},
		"slope on the probe's side":   {slope, -70, 45, geometry.Point{X: -45, Z: 25}, false},         // x = z − 70, z = 20 + (−40 − x)
		"wall on the probe's side":    {slope, -75, 45, geometry.Point{X: -49, Z: 26}, true},          // 26 mm on
		"slope on the other side":     {slope, 30, 30, geometry.Point{X: 43.6603, Z: 23.6603}, false}, // x = 30 + 0.57735 z, z = 20 + (x − 40)
		"wall on the other side":      {slope, 22, 45, geometry.Point{X: 48, Z: 26}, true},            // as steep as the slope, which it never meets
		"step, the ray meets its top": {step, -62, 45, geometry.Point{X: -40, Z: 22}, false},          // 22 mm on
	} {
		got, turns := c.s.Meets(geometry.Point{X: c.x * mm}, c.degrees*si.Degree, true)
		if math.Hypot(float64(got.X-c.want.X*mm), float64(got.Z-c.want.Z*mm)) > 1e-7 || turns != c.turns { // worked out to 0.0001 mm
			t.Errorf("%s: %v %v, by hand %v mm %v", name, got, turns, c.want, c.turns)
		}
	}
}

// By hand, a single-V of 20 mm, whose sides A and B are those of the surfaces:
// misaligned by 2 mm its weld keeps its width at each depth of a side, and its
// area grows by half the step times the difference of the widths of both sides
// at the two surfaces, which is nothing where the sides are alike.
func TestMisalignment(t *testing.T) {
	plain := geometry.New(singleV())
	off := geometry.New(with(singleV(), func(p *schema.Part) { p.Weld.Misalignment = 2 * mm }))
	if d := float64(off.Weld.Area() - plain.Weld.Area()); math.Abs(d) > noise*1e-3 {
		t.Errorf("the weld gains %g m²", d)
	}
	if d := float64(off.Volume.Area() - plain.Volume.Area()); math.Abs(d) > noise*1e-3 {
		t.Errorf("the volume gains %g m²", d)
	}
	for name, c := range map[string]struct{ got, want si.Length }{
		"top on side A": {off.Top.At(-30 * mm), 0}, "top on side B": {off.Top.At(30 * mm), 2 * mm},
		"bottom on side A": {off.Bottom.At(-30 * mm), 20 * mm}, "bottom on side B": {off.Bottom.At(30 * mm), 22 * mm},
		"face of side B": {off.Faces[len(off.Faces)-1].Lower.Z, 22 * mm},
	} {
		if math.Abs(float64(c.got-c.want)) > noise {
			t.Errorf("%s at depth %v, not %v", name, c.got, c.want)
		}
	}
	seen, deeper := off.Mirror().Stand(-30 * mm) // from side B
	if math.Abs(float64(deeper-2*mm)) > noise || math.Abs(float64(seen.Thickness-20*mm)) > noise || math.Abs(float64(seen.Top.At(30*mm)+2*mm)) > noise {
		t.Errorf("from side B: %v deeper, %v thick, side A at %v", deeper, seen.Thickness, seen.Top.At(30*mm))
	}
	if geometry.New(with(singleV(), func(p *schema.Part) { p.Weld.Misalignment = si.Unknown[si.Length]() })).Known() {
		t.Error("known with an unknown misalignment")
	}
}

// By hand: from 20 to 26 mm by both surfaces, so 3 mm each, by slopes of 45° that
// begin 12 mm beside the centreline, with a zone that ends at 22: on that side the
// volume gains twice a triangle of 3 · 3 / 2 and a strip of 7 · 3 mm².
func TestVolumeFollowsTheWall(t *testing.T) {
	zone := func(p *schema.Part) {
		p.Weld.Cap.Condition, p.Weld.Root.Condition = "flush", "flush"
		p.Zone = schema.Zone{Width: 10 * mm, Boundary: "straight"}
	}
	plain := geometry.New(with(singleV(), zone))
	from, to := plain.VolumeRow(10 * mm)
	begins := to - 10*mm
	s := geometry.New(with(with(singleV(), zone), func(p *schema.Part) {
		p.TransitionB = &schema.Transition{Begins: begins, Slope: 45 * si.Degree, Thickness: 26 * mm, Surface: "both"}
	}))
	if got := float64(s.Volume.Area()-plain.Volume.Area()) * 1e6; math.Abs(got-2*(4.5+21)) > 1e-6 {
		t.Errorf("the volume gains %v mm², by hand 51", got)
	}
	for z, want := range map[si.Length][2]si.Length{10: {from, to}, -1: {begins + mm, to}, 22: {begins + 2*mm, to}} {
		if a, b := s.VolumeRow(z * mm); math.Abs(float64(a-want[0]))+math.Abs(float64(b-want[1])) > noise {
			t.Errorf("depth %v mm: from %v to %v, by hand %v", z, a, b, want)
		}
	}
}
