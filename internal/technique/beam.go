package technique

import (
	"fmt"
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/si"
)

// beamValues states the laws of a sectorial group.
func (s *sheet) beamValues(id string, g *Group, st stand) {
	s.angle(id+"angle_step", "Δα", "step between beams", g.Angles.Step, given())
	right := s.farthest(g)
	width := si.Angle(math.Inf(1))
	longest := si.Time(0)
	for _, angle := range steps(g.Angles) {
		law := s.law(g, st, angle, right)
		g.Laws = append(g.Laws, law)
		_, depth, time := s.used(g, st, angle, right)
		g.Deepest, longest = max(g.Deepest, depth), max(longest, time)
		width = min(width, st.beam(angle).Spread())
		s.lawValues(id+"laws."+trimNumber(float64(angle/si.Degree))+".", law)
	}
	s.beamWidth(id, st, width)
	if _, stated := s.Value(id + "beam_width"); stated {
		s.share(id+"beam_overlap", "o", "overlap of neighbouring beams, the least over the range", acoustics.BeamOverlap(g.Angles.Step, width), how{
			formula: "o = 1 − Δα / Δθ", inputs: []string{id + "angle_step", id + "beam_width"}, side: si.Down, source: "definition"})
	}
	s.focusValues(id, g, st)
	s.beamWidths(id, g, st)
	g.Load = acquisition.Load{Firings: len(g.Laws), AScans: len(g.Laws), TimeOfFlight: longest}
	s.loadValues(id, g)
}

// focused reports whether the beams have a focus.
func (s *sheet) focused(g *Group) bool {
	return g.Set.Focus.Kind == "depth" || g.Set.Focus.Kind == "path"
}

// focusValues states how far the beams can be focused, where they have a focus.
func (s *sheet) focusValues(id string, g *Group, st stand) {
	if !s.focused(g) {
		return
	}
	ratio := g.focusRatio(st)
	if !si.Known(ratio) {
		return
	}
	h := g.limitFormula(id)
	h.formula, h.side = "F = focus / N_f, "+h.formula, si.Up
	s.ratio(id+"focus_ratio", "F", "sound path to the focus over the path up to which the beam can be focused, largest over the range", ratio, h)
}

func (g *Group) focusRatio(st stand) si.Ratio {
	most := si.Ratio(0)
	for _, law := range g.Laws {
		st.first = law.First - 1
		most = max(most, si.Ratio(law.Focus/st.focusLimit(law.Angle)))
	}
	return most
}

// limitFormula is how it is worked out how far beams can be focused.
func (g *Group) limitFormula(id string) how {
	if !g.homogeneous() {
		return how{formula: "N_f the sound path where B D = (c / c_w) A² / (4 λ_w): B how far apart, D by how much turned, two rays are there that leave the middle of the aperture an angle of one apart",
			inputs: []string{id + "aperture", id + "wavelength_wedge", id + "wedge_velocity"}, side: si.Down,
			source: "own derivation: there a focus is a quarter as wide as a beam of parallel rays; checked by brute force"}
	}
	return how{formula: "N_f = (cos α / cos β)² (A² / (4 λ) − L_w c_w / c), A along the beam", inputs: []string{id + "aperture", id + "wavelength", id + "wedge_velocity"}, side: si.Down,
		source: "own derivation: phase matched along the flat interface to second order; checked by brute force"}
}

// law computes one beam. Its path ends with its last leg, or where it leaves
// the volume for good.
func (s *sheet) law(g *Group, st stand, angle si.Angle, right si.Length) Law {
	x, wedgePath := st.exit(angle)
	path, _, _ := s.used(g, st, angle, right)
	law := Law{
		First:      st.first + 1,
		Angle:      angle,
		WedgeAngle: acoustics.Refract(angle, g.PartSpeed, g.Wedge.Velocity),
		Exit:       -st.front - x,
		WedgePath:  wedgePath,
		Path:       path,
		NearField:  st.nearField(angle),
		Focus:      g.focus(st, angle),
	}
	switch {
	case (st.bend() != 0 || !g.homogeneous()) && si.Known(law.Focus):
		law.Delays = st.bentFocus(angle, law.Focus)
	case st.bend() != 0:
		law.Delays = st.bentSteer(angle)
	case si.Known(law.Focus):
		down := law.Focus * si.Length(angle.Cos())
		law.Delays = st.course.Focus(st.active(1), x+law.Focus*si.Length(angle.Sin()), down)
	default:
		law.Delays = st.course.Steer(st.active(1), angle)
	}
	return law
}

// used is what of a beam is used: its path in the part, the unfolded depth to
// which it goes, and its time out and back. Through a cladding the time is that
// of all its legs, whether they leave the volume or not.
func (s *sheet) used(g *Group, st stand, angle si.Angle, right si.Length) (path, depth si.Length, time si.Time) {
	path, depth = s.beamPath(g, st, angle, right), s.beamDepth(g, st, angle, right)
	c := g.straight(g.legs())
	r := c.Leave(st.centre(), angle)
	if len(g.Part.Strata) > 1 {
		return path, depth, 2 * r.Time(g.legs(), c.Wall(g.legs()))
	}
	return path, depth, 2 * (r.Time(1, 0) + passage(path, g.PartSpeed))
}

// beamPath is the sound path in the part at which a beam ends.
func (s *sheet) beamPath(g *Group, st stand, angle si.Angle, right si.Length) si.Length {
	if !g.homogeneous() {
		path, _ := st.follow(angle, g.legs(), right)
		return path
	}
	return s.beamDepth(g, st, angle, right) / si.Length(angle.Cos())
}

// beamDepth is the unfolded depth at which a beam ends: with its last leg, or
// where it leaves the volume for good.
func (s *sheet) beamDepth(g *Group, st stand, angle si.Angle, right si.Length) si.Length {
	if !g.homogeneous() {
		_, depth := st.follow(angle, g.legs(), right)
		return depth
	}
	exit, _ := st.exit(angle)
	depth := s.legsEnd(g)
	return min(depth, max(0, (right-exit)/si.Length(angle.Tan())))
}

// farthest is the far end of the volume as the probe sees it, the largest over
// the sides.
func (s *sheet) farthest(g *Group) si.Length {
	right := si.Length(0)
	for _, side := range g.Set.Sides {
		for _, p := range frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront).local(s.Section).Volume {
			right = max(right, p.X)
		}
	}
	return right
}

func (s *sheet) lawValues(id string, law Law) {
	of := "beam of " + deg(law.Angle, si.Nearest)
	s.angle(id+"wedge_angle", "β", "angle in the wedge", law.WedgeAngle, how{of: of, formula: "sin β = (c_w / c) sin α", source: snell})
	s.length(id+"exit", "x_e", "exit point behind the wedge front", law.Exit, how{of: of, formula: s.around("x_e = d − h tan β", exitAround), source: "geometry and " + snell})
	s.length(id+"wedge_path", "L_w", "sound path in the wedge, one way", law.WedgePath, how{of: of, formula: s.around("L_w = h / cos β", wedgePathAround), source: "geometry"})
	s.length(id+"path", "s", "sound path in the part that is used", law.Path, how{of: of,
		formula: s.around("s = d / cos α, d the unfolded depth at the end of the last leg or where the beam leaves the volume", pathAround), source: "geometry", side: si.Up})
	if si.Known(law.NearField) {
		s.length(id+"near_field", "N", "near field left in the part, as sound path", law.NearField, how{of: of,
			formula: "N = A² f / (4 c) · cos α / cos β − L_w c_w / c", source: "common practice"})
	}
	if si.Known(law.Focus) {
		s.length(id+"focus", "F", "sound path to the focus", law.Focus, given())
	}
	if s.sketch {
		return
	}
	for i, d := range law.Delays {
		s.time(fmt.Sprintf("%sdelays.%d", id, i+1), "Δt", "delay of an active element", d, nanos, how{of: fmt.Sprintf("active element %d", i+1),
			formula: "Δt_i = max T − T_i, T the least time from the element over the interface to the focus",
			source:  "Fermat's principle"})
	}
}
