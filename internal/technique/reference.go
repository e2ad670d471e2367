package technique

import (
	"cmp"
	"fmt"
	"slices"

	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// reference lists the reflectors of the time-corrected gain: each side-drilled
// hole of the block on each leg in use, ordered by the depth the sound has
// seen, with the sound paths at the ends of the angles in use.
func (s *sheet) reference() {
	block := s.block()
	if block == nil {
		return
	}
	legs, angles := s.legsAndAngles()
	if len(legs) == 0 {
		return
	}
	for _, leg := range legs {
		for _, depth := range block.HoleDepths {
			u := ray.Unfold(leg, depth, block.Thickness)
			if !si.Known(u) {
				continue
			}
			one := CurvePoint{Depth: depth, Leg: leg, Unfolded: u}
			one.PathFrom, one.PathTo = s.blockPath(block, leg, depth, angles.From), s.blockPath(block, leg, depth, angles.To)
			s.Curve = append(s.Curve, one)
		}
	}
	slices.SortStableFunc(s.Curve, func(a, b CurvePoint) int { return cmp.Compare(a.Unfolded, b.Unfolded) })
	deepest := s.deepest()
	s.length("reference.deepest_used", "d_u", "largest unfolded depth that is used", deepest, how{
		formula: "legs × thickness, or to where the last beam leaves the volume or the region ends", inputs: []string{"part.thickness"}, side: si.Up, source: "geometry"})
	if len(s.Curve) == 0 {
		return
	}
	for i, p := range s.Curve {
		s.length(fmt.Sprintf("reference.curve.%d", i+1), "d", "unfolded depth of the reflector", p.Unfolded, how{of: s.reflector(p),
			formula: unfoldFormula(p.Leg), source: s.around("image method for flat walls", "depths counted over the legs, along the radius") + "; T the block's thickness, z the reflector's depth"})
	}
	s.share("reference.curve_reach", "r", "deepest reflector of the curve over the largest unfolded depth used", si.Ratio(s.Curve[len(s.Curve)-1].Unfolded/deepest), how{
		formula: "r = deepest d / d_u", inputs: []string{fmt.Sprintf("reference.curve.%d", len(s.Curve)), "reference.deepest_used"}, side: si.Down, source: "definition"})
}

func unfoldFormula(leg int) string {
	switch leg {
	case 1:
		return "d = z"
	case 2:
		return "d = 2 T − z"
	}
	return "d = 2 T + z"
}

// block is the reference block the job names.
func (s *sheet) block() *schema.Block {
	return named(s.Job.Equipment.Blocks, func(b *schema.Block) string { return b.Name }, s.Job.Reference.Block)
}

// legsAndAngles collects which legs are used by any group, and the range of
// all their angles.
func (s *sheet) legsAndAngles() ([]int, schema.AngleRange) {
	var legs []int
	var angles schema.AngleRange
	for i := range s.Groups {
		g := &s.Groups[i]
		if len(g.Placements) == 0 || g.Pair != nil || g.Set.Method == "straight-beam" || g.Single != nil && g.Set.Reflector != "side-drilled-hole" {
			continue
		}
		if len(legs) == 0 {
			angles = g.Angles
		}
		angles.From, angles.To = min(angles.From, g.Angles.From), max(angles.To, g.Angles.To)
		if g.Set.Method == "tfm" {
			t, r := g.pathLegs()
			legs = append(legs, t, r)
		} else {
			legs = append(legs, g.Set.Legs...)
		}
	}
	slices.Sort(legs)
	return slices.Compact(legs), angles
}

// deepest is the largest unfolded depth of the groups that holes or notches set.
func (s *sheet) deepest() si.Length {
	most := si.Length(0)
	for _, g := range s.Groups {
		if g.Single == nil || g.Set.Reflector == "side-drilled-hole" { // not what is set by a disc or a back wall
			most = max(most, g.Deepest)
		}
	}
	return most
}
