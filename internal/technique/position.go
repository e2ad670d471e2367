package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// positionValues states where the probe stands.
func (s *sheet) positionValues(id string, g *Group, st stand) {
	t, symbol, thickness := g.under()
	middle := g.drawn(st)[1]
	x, _ := st.exit(middle)
	s.length(id+"wedge_front", "a", "wedge front to weld centreline", st.front, given())
	formula, inputs := g.entry("x_e = d − h tan β", id+"centre_distance", id+"centre_height", id+"middle_wedge_angle")
	s.length(id+"exit_distance", "x_e", "exit point behind the wedge front, at the middle angle", -st.front-x, how{
		formula: s.around(formula, exitAround), inputs: inputs, source: "geometry"})
	s.length(id+"exit_to_centreline", "x_c", "exit point to weld centreline, at the middle angle", -x, how{
		formula: "x_c = a + x_e", inputs: []string{id + "wedge_front", id + "exit_distance"}, source: "geometry"})
	s.length(id+"first_element_to_centreline", "x_1", "centre of element 1 to weld centreline", -st.element(0).X, how{
		formula: s.around("x_1 = a + d_1", firstAround), inputs: []string{id + "wedge_front", id + "front_distance"}, source: "geometry"})
	if clearance := s.toeClearance(g); !g.Set.OnFlange() {
		s.length(id+"toe", "x_r", "toe of the reinforcement to weld centreline, the farther of the sides used", g.Set.WedgeFront-clearance, given())
		s.length(id+"toe_clearance", "x_t", "wedge front to the toe of the reinforcement", clearance, how{
			formula: "x_t = a − x_r", inputs: []string{id + "wedge_front", id + "toe"}, source: "geometry", side: si.Down})
	}
	s.intoWeb(id, g)
	if st.bend() != 0 {
		s.roundValues(id, g, st)
		return
	}
	if !g.homogeneous() {
		s.cladSkips(id, g, st, middle)
		return
	}
	from := []string{thickness, id + "middle_angle"}
	s.length(id+"half_skip", "s_½", "half skip at the middle angle", acoustics.SkipHalf(t, middle), how{
		formula: "s_½ = " + symbol + " tan α", inputs: from, source: krautkramer})
	s.length(id+"full_skip", "s_1", "full skip at the middle angle", acoustics.SkipFull(t, middle), how{
		formula: "s_1 = 2 " + symbol + " tan α", inputs: from, source: krautkramer})
	s.length(id+"v_path", "s_V", "sound path of two legs at the middle angle", acoustics.VPath(t, middle), how{
		formula: "s_V = 2 " + symbol + " / cos α", inputs: from, source: krautkramer})
}

// cladSkips states the skips of a ray that bends where base metal and cladding
// meet.
func (s *sheet) cladSkips(id string, g *Group, st stand, middle si.Angle) {
	c := g.straight(2)
	r := c.Leave(st.centre(), middle)
	if !si.Known(r.X(2, 0)) {
		return
	}
	from := []string{"part.thickness", "part.cladding.thickness", id + "middle_angle"}
	s.length(id+"half_skip", "s_½", "half skip at the middle angle", r.X(1, c.Wall(1))-r.Entry(), how{
		formula: "s_½ = (t − t_p) tan α + t_p tan γ_p, sin γ_p = (c_p / c) sin α", inputs: from, source: "geometry and " + snell})
	s.length(id+"full_skip", "s_1", "full skip at the middle angle", r.X(2, 0)-r.Entry(), how{
		formula: "s_1 = 2 s_½", inputs: []string{id + "half_skip"}, source: krautkramer})
	s.length(id+"v_path", "s_V", "sound path of two legs at the middle angle", r.Path(2, 0), how{
		formula: "s_V = 2 ((t − t_p) / cos α + t_p / cos γ_p)", inputs: from, source: "geometry and " + snell})
}

// toeClearance is the smallest over the sides from which the group looks. The outer
// face of a flange has no reinforcement, and a wedge stands on it anywhere.
func (s *sheet) toeClearance(g *Group) si.Length {
	least := si.Length(math.Inf(1))
	if g.Set.OnFlange() {
		return least
	}
	for _, side := range g.Set.Sides {
		from, _ := frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront).local(s.Section).CapSpan()
		least = min(least, g.Set.WedgeFront+from)
	}
	return least
}
