package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// corners states what the corner loses that an upright flaw makes with a surface.
// A beam that comes back the way it went meets it at the end of its leg; an image
// that goes out by one leg more than it comes back, or the other way round, meets
// wall and flaw one after the other at any depth, as it would a corner.
func (s *sheet) corners(id string, g *Group, st stand) {
	m := &s.Job.Part.Material
	if !si.Known(m.Longitudinal) || g.Set.OnFlange() {
		return // from a flange there is no wall under the weld, and so no corner
	}
	legs := g.Set.Legs
	if g.Set.Method == "tfm" {
		switch out, back := g.pathLegs(); out - back {
		case 0:
			legs = []int{out}
		case 1, -1:
			if st.bend() != 0 {
				s.tandemCorner(id, g, st, max(out, back))
				return
			}
			legs = nil
		default:
			return
		}
	}
	from := []string{"part.longitudinal", "part.transverse"}
	critical := acoustics.CriticalAngle(m.Transverse, m.Longitudinal)
	s.angle(id+"corner.free_from", "α_c1", s.around("smallest angle at which a corner loses nothing", "smallest angle at the wall at which a corner loses nothing"), critical, how{
		formula: "sin α_c1 = c_T / c_L", inputs: from, source: achenbach, side: si.Up})
	s.angle(id+"corner.free_to", "α_c2", s.around("largest angle at which a corner loses nothing", "largest angle at the wall at which a corner loses nothing"), 90*si.Degree-critical, how{
		formula: "α_c2 = 90° − α_c1", inputs: []string{id + "corner.free_from"}, source: achenbach, side: si.Down})
	loss := how{formula: "δ = −20 log₁₀ (R(α) R(90° − α)), R as for a free surface", source: achenbach, side: si.Up}
	worst, at := si.Decibel(0), si.Unknown[si.Angle]()
	for _, angle := range g.cornerAngles(st, legs) {
		if x := acoustics.CornerLoss(angle, m.Longitudinal, m.Transverse); x > worst+1e-9 && !math.IsInf(float64(x), 0) {
			worst, at = x, angle
		}
	}
	if si.Known(at) {
		s.angle(id+"corner.worst_angle", "α_k", s.around("angle, of those used, at which a corner loses most", "angle at the wall, of those that the angles used make there, at which a corner loses most"), at, how{
			formula: "largest δ over the angles used", inputs: append(s.onPipe(id+"angle_from", id+"angle_to"), from...), source: achenbach})
		loss.inputs = append([]string{id + "corner.worst_angle"}, from...)
		s.gain(id+"corner.worst", "δ_k", "largest loss at a corner over the angles used", worst, loss)
	}
	if g.Set.Method == "linear" {
		return // each of its angles meets the corner as the aperture moves
	}
	for _, leg := range legs {
		place := id + "corner." + cornerSurface(leg) + "."
		if _, twice := s.Value(place + "angle"); twice {
			continue
		}
		angle, x := si.Unknown[si.Angle](), si.Decibel(-1)
		for _, side := range g.Set.Sides {
			refracted, met := s.cornerAngle(g, st, side, leg)
			if !(refracted >= g.Angles.From-1e-9 && refracted <= g.Angles.To+1e-9) {
				continue
			}
			if lost := acoustics.CornerLoss(met, m.Longitudinal, m.Transverse); lost > x && !math.IsInf(float64(lost), 0) {
				angle, x = met, lost
			}
		}
		if !si.Known(angle) {
			continue
		}
		of := "at the " + cornerSurface(leg) + " surface"
		s.angle(place+"angle", "α_k0", "angle at which the middle of the array meets the corner, at the toe of a reinforcement or else at the weld's centreline", angle, how{of: of,
			formula: s.around("least time from the middle of the array to the corner, legs unfolded; of the sides used that which loses more",
				"least time from the middle of the array to the corner, and its angle at the wall there; of the sides used that which loses more"),
			inputs: s.onPipe(id+"wedge_front", id+"centre_distance", id+"centre_height", "part.thickness"), source: "Fermat's principle"})
		loss.of, loss.inputs = of, append([]string{place + "angle"}, from...)
		s.gain(place+"loss", "δ_k0", "loss at the corner", noLess(x), loss)
	}
}

// tandemCorner states what an upright flaw and the wall before it lose around a
// pipe, where the flaw is met at an angle that changes with its depth.
func (s *sheet) tandemCorner(id string, g *Group, st stand, legs int) {
	const steps, depths = 400, 40
	m, region, c := &s.Job.Part.Material, &g.Set.Region, st.over(legs)
	from := []string{"part.longitudinal", "part.transverse"}
	s.angle(id+"corner.free_from", "α_c1", "smallest angle from the normal at which wall and flaw lose nothing", acoustics.CriticalAngle(m.Transverse, m.Longitudinal), how{
		formula: "sin α_c1 = c_T / c_L", inputs: from, source: achenbach, side: si.Up})
	worst, at, depth := si.Decibel(0), si.Unknown[si.Angle](), si.Unknown[si.Length]()
	for i := range steps + 1 {
		r := c.Leave(st.centre(), g.Angles.From+(g.Angles.To-g.Angles.From)*si.Angle(i)/steps)
		wall := r.Angle(legs-1, c.Wall(legs-1))
		for j := range depths + 1 {
			z := region.Top + (region.Bottom-region.Top)*si.Length(j)/depths
			x := acoustics.TwoFacesLoss(wall, 90*si.Degree-r.Angle(legs, z), m.Longitudinal, m.Transverse)
			if x > worst+1e-9 && !math.IsInf(float64(x), 0) {
				worst, at, depth = x, wall, z
			}
		}
	}
	if !si.Known(at) {
		return
	}
	around := s.onPipe(id+"angle_from", id+"angle_to")
	s.angle(id+"corner.worst_angle", "α_k", "angle at the wall at which wall and flaw lose most together", at, how{
		formula: "largest δ over the angles used and the depths of the region", inputs: append(around, from...), source: achenbach})
	s.length(id+"corner.worst_depth", "z_k", "depth at which wall and flaw lose most together", depth, how{
		formula: "largest δ over the angles used and the depths of the region", inputs: append(around, from...), source: achenbach})
	s.gain(id+"corner.worst", "δ_k", "largest loss at wall and flaw over the angles used and the depths of the region", worst, how{
		formula: "δ = −20 log₁₀ (R(α) R(90° − β)), r sin β the same at wall and flaw, R as for a free surface",
		inputs:  append(s.onPipe(id+"corner.worst_angle", id+"corner.worst_depth"), from...), source: achenbach, side: si.Up})
}

// cornerAngles are the angles at the wall among which the worst corner is sought:
// those of the fixed angles, or of the range in 400 steps, less than 0.1° each. On
// a flat part they are the refracted ones.
func (g *Group) cornerAngles(st stand, legs []int) []si.Angle {
	const steps = 400
	list := g.Set.FixedAngles
	if g.Set.Method != "linear" {
		list = nil
		for i := range steps + 1 {
			list = append(list, g.Angles.From+(g.Angles.To-g.Angles.From)*si.Angle(i)/steps)
		}
	}
	if st.bend() == 0 {
		return list
	}
	var met []si.Angle
	for _, leg := range legs {
		for _, angle := range list {
			if c := st.over(leg); leg == 1 || st.turn(angle) == 0 {
				met = append(met, c.Leave(st.centre(), angle).Angle(leg, c.Wall(leg)))
			}
		}
	}
	return met
}

// cornerAngle is the refracted angle under which the ray from the middle of the
// array meets the place where a flaw opens to the surface at the end of a leg, and
// its angle at the wall there, which is another around a pipe. The place is the
// toe of the reinforcement on the probe's side, or the centreline. It is unknown
// where the legs before it may turn on walls of several depths.
func (s *sheet) cornerAngle(g *Group, st stand, side string, leg int) (refracted, met si.Angle) {
	local := frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront).local(s.Section)
	if local.Thickness != s.Job.Part.Thickness || leg > 1 && len(local.Bottom.Corners)+len(local.Top.Corners) > 0 {
		return si.Unknown[si.Angle](), si.Unknown[si.Angle]()
	}
	toe, _ := local.CapSpan()
	if leg%2 == 1 {
		toe, _ = local.RootSpan()
	}
	c := st.centre()
	if st.bend() != 0 {
		course := st.over(leg)
		wall := course.Wall(leg)
		r, _ := course.To(c, toe, wall)
		return r.Refracted(), r.Angle(leg, wall)
	}
	layers := []ray.Layer{{Thickness: c.Height, Speed: g.Wedge.Velocity}, {Thickness: s.Job.Part.Thickness * si.Length(leg), Speed: g.PartSpeed}}
	refracted = ray.Between(toe-c.X, layers).Angle(g.PartSpeed)
	return refracted, refracted
}

// cornerSurface names the surface at which a leg ends.
func cornerSurface(leg int) string {
	if leg%2 == 1 {
		return "far"
	}
	return "near"
}
