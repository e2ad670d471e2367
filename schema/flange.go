package schema

import (
	"fmt"
	"slices"

	"soundwrit/internal/si"
)

// Flange is the plate across the end of the web of a T-butt weld.
type Flange struct {
	Thickness si.Length // from the face that is welded to the outer face
}

// teeEdges are the preparations of a T-butt weld: those with one square edge,
// which is the face of the flange.
var teeEdges = []string{"single-bevel", "double-bevel", "single-J", "double-J"}

// flange looks for what a T-butt weld cannot have.
func (c *checker) flange() {
	p := &c.Part
	if p.Flange == nil {
		return
	}
	misplaced := func(path, message, limit, remedy string) {
		f := c.fail(path, "misplaced-key", message, limit, remedy)
		f.Also = append(f.Also, c.here("part.flange", "the flange"))
	}
	if p.Kind == "pipe" {
		misplaced("part.flange", "a flange does not go with kind pipe", "flange goes with kind plate", "delete it, or write kind: plate")
	}
	w := &p.Weld
	if w.Preparation != "" && !slices.Contains(teeEdges, w.Preparation) {
		misplaced("part.weld.preparation", "the preparation does not go with a flange, whose face is a square edge", oneOf(teeEdges), "choose one of these, or delete flange")
	} else if w.BevelledSide == "B" {
		misplaced("part.weld.bevelled_side", "side B is the flange, whose face is not bevelled", "A", "write bevelled_side: A; the web lies on side A")
	}
	for i, side := range p.Sides {
		if side == "B" {
			misplaced(fmt.Sprintf("part.access.sides.%d", i), "side B is the flange, and beams are computed from the web", "A", "write sides: [A]")
		}
	}
	for _, one := range []struct {
		path  string
		given bool
	}{
		{"part.transition.A", p.TransitionA != nil}, {"part.transition.B", p.TransitionB != nil},
		{"part.weld.misalignment", abs(w.Misalignment) > 0}, {"part.cladding", p.Cladding != nil},
	} {
		if one.given {
			misplaced(one.path, one.path[len("part."):]+" does not go with a flange", "a web of one thickness without cladding", "delete one of the two")
		}
	}
	for i := range c.Groups {
		if c.Groups[i].Method == "tofd" {
			misplaced("groups."+c.Groups[i].Name+".method", "tofd needs one surface on both sides of the weld, which a T-butt weld has not", "another method", "examine it with tfm, sectorial or linear beams from both surfaces of the web")
		}
	}
}
