package schema

import "soundwrit/internal/si"

// Transition is where the wall grows thicker away from the weld: the taper
// between parts of unequal thickness.
type Transition struct {
	Begins    si.Length // from the weld's centreline to the edge of the slope
	Slope     si.Angle  // of the slope against the surface
	Thickness si.Length // of the wall beyond the slope
	Surface   string    // bottom, top, both: what slopes
}

// Counterbore is a bore at the inside of a pipe end, which leaves the thickness
// of the part at the weld.
type Counterbore struct {
	Length si.Length // level, from the edge of the root gap
	Depth  si.Length // of the wall that it took
	Taper  si.Angle  // against the surface, where it ends
}

// Flange is what the web of a T-butt weld stands on.
type Flange struct {
	Thickness si.Length
}

// transitions looks whether the wall really grows, and for groups that would
// stand on the surface with the slope.
func (c *checker) transitions() {
	for _, side := range []struct {
		path string
		t    *Transition
	}{{"part.transition.A", c.Part.TransitionA}, {"part.transition.B", c.Part.TransitionB}} {
		if side.t == nil {
			continue
		}
		if reaches(c.Part.Thickness, side.t.Thickness) {
			f := c.fail(side.path+".thickness", "transition-not-thicker", "the wall beyond the transition is not thicker than at the weld",
				"more than "+c.written("part.thickness"), "write the smaller thickness, that at the weld, as part.thickness")
			c.also(f, "part.thickness")
		}
		for _, g := range c.Groups {
			if g.Surface == "bottom" {
				f := c.fail("groups."+g.Name+".surface", "surface-sloped", "the bottom surface has a transition, on which no wedge stands",
					"top", "scan from the top surface")
				f.Also = append(f.Also, c.here(side.path, "the transition"))
				return
			}
		}
	}
}
