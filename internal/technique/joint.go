package technique

import (
	"soundwrit/internal/si"
)

// joint states the dimensions of the preparation, and what follows from them:
// how wide the weld is at the surfaces, so that the crew can compare it with the
// drawing and with the cap, and its section.
func (s *sheet) joint() {
	w := &s.Job.Part.Weld
	shape := []string{"part.thickness"} // ids of what decides the outline
	length := func(id, symbol, name string, x si.Length) {
		s.length(id, symbol, name, x, given())
		shape = append(shape, id)
	}
	angle := func(id, symbol, name string, x si.Angle) {
		s.angle(id, symbol, name, x, given())
		shape = append(shape, id)
	}
	length("weld.root_gap", "b_g", "root gap", w.RootGap)
	if w.Preparation != "square" {
		length("weld.root_face", "c_f", "height of the root face", w.RootFace)
		angle("weld.bevel_angle", "β_b", "bevel angle from the surface's normal", w.BevelAngle)
	}
	if w.RootRadius > 0 {
		length("weld.root_radius", "R_r", "radius between root face and bevel", w.RootRadius)
	}
	if w.Double() {
		length("weld.upper_depth", "h_u", "depth of the upper preparation", w.UpperDepth)
		angle("weld.lower_angle", "β_l", "bevel angle of the lower half", w.LowerAngle)
	}
	if w.Preparation == "compound-bevel" {
		angle("weld.outer_angle", "β_o", "angle of the bevel next to the surface", w.OuterAngle)
		length("weld.break_height", "h_b", "height of the change of bevel over the surface at the root", w.BreakHeight)
	}
	s.widths()
	s.flange()
	s.add("weld.area", "A_w", "section of the weld without reinforcement", float64(s.Section.Area(s.Section.Weld)), si.KindArea, area, how{
		formula: "area of the outline of the preparation", inputs: shape, source: "geometry, the outline that the figures show"})
}

// widths states how wide the preparation is at each surface.
func (s *sheet) widths() {
	w, gap := &s.Job.Part.Weld, opening{formula: "b_g", inputs: []string{"weld.root_gap"}}
	top, bottom := gap, gap
	switch {
	case w.Double():
		top = s.opening("h_u", "β_b", "weld.upper_depth", "weld.bevel_angle")
		bottom = s.opening("(t − c_f − h_u)", "β_l", "part.thickness", "weld.root_face", "weld.upper_depth", "weld.lower_angle")
	case w.Opens == "top":
		top = s.opening("(t − c_f)", "β_b", "part.thickness", "weld.root_face", "weld.bevel_angle")
	case w.Opens == "bottom":
		bottom = s.opening("(t − c_f)", "β_b", "part.thickness", "weld.root_face", "weld.bevel_angle")
	}
	one := func(id, symbol, surface string, z si.Length, o opening) {
		from, to := s.Section.WeldRow(z)
		if w.Misalignment != 0 { // the edges do not lie at one depth
			a, b := s.Section.Edges(z > 0)
			from, to = a.X, b.X
		}
		formula := symbol + " = " + o.formula
		if s.Section.Radius() != 0 {
			formula, o.inputs = symbol+" = arc between the faces, where they meet the circle of the surface", append(o.inputs, "part.outside_diameter")
		}
		s.length(id, symbol, "width of the preparation at the "+surface+" surface", (to-from)*si.Length(s.Section.Scale(z)), how{
			formula: formula, inputs: o.inputs, source: "geometry"})
	}
	one("weld.width_top", "w_t", "top", 0, top)
	one("weld.width_bottom", "w_b", "bottom", s.Section.Thickness, bottom)
}

// opening is how the width of a preparation at one surface follows from its
// dimensions.
type opening struct {
	formula string
	inputs  []string
}

// opening is that of a groove, whose depth and bevel angle are given as they
// stand in the formula.
func (s *sheet) opening(depth, bevel string, inputs ...string) opening {
	w := &s.Job.Part.Weld
	o := opening{formula: depth + " tan " + bevel, inputs: append([]string{"weld.root_gap"}, inputs...)}
	switch {
	case w.Preparation == "compound-bevel":
		o.formula = "(h_b − c_f) tan β_b + (t − h_b) tan β_o"
		o.inputs = append(o.inputs, "weld.break_height", "weld.outer_angle")
	case w.RootRadius > 0:
		o.formula = "R_r cos " + bevel + " + (" + depth + " − R_r (1 − sin " + bevel + ")) tan " + bevel
		o.inputs = append(o.inputs, "weld.root_radius")
	}
	if w.BevelledSide == "" {
		o.formula = "2 (" + o.formula + ")"
	}
	o.formula = "b_g + " + o.formula
	return o
}
