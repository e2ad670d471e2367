package technique

import (
	"slices"
	"strings"

	"soundwrit/internal/si"
)

// Omitted is what is not stated of a group, and why: it has it in a flat part and
// lacks it around a pipe or on the outer face of a flange, or its set-up leaves no
// place for it.
type Omitted struct {
	Name string
	Why  string
	IDs  []string // of the values that are not there, or their beginnings, after groups.<group>.; * is any one part
}

// omit lists what is not computed of a group around a pipe or on a flange.
func (s *sheet) omit(g *Group) {
	if g.Set.OnFlange() && g.Single == nil && len(g.Placements) > 0 {
		g.Omitted = []Omitted{
			{"predicted sensitivity", "the field is added up between two even walls only, and these beams go on into the web", []string{"map"}},
			{"corner loss", "under the weld no wall lies across these beams", []string{"corner"}},
		}
		return
	}
	if r := s.Section.Radius(); r == 0 || !si.Known(r) || len(g.Placements) == 0 {
		return
	}
	const lens = "the wedge is shaped to the surface, and is a lens: there is no one length or angle"
	left := func(name, why string, ids ...string) { g.Omitted = append(g.Omitted, Omitted{name, why, ids}) }
	if g.Pair != nil {
		if g.InBore() {
			left("arrival of a lateral wave", "no straight way leads from probe to probe: a wave along the bore is known only by its earliest arrival", "time_lateral")
		}
		return
	}
	if g.Single != nil {
		s.omitSingle(g, left)
		return
	}
	beams := g.Set.Method == "sectorial" || g.Set.Method == "linear"
	left("near field", lens, "near_field", "laws.*.near_field")
	if beams {
		left("spread of the beams far away, and their overlap by it", lens, "beam_width", "beam_overlap")
	}
	if _, stated := s.Value("groups." + g.Set.Name + ".focus_ratio"); beams && s.focused(g) && !stated {
		left("how far the beams can be focused", "a beam turns before its focus, or all of its legs can be focused", "focus_ratio")
	}
	if block := s.block(); block != nil {
		if _, known := s.blockPart(g, block); !known {
			left("gain over distance", "the job does not say how the block is curved", "gain_span", "curve")
		}
	}
	if beams && !s.focused(g) {
		left("disc worth the hole, and gain for the distance of the corner", "both are laws of a flat source far away, which a lens is not", "curve.*.disc", "transfer_distance", "corner_path_block", "corner_path_part")
	}
}

// omitSingle lists what is not computed of a single-element probe around a pipe.
func (s *sheet) omitSingle(g *Group, left func(name, why string, ids ...string)) {
	const (
		lens = "around a pipe a shaped face is a lens, and so is the couplant under a flat one"
		laws = "the laws of distance are those of flat parts"
	)
	left("near field in the section", lens, "near_field")
	if !slices.ContainsFunc(g.Single.Widths, func(w BeamWidth) bool { return si.Known(w.Plane) }) {
		left("width of the beam in the section", lens, "widths.*.plane")
	}
	if g.Set.Method == "straight-beam" {
		return
	}
	left("gain over distance", laws, "gain_span", "curve", "transfer_distance", "corner_path_block", "corner_path_part")
	if g.Set.Reflector == "disc" {
		left("gain to a disc", laws, "dgs", "range_share")
	}
}

// OmittedValue returns why a value of an id, or values whose ids begin so, are
// not stated of the group that the id names.
func (t *Technique) OmittedValue(id string) (Omitted, bool) {
	for i := range t.Groups {
		g := &t.Groups[i]
		rest, of := strings.CutPrefix(id, "groups."+g.Set.Name+".")
		if !of {
			continue
		}
		for _, o := range g.Omitted {
			if slices.ContainsFunc(o.IDs, func(begins string) bool { return beginsWith(rest, begins) }) {
				return o, true
			}
		}
	}
	return Omitted{}, false
}

func beginsWith(id, begins string) bool {
	parts := strings.Split(id, ".")
	for i, part := range strings.Split(begins, ".") {
		if i == len(parts) || part != "*" && part != parts[i] {
			return false
		}
	}
	return true
}
