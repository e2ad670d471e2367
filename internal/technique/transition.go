package technique

import (
	"fmt"
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// walls states where the walls of the part are not those of one plate, and
// refuses what is not computed of them.
func (s *sheet) walls() {
	for _, b := range s.Section.Buried() {
		path, key := s.slopePath(b.Transition)
		s.problem(path, "transition-in-weld",
			"the wall on side "+b.Side+" grows thicker inside the weld or under its reinforcement", s.mm(across(b.Begins), si.Nearest)+" from the centreline",
			"at least "+s.mm(b.Least, si.Up)+" from the centreline", "make "+key+" larger: the slope begins beside the weld, not in it")
	}
	if !s.Section.Known() {
		return
	}
	if off := s.Job.Part.Weld.Misalignment; off != 0 {
		s.length("weld.misalignment", "h_m", "linear misalignment: surfaces of side B deeper than those of side A", off, given())
	}
	from, to := s.Section.Volume[0].X, s.Section.Volume[0].X
	for _, p := range s.Section.Volume {
		from, to = min(from, p.X), max(to, p.X)
	}
	within := map[bool][]geometry.Transition{}
	for _, t := range s.Section.Transitions {
		s.slope(t)
		if from < t.Begins.X-1e-9 && t.Begins.X < to-1e-9 {
			within[t.Bottom] = append(within[t.Bottom], t)
		}
	}
	for _, bottom := range []bool{false, true} {
		if list := within[bottom]; len(list) > 1 {
			path, key := s.slopePath(list[1])
			shorter := max(-from, to) - across(list[1].Begins)
			s.problem(path, "transition-in-volume", "the wall grows thicker on both sides of the weld inside the volume to be examined, which is not computed",
				s.mm(across(list[1].Begins), si.Nearest)+" from the centreline", "one of the two outside the volume, "+s.mm(max(-from, to), si.Up)+" or more from the centreline",
				"make "+key+" larger by "+s.mm(shorter, si.Up)+" or more if the part has that, or examine such a joint by another technique")
		}
	}
}

// slope states the dimensions of a transition.
func (s *sheet) slope(t geometry.Transition) {
	id, surface := "part.transition."+t.Side+".top.", "top"
	if t.Bottom {
		id, surface = "part.transition."+t.Side+".bottom.", "bottom"
	}
	begins := given()
	rise := how{formula: "h_s = thickness beyond the slope − t; half of it where both surfaces slope", inputs: []string{"part.thickness"}, source: "geometry"}
	if s.bored(t) {
		begins = how{formula: "x_b = b_g / 2 + length of the counterbore", inputs: []string{"weld.root_gap"}, source: "geometry"}
		rise = given()
	}
	s.length(id+"begins", "x_b", "centreline to where the slope of the "+surface+" begins on side "+t.Side, across(t.Begins), begins)
	s.length(id+"height", "h_s", "height of that slope", max(t.Ends.Z-t.Begins.Z, t.Begins.Z-t.Ends.Z), rise)
	s.length(id+"ends", "x_e", "centreline to where it ends", across(t.Ends), how{
		formula: "x_e = x_b + h_s / tan of the slope", inputs: []string{id + "begins", id + "height"}, source: "geometry"})
}

// bored reports whether a transition is the end of a counterbore.
func (s *sheet) bored(t geometry.Transition) bool {
	bore := s.Job.Part.CounterboreA
	if t.Side == "B" {
		bore = s.Job.Part.CounterboreB
	}
	return t.Bottom && bore != nil
}

// slopePath is the key that says where a transition begins.
func (s *sheet) slopePath(t geometry.Transition) (path, key string) {
	if s.bored(t) {
		return "part.counterbore." + t.Side + ".length", "length"
	}
	return "part.transition." + t.Side + ".begins", "begins"
}

func across(p geometry.Point) si.Length { return max(p.X, -p.X) }

// footprint is where the wedge of a group stands as the probe sees it: its front
// and its rear end.
func (g *Group) footprint() (front, back si.Length) {
	front = -g.Set.WedgeFront
	if si.Known(g.Wedge.Length) {
		return front, front - g.Wedge.Length
	}
	return front, front - g.Wedge.FrontDistance
}

// rests reports whether the wedge of a group stands on level surface from all
// its sides, where what is asked of it can be computed.
func (s *sheet) rests(g *Group) bool {
	path := "groups." + g.Set.Name + ".wedge_front"
	front, back := g.footprint()
	for _, side := range g.Set.Sides {
		f := frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront)
		if level, ok := f.turned(s.Section).Rests(front, back); !ok {
			limit := "on one level stretch: its front " + s.mm(max(0, -level.To), si.Up) + " or more from the centreline"
			if !math.IsInf(float64(level.From), 0) {
				limit += ", its rear end " + s.mm(-level.From, si.Down) + " or less"
			}
			s.problem(path, "wedge-on-slope", fmt.Sprintf("the wedge of group %s would not stand on level surface on side %s", g.Set.Name, side),
				s.mm(-front, si.Nearest)+" to "+s.mm(-back, si.Nearest)+" from the centreline", limit, "move the wedge, or scan from another surface")
			return false
		}
		if local := f.local(s.Section); g.Set.Method == "tfm" && math.Abs(float64(local.Thickness-s.Job.Part.Thickness)) > 1e-9 {
			s.problem(path, "image-from-thicker-wall",
				fmt.Sprintf("the probe of group %s stands on side %s where the surface is not that at the weld, and an image from there is not computed", g.Set.Name, side),
				s.mm(local.Thickness, si.Nearest)+" to the far wall", s.mm(s.Job.Part.Thickness, si.Nearest), "use sectorial or linear beams, or another surface")
			return false
		}
	}
	return true
}

// raised reports whether a group stands, from any of its sides, on a surface that
// is not level with that of side A at the weld.
func (s *sheet) raised(g *Group) bool {
	for _, side := range g.Set.Sides {
		if frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront).deeper != 0 {
			return true
		}
	}
	return false
}

// stretch is the range of wedge fronts in which a group stays on its level
// stretches.
func (s *sheet) stretch(g *Group) (least, most si.Length) {
	front, back := g.footprint()
	least, most = si.Length(math.Inf(-1)), si.Length(math.Inf(1))
	for _, side := range g.Set.Sides {
		f := frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront)
		level, _ := f.turned(s.Section).Rests(front, back)
		least, most = max(least, -level.To), min(most, -level.From-(front-back))
	}
	return least, most
}

// deepestWall is the largest depth at which beams of a group turn, over its
// sides.
func (s *sheet) deepestWall(g *Group) si.Length {
	deepest := g.Part.Thickness()
	for _, side := range g.Set.Sides {
		for _, l := range frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront).local(s.Section).Plain(true) {
			deepest = max(deepest, l.Z)
		}
	}
	return deepest
}
