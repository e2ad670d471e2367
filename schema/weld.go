package schema

import (
	"strings"

	"soundwrit/internal/si"
)

// Double reports whether the edges are prepared from both surfaces.
func (w *Weld) Double() bool { return strings.HasPrefix(w.Preparation, "double-") }

// Longitudinal reports whether the weld runs along a pipe, so that its section
// is a piece of a ring.
func (p *Part) Longitudinal() bool { return p.Kind == "pipe" && p.Weld.Seam == "longitudinal" }

// Girth reports whether the weld runs around a pipe, so that it closes on itself.
func (p *Part) Girth() bool { return p.Kind == "pipe" && p.Weld.Seam == "girth" }

// steepest is the largest bevel angle of what is called a narrow gap here, the
// upper end of the range that is usual for steep-flanked preparations.
const steepest = 20 * si.Degree

// weld looks for dimensions of the preparation that do not fit each other.
func (c *checker) weld() {
	w, t := &c.Part.Weld, c.Part.Thickness
	upper := t - w.RootFace // depth of what is cut from the top, or from the one surface
	switch {
	case w.Double() && c.Has("part.weld.upper_depth"):
		if reaches(w.UpperDepth+w.RootFace, t) {
			f := c.fail("part.weld.upper_depth", "preparation-too-deep", "upper depth and root face leave nothing of the thickness for the lower half",
				"upper_depth and root_face together less than "+c.written("part.thickness"), "make one of them smaller")
			c.also(f, "part.weld.root_face")
			c.also(f, "part.thickness")
			return
		}
		upper = w.UpperDepth
	case reaches(w.RootFace, t): // with a default upper depth too, which halves what is left
		c.under("part.weld.root_face", "part.thickness", "preparation-too-deep", "the root face takes the whole thickness", "check root_face and thickness, and their units")
		return
	case w.Double():
		upper /= 2
	}
	switch w.Preparation {
	case "compound-bevel":
		c.compound()
	case "narrow-gap":
		if over(w.BevelAngle, steepest) {
			c.fail("part.weld.bevel_angle", "not-narrow", "the faces are not as steep as those of a narrow gap", "at most 20 deg", "make it smaller, or write preparation: single-V or single-U")
			return
		}
	}
	limit, half := radiusLimit(upper, w.BevelAngle), ""
	if w.Double() {
		half = " of the upper half"
		if lower := radiusLimit(t-w.RootFace-upper, w.LowerAngle); lower < limit {
			limit, half = lower, " of the lower half"
		}
	}
	if over(w.RootRadius, limit) {
		f := c.fail("part.weld.root_radius", "radius-too-large", "the radius is larger than the depth"+half+" lets it be",
			"at most "+si.Quantity{SI: float64(limit), Kind: si.KindLength}.Text("mm", 1, si.Down), "make root_radius or root_face smaller, or bevel_angle larger")
		c.also(f, "part.weld.root_face")
		c.also(f, "part.thickness")
	}
}

// radiusLimit returns the largest radius that ends, and lets a bevel begin,
// under the surface: R (1 − sin β) ≤ h, h the depth of the preparation.
func radiusLimit(depth si.Length, bevel si.Angle) si.Length {
	return depth / si.Length(1-bevel.Sin())
}

// compound looks at the place where one bevel changes into the other.
func (c *checker) compound() {
	w := &c.Part.Weld
	const height, angle = "part.weld.break_height", "part.weld.outer_angle"
	if reaches(w.RootFace, w.BreakHeight) {
		f := c.fail(height, "break-in-root-face", "the bevel changes before it begins, in the root face", "more than "+c.written("part.weld.root_face"), "measure break_height from the surface at the root, root face included")
		c.also(f, "part.weld.root_face")
	}
	if reaches(w.BreakHeight, c.Part.Thickness) {
		c.under(height, "part.thickness", "break-outside-part", "the bevel changes outside the part", "check break_height and thickness, and their units")
	}
	if reaches(w.OuterAngle, w.BevelAngle) {
		c.under(angle, "part.weld.bevel_angle", "outer-bevel-flatter", "the outer bevel is not steeper than the one next to the root face", "exchange bevel_angle and outer_angle, or choose single-V")
	}
}
