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

// preparationOf is the form of the preparation as rules see it: that of a T-butt
// weld is another joint than the same edges in a butt weld.
func preparationOf(part *schema.Part) string {
	if part.Flange == nil || part.Weld.Preparation == "" {
		return part.Weld.Preparation
	}
	return part.Weld.Preparation + ", T-butt"
}
