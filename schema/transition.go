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

// transitions looks whether the wall really grows, and for what a part cannot
// have both of.
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
	}
	for _, side := range []struct {
		name string
		bore *Counterbore
		t    *Transition
	}{{"A", c.Part.CounterboreA, c.Part.TransitionA}, {"B", c.Part.CounterboreB, c.Part.TransitionB}} {
		path := "part.counterbore." + side.name
		switch {
		case side.bore == nil:
		case c.Part.Kind == "plate":
			c.fail(path, "misplaced-key", "a counterbore does not go with kind plate", "counterbore goes with kind pipe", "write it as part.transition."+side.name+", or write kind: pipe")
		case side.t != nil && side.t.Surface != "top":
			f := c.fail(path, "stated-twice", "the inside on side "+side.name+" has a counterbore and a transition", "one of the two", "delete one of them")
			f.Also = append(f.Also, c.here("part.transition."+side.name, "the transition"))
		}
	}
	p := &c.Part
	bends := p.TransitionA != nil || p.TransitionB != nil || p.CounterboreA != nil || p.CounterboreB != nil || abs(p.Weld.Misalignment) > 0
	if p.Cladding != nil && bends && !p.Longitudinal() {
		c.fail("part.cladding", "clad-uneven-wall", "a cladding does not go with a transition, a counterbore or a misalignment: it is not known which layer grows thicker", "a cladding on a wall of one thickness", "delete one of them")
	}
	if off := c.Part.Weld.Misalignment; reaches(si.Length(abs(off)), c.Part.Thickness) {
		f := c.fail("part.weld.misalignment", "misaligned-apart", "the two parts lie past each other", "less than "+c.written("part.thickness")+" either way", "check misalignment and thickness, and their units")
		c.also(f, "part.thickness")
	}
}
