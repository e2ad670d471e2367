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
	for i := range c.Groups {
		c.onFlange(&c.Groups[i])
	}
	if p.Flange == nil {
		for i, surface := range p.Surfaces {
			if surface == "flange" {
				c.fail(fmt.Sprintf("part.access.surfaces.%d", i), "misplaced-key", "the part has no flange", "flange goes with part.flange, which makes the joint a T-butt weld", "delete it, or describe the flange")
			}
		}
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
			misplaced(fmt.Sprintf("part.access.sides.%d", i), "side B is the flange, whose outer face is a surface", "A", "write sides: [A], and flange under surfaces where its outer face is accessible")
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
			misplaced("groups."+c.Groups[i].Name+".method", "tofd needs one surface on both sides of the weld, which a T-butt weld has not", "another method", "examine it with tfm, sectorial or linear beams from both surfaces of the web, or from the outer face of the flange")
		}
	}
}

// fromFlange are the sides of a group on the outer face of a flange: its halves,
// by the surface of the web to whose side they lie.
var fromFlange = []string{"top", "bottom"}

// OnFlange reports whether a group stands on the outer face of the flange.
func (g *Group) OnFlange() bool { return g.Surface == "flange" }

// onFlange looks for what a group on the outer face of the flange cannot have, and
// for what no other can.
func (c *checker) onFlange(g *Group) {
	path := "groups." + g.Name
	if !g.OnFlange() {
		for i, side := range g.Sides {
			if slices.Contains(fromFlange, side) {
				c.fail(fmt.Sprintf("%s.sides.%d", path, i), "misplaced-key", "side "+side+" is one of the outer face of a flange, on which the group does not stand", "A or B", "write A or B, or surface: flange")
			}
		}
		if over(0, g.WedgeFront) {
			c.fail(path+".wedge_front", "out-of-range", "wedge_front is too small", "at least 0 mm; only on a flange may a wedge stand over the weld's centreline", "check the number and its unit")
		}
		return
	}
	for i, side := range g.Sides {
		if !slices.Contains(fromFlange, side) {
			c.fail(fmt.Sprintf("%s.sides.%d", path, i), "misplaced-key", "side "+side+" is none of the outer face of a flange", "top, bottom or both: to the side of the web's top, of its bottom", "write sides: [top, bottom], or delete sides")
		}
	}
	switch {
	case g.Method == "tfm":
		c.fail(path+".method", "misplaced-key", "an image from the outer face of a flange is not computed", "straight-beam, angle-beam, sectorial or linear", "choose one of these, or surface: top or bottom")
	case g.Target == "parent":
		c.fail(path+".target", "misplaced-key", "the parent metal in the way of angled beams lies in the web, not under the outer face of the flange", "weld", "write target: weld, or scan the web with surface: top or bottom")
	}
}
