package technique

import (
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// flange states the dimensions of a T-butt weld that a butt weld has not: the
// flange, the fillets, and how far the volume goes in it.
func (s *sheet) flange() {
	part := &s.Job.Part
	if part.Flange == nil {
		return
	}
	s.length("part.flange.thickness", "t_f", "thickness of the flange", part.Flange.Thickness, given())
	along, zone := "L_f = w_z + t + w_z", []string{"part.thickness", "part.zone_width"}
	for _, of := range []struct {
		surface, key, web, flange string
		fillet                    schema.Reinforcement
	}{{"top", "cap", "z_wt", "z_ft", part.Weld.Cap}, {"bottom", "root", "z_wb", "z_fb", part.Weld.Root}} {
		if of.fillet.Condition != "as-welded" {
			continue
		}
		id := "weld.fillet." + of.surface + "."
		s.length(id+"web", of.web, "leg of the fillet at the "+of.surface+" of the web, along the web", of.fillet.Width, given())
		s.length(id+"flange", of.flange, "the same, along the flange", of.fillet.Height, given())
		if edge, face := s.Section.Edges(of.surface == "bottom"); face.X-edge.X > of.fillet.Width+1e-9 {
			s.problem("part.weld."+of.key+".width", "fillet-narrower-than-weld", "the fillet at the "+of.surface+" of the web is narrower than the weld there",
				s.mm(of.fillet.Width, si.Nearest), "at least "+s.mm(face.X-edge.X, si.Up)+", from the face of the flange to the edge of the preparation",
				"measure the leg along the web, from the face of the flange to the toe; or check the preparation")
		}
		along, zone = along+" + "+of.flange, append(zone, id+"flange")
	}
	if !s.Section.Known() {
		return
	}
	s.length("volume.flange_depth", "d_f", "depth of the volume in the flange, from its face", min(part.Zone.Width, part.Flange.Thickness), how{
		formula: "d_f = w_z, at most t_f", inputs: []string{"part.zone_width", "part.flange.thickness"}, source: "geometry"})
	from, to := s.Section.Volume[0].Z, s.Section.Volume[0].Z
	for _, p := range s.Section.Volume {
		from, to = min(from, p.Z), max(to, p.Z)
	}
	length := to - from
	if part.Zone.Width == 0 {
		length = si.Unknown[si.Length]()
	}
	s.length("volume.flange_length", "L_f", "length of the volume along the flange", length, how{formula: along, inputs: zone, source: "geometry"})
}

// nowhere reports a group that stands on an unknown surface, or on a flange which
// is not there or from which it cannot look; the job's own check told of it.
func (s *sheet) nowhere(set *schema.Group) bool {
	return set.Surface == "" || set.OnFlange() && (s.Section.Flange == nil || set.Method == "tfm" || set.Method == "tofd")
}

// under is the thickness under the surface on which a group stands: that of the
// part, or of the flange. symbol stands for it in formulas.
func (g *Group) under() (t si.Length, symbol, id string) {
	if g.Set.OnFlange() {
		return g.Part.Thickness(), "t_f", "part.flange.thickness"
	}
	return g.Part.Thickness(), "t", "part.thickness"
}

// downTo is how deep the volume lies as a group sees it from the outer face of
// the flange, whose beams go on into the web; otherwise the depth of the deepest
// wall.
func (s *sheet) downTo(g *Group) si.Length {
	if !g.Set.OnFlange() {
		return s.deepestWall(g)
	}
	depth := g.Part.Thickness()
	for _, p := range s.Section.Volume {
		depth = max(depth, s.Section.Flange.Seen(p).Z)
	}
	return depth
}

// legsEnd is the unfolded depth at which the last of a group's legs ends. Seen from
// a flange a leg that goes down ends with the volume, and one that goes up at the
// outer face.
func (s *sheet) legsEnd(g *Group) si.Length {
	if !g.Set.OnFlange() {
		return s.deepestWall(g) * si.Length(g.legs())
	}
	end, t := si.Length(0), g.Part.Thickness()
	for _, leg := range g.Set.Legs {
		last := t
		if leg%2 == 1 {
			last = s.downTo(g)
		}
		end = max(end, t*si.Length(leg-1)+last)
	}
	return end
}

// intoWeb states how deep the volume lies under the outer face of the flange.
func (s *sheet) intoWeb(id string, g *Group) {
	if g.Set.OnFlange() {
		s.length(id+"volume_depth", "z_v", "depth of the volume under the outer face of the flange", s.downTo(g), how{
			formula: "z_v = t_f + length of the volume in the web", inputs: []string{"part.flange.thickness", "part.zone_width"}, side: si.Up, source: "geometry"})
	}
}

// preparationOf is the form of the preparation as rules see it: that of a T-butt
// weld is another joint than the same edges in a butt weld.
func preparationOf(part *schema.Part) string {
	if part.Flange == nil || part.Weld.Preparation == "" {
		return part.Weld.Preparation
	}
	return part.Weld.Preparation + ", T-butt"
}
