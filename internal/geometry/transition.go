package geometry

import (
	"math"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Transition is where the wall grows thicker away from the weld: plain up to
// Begins, sloped up to Ends, and level beyond.
type Transition struct {
	Side         string // A, B
	Begins, Ends Point
}

// transitions builds those of a part, or returns false where one is unknown.
// Whether they lie clear of the volume is for the caller to see.
func transitions(part *schema.Part) (list []Transition, ok bool) {
	t := float64(part.Thickness)
	for _, side := range []struct {
		name string
		sign float64
		of   *schema.Transition
	}{{"A", -1, part.TransitionA}, {"B", 1, part.TransitionB}} {
		if side.of == nil {
			continue
		}
		begins, beyond, slope := float64(side.of.Begins), float64(side.of.Thickness), float64(side.of.Slope)
		if !(begins >= 0) || math.IsInf(begins, 0) || !(beyond >= t) || math.IsInf(beyond, 0) || !(slope > 0 && slope <= math.Pi/2) {
			return nil, false
		}
		list = append(list, Transition{
			Side: side.name, Begins: point(side.sign*begins, t), Ends: point(side.sign*(begins+(beyond-t)/math.Tan(slope)), beyond),
		})
	}
	return list, true
}

// Uneven returns the stretches of one wall, the top or the bottom, that are not
// plain, and off which no ray is followed: under the reinforcement, and from
// where a transition begins.
func (s *Section) Uneven(bottom bool) [][2]si.Length {
	reinforced := s.capSpan
	if bottom {
		reinforced = s.rootSpan
	}
	var list [][2]si.Length
	if reinforced.from < reinforced.to {
		list = append(list, [2]si.Length{si.Length(reinforced.from), si.Length(reinforced.to)})
	}
	for _, t := range s.Transitions {
		if (t.Begins.Z > s.Thickness/2) != bottom {
			continue
		}
		stretch := [2]si.Length{si.Length(math.Inf(-1)), t.Begins.X}
		if t.Side == "B" {
			stretch = [2]si.Length{t.Begins.X, si.Length(math.Inf(1))}
		}
		list = append(list, stretch)
	}
	return list
}

// mapped copies a transition with its points mapped, for the side given.
func (t Transition) mapped(side string, point func(Point) Point) Transition {
	return Transition{Side: side, Begins: point(t.Begins), Ends: point(t.Ends)}
}
