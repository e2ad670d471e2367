package geometry

import (
	"math"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Transition is where the wall grows thicker away from the weld: level up to
// Begins, sloped up to Ends, and level beyond.
type Transition struct {
	Side         string // A, B
	Bottom       bool   // of the bottom surface; otherwise of the top one
	Begins, Ends Point
}

// slope is a transition of one surface as the job gives it: where it begins,
// along the surface from the centreline, how much it adds, and its angle.
type slope struct {
	begins, adds, angle float64
	bottom              bool
}

// slopes lists those of one side, or returns false where one is unknown. root
// is the distance from the centreline to the edge of the root gap.
func slopes(t, root float64, of *schema.Transition, bore *schema.Counterbore) (list []slope, ok bool) {
	if of != nil {
		s := slope{float64(of.Begins), float64(of.Thickness) - t, float64(of.Slope), true}
		switch of.Surface {
		case "top":
			s.bottom = false
			list = append(list, s)
		case "both":
			s.adds /= 2
			top := s
			top.bottom = false
			list = append(list, s, top)
		default:
			list = append(list, s)
		}
	}
	if bore != nil {
		list = append(list, slope{root + float64(bore.Length), float64(bore.Depth), float64(bore.Taper), true})
	}
	for _, s := range list {
		if !(s.begins >= 0) || math.IsInf(s.begins, 0) || !(s.adds >= 0) || math.IsInf(s.adds, 0) || !(s.angle > 0 && s.angle <= math.Pi/2) {
			return nil, false
		}
	}
	return list, true
}

// walls builds the surfaces of a butt joint: at the weld those of side B lie
// deeper by the misalignment, and away from it a side may grow thicker. It
// returns false where a dimension is unknown, and where a transition begins
// inside the weld or under its reinforcement, which Buried tells.
func (s *Section) walls(part *schema.Part, a, b profile) bool {
	t, off := float64(part.Thickness), float64(part.Weld.Misalignment)
	type edge struct{ a, b float64 } // of the weld at one surface, from the centreline
	edges := map[bool]edge{false: {a[0].x, b[0].x}, true: {a[len(a)-1].x, b[len(b)-1].x}}
	left, okA := slopes(t, float64(part.Weld.RootGap)/2, part.TransitionA, part.CounterboreA)
	right, okB := slopes(t, float64(part.Weld.RootGap)/2, part.TransitionB, part.CounterboreB)
	if !okA || !okB {
		return false
	}
	build := func(bottom bool) Wall {
		z, down, reinforced := 0.0, -1.0, s.capSpan
		if bottom {
			z, down, reinforced = t, 1, s.rootSpan
		}
		side := func(name string, list []slope, sign, z, edge float64) (corners []Point) {
			for _, l := range list {
				if l.bottom != bottom {
					continue
				}
				tr := Transition{
					Side: name, Bottom: bottom,
					Begins: point(sign*l.begins, z), Ends: point(sign*(l.begins+l.adds/math.Tan(l.angle)), z+down*l.adds),
				}
				s.Transitions = append(s.Transitions, tr)
				if least := math.Max(edge, math.Max(sign*reinforced.from, sign*reinforced.to)); l.begins < least-levelNoise {
					s.buried = append(s.buried, Buried{tr, si.Length(least)})
				}
				corners = append(corners, tr.Begins, tr.Ends)
			}
			return corners
		}
		e := edges[bottom]
		var corners []Point
		for _, c := range side("A", left, -1, z, e.a) {
			corners = append([]Point{c}, corners...)
		}
		if off != 0 {
			corners = append(corners, point(-e.a, z), point(e.b, z+off))
		}
		corners = append(corners, side("B", right, 1, z+off, e.b)...)
		return wallOf(corners, si.Length(z))
	}
	s.Top, s.Bottom = build(false), build(true)
	return len(s.buried) == 0
}

// Buried is a transition that begins inside the weld or under its reinforcement,
// where the section is not known: Least is where it may begin, from the
// centreline.
type Buried struct {
	Transition
	Least si.Length
}

// Buried returns the transitions for which the section cannot be built.
func (s *Section) Buried() []Buried { return s.buried }

// mapped copies a transition with its points mapped, for the side and the
// surface given.
func (t Transition) mapped(side string, bottom bool, point func(Point) Point) Transition {
	return Transition{Side: side, Bottom: bottom, Begins: point(t.Begins), Ends: point(t.Ends)}
}
