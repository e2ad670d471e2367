package technique

import (
	"slices"
	"strings"
	"sync"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// searchRows is into how many rows the section is cut while offsets are tried:
// coarser than for the stated coverage, since only differences count.
const searchRows = 100

// cover adds up what the groups reach, alone and together.
func (s *sheet) cover() {
	var all []coverage.Rows
	for i := range s.Groups {
		g := &s.Groups[i]
		var rows []coverage.Rows
		for _, p := range g.Placements {
			rows = append(rows, p.Coverage.Rows())
		}
		g.Coverage = coverage.Measure(s.Section, coverage.Union(rows...))
		all = append(all, rows...)
		switch {
		case g.Set.Target == "parent":
		case g.Pair != nil: // takes both its probes to see
			s.Views = append(s.Views, g.Coverage.Rows())
		default:
			s.Views = append(s.Views, rows...)
		}
		if len(g.Placements) > 0 && g.Set.Target != "parent" {
			s.share("groups."+g.Set.Name+".coverage", "C_g", "share of the volume this group reaches from all its sides", g.Coverage.Share, how{
				formula: "C_g = area reached / A_v", inputs: []string{"volume.area"}, side: si.Down, source: reachSource(g)})
		}
	}
	s.Coverage = coverage.Measure(s.Section, coverage.Union(all...))
	s.share("coverage.share", "C", "share of the volume reached by all groups together", s.Coverage.Share, how{
		formula: "C = area reached by any group / A_v", inputs: []string{"volume.area"}, side: si.Down, source: "own computation, as for a group"})
	missed := s.Coverage.Volume - s.Coverage.Reached
	s.add("coverage.missed_area", "A_m", "area of the volume that no group reaches", float64(missed), si.KindArea, area, how{
		formula: "A_m = A_v (1 − C)", inputs: []string{"volume.area", "coverage.share"}, side: si.Up, source: "own computation"})
	if len(s.Views) > 1 {
		twice := coverage.Measure(s.Section, coverage.AtLeast(2, s.Views...))
		s.share("coverage.twice", "C_2", "share of the volume reached at least twice, by different groups or from different sides", twice.Share, how{
			formula: "C_2 = area reached by two of all groups from all their sides / A_v", inputs: []string{"volume.area"}, side: si.Down, source: "own computation, as for a group; a pair counts once"})
	}
	s.allFaces()
}

// reachSource says by what a place counts as reached.
func reachSource(g *Group) string {
	if g.Pair != nil && g.InBore() {
		return "own computation: in the zone, inside the echo −12 dB edges of both beams, by straight ways past the bore, and neither hidden by a wave along the bore at its earliest nor by the back-wall echo"
	}
	if g.Pair != nil {
		return "own computation: in the zone, inside the echo −12 dB edges of both beams, and neither hidden by the lateral wave nor by the back-wall echo"
	}
	if g.Single != nil {
		return singleReach(g)
	}
	if len(g.waves()) > 0 {
		return "own computation: one plane wave at least, between the rays of the first and the last element, and back the central rays of half of the elements; straight reflection at even walls, none under a reinforcement"
	}
	return "own computation: central rays, straight reflection at even walls, none under a reinforcement"
}

// faces is how one side of a group meets every face of the section.
func (s *sheet) faces(g *Group, st stand, f frame, side string) []FaceIncidence {
	views := g.views(st)
	return s.facesWith(g, f, side, func(local *geometry.Section, face geometry.Face) coverage.Meeting {
		return coverage.Incidence(local, face, views, coverage.DefaultSamples)
	})
}

// facesWith is the same for any way in which faces are met.
func (s *sheet) facesWith(g *Group, f frame, side string, meets func(*geometry.Section, geometry.Face) coverage.Meeting) []FaceIncidence {
	local := f.local(s.Section)
	var list []FaceIncidence
	for i, face := range local.Faces {
		meeting := meets(local, face)
		if f.flipped {
			meeting = meeting.Flip()
		}
		in := incidence(side, s.Section.Faces[i], meeting)
		in.Varies = face.Radius > 0 || s.Section.Radius() != 0
		square, leg := face.SquareAngle("A")
		if in.Square = square; leg == 2 && g.Set.OnFlange() {
			in.Square, leg = si.Unknown[si.Angle](), 0 // beams come to the weld on their way down alone
		}
		switch leg {
		case 1:
			in.SquareLegs = "direct"
		case 2:
			in.SquareLegs = "after one reflection"
		}
		of := "fusion face " + strings.TrimSpace(s.Section.Faces[i].Name) + " from side " + side
		id := "groups." + g.Set.Name + ".faces." + side + "." + faceID(s.Section.Faces[i]) + "."
		if si.Known(in.Square) {
			s.angle(id+"square", "α_s", "refracted angle that meets the face square", in.Square, how{of: of,
				formula: "α_s = 90° − bevel angle", source: "geometry"})
		}
		if in.Reached > 0 {
			s.angle(id+"best", "ε_1", "smallest angle between beam and the face's normal", in.Best, how{of: of,
				formula: "ε = arccos |(t + r) n| / |t + r|", source: "law of reflection"})
			s.angle(id+"worst", "ε_2", "largest angle between the best beam and the face's normal", in.Worst, how{of: of,
				formula: "ε = arccos |(t + r) n| / |t + r|", source: "law of reflection", side: si.Up})
		}
		s.share(id+"reached", "C_f", "share of the face that is reached", in.Reached, how{of: of,
			formula: "points of the face reached / all", side: si.Down, source: "own computation, as for the coverage"})
		list = append(list, in)
	}
	return list
}

func incidence(side string, face geometry.Face, m coverage.Meeting) FaceIncidence {
	return FaceIncidence{
		Side: side, Face: face, Square: si.Unknown[si.Angle](),
		Best: m.Best, Worst: m.Worst, Reached: m.Reached, Within: m.Square, meeting: m,
	}
}

// faceID turns a face's name into a part of an id: "A upper" to "A-upper".
func faceID(f geometry.Face) string {
	id := []rune(f.Name)
	for i, r := range id {
		if r == ' ' {
			id[i] = '-'
		}
	}
	return string(id)
}

// allFaces merges what all groups and sides see of each face.
func (s *sheet) allFaces() {
	for i, face := range s.Section.Faces {
		var meetings []coverage.Meeting
		for _, g := range s.Groups {
			for j := i; j < len(g.Faces); j += len(s.Section.Faces) {
				meetings = append(meetings, g.Faces[j].meeting)
			}
		}
		if len(meetings) > 0 { // a pair meets no face: it times what edges diffract
			s.Faces = append(s.Faces, incidence("", face, coverage.Merge(meetings...)))
		}
	}
}

// offsets finds for each group how far its wedge front may move before all
// groups together reach less. Groups that look through the same probe move with
// it, the others stay where they are.
//
// The search takes a good part of the whole computation and needs nothing that
// comes after it, so it goes on beside the rest: what is returned waits for it
// and states what was found.
func (s *sheet) offsets() (state func()) {
	var searches sync.WaitGroup
	found := make([][2]si.Length, len(s.Groups)) // the groups themselves are read meanwhile
	lead := make([]int, len(s.Groups))           // the first group that looks through the same probe
	for i := range s.Groups {
		g := &s.Groups[i]
		found[i] = [2]si.Length{si.Unknown[si.Length](), si.Unknown[si.Length]()}
		lead[i] = i
		if len(g.Placements) == 0 || g.Pair != nil || g.Single != nil {
			continue
		}
		if j := slices.IndexFunc(s.Groups[:i], func(o Group) bool { return len(o.Placements) > 0 && o.Set.Rides(g.Set) }); j >= 0 {
			lead[i] = j
			continue
		}
		searches.Go(func() { found[i][0], found[i][1] = s.search(i) })
	}
	return func() {
		searches.Wait()
		for i := range s.Groups {
			g := &s.Groups[i]
			g.OffsetFrom, g.OffsetTo = found[lead[i]][0], found[lead[i]][1]
			s.offsetValues(g)
		}
	}
}

// search is the range of offsets of group i and those that ride with it. It
// only reads what the set-up of the groups left.
func (s *sheet) search(i int) (from, to si.Length) {
	g := &s.Groups[i]
	var others []coverage.Rows
	moved := []*Group{g}
	for j := range s.Groups {
		switch o := &s.Groups[j]; {
		case j == i || len(o.Placements) == 0:
		case o.Set.Rides(g.Set):
			moved = append(moved, o)
		default:
			others = append(others, s.searchReach(o, o.Set.WedgeFront))
		}
	}
	nominal := g.Set.WedgeFront
	toe := max(nominal-s.toeClearance(g), nominal-2*s.Job.Part.Thickness) // no toe on a flange
	level, farthest := s.stretch(g)
	return coverage.KeepRange(func(front si.Length) si.Ratio {
		rows := slices.Clip(others)
		for _, m := range moved {
			rows = append(rows, s.searchReach(m, front))
		}
		return coverage.Measure(s.Section, coverage.Union(rows...)).Share
	}, coverage.Offsets{
		Nominal: nominal, Min: min(max(toe, level), nominal), Max: max(min(nominal+s.Job.Part.Thickness*2, farthest), nominal),
		Step: max(0.5*si.Millimetre, s.Job.Part.Thickness/40), Tolerance: 0.0005,
	})
}

func (s *sheet) offsetValues(g *Group) {
	if !si.Known(g.OffsetFrom) {
		return
	}
	id := "groups." + g.Set.Name + "."
	keep := how{
		formula: "range of a in which C does not fall by more than 0.05 % of the volume", inputs: []string{id + "wedge_front", "coverage.share"},
		source: "own computation: search, groups of other probes unmoved", side: si.Up,
	}
	s.length(id+"offset_from", "a_1", "smallest wedge front to centreline that keeps the coverage", g.OffsetFrom, keep)
	keep.side = si.Down
	s.length(id+"offset_to", "a_2", "largest wedge front to centreline that keeps the coverage", g.OffsetTo, keep)
}

// searchReach is what a group reaches from all its sides with its wedge front
// moved, coarser than what is stated: fewer rows, and of a long array only every
// so many elements, since half of these reach what half of all reach.
func (s *sheet) searchReach(g *Group, front si.Length) coverage.Rows {
	if g.Pair != nil {
		return s.pairRows(g, searchRows)
	}
	if g.Set.Method == "straight-beam" {
		var rows []coverage.Rows
		for _, side := range g.Set.Sides {
			rows = append(rows, s.straightRows(g, side, searchRows))
		}
		return coverage.Union(rows...)
	}
	var views []coverage.View
	if g.Single != nil { // only others are moved
		views, front = g.singleViews(), g.Single.Near
	} else {
		views = g.views(g.stand(front))
	}
	for i := range views {
		views[i].Transmit.Emitters = thinned(views[i].Transmit.Emitters)
		views[i].Receive.Emitters = thinned(views[i].Receive.Emitters)
	}
	var rows []coverage.Rows
	for _, side := range g.Set.Sides {
		f := frameOf(s.Section, side, g.Set.Surface, front)
		rows = append(rows, f.rows(coverage.Reach(f.local(s.Section), views, searchRows)))
	}
	return coverage.Union(rows...)
}

// thinned keeps at most 17 of the emitters, evenly spaced and with both ends.
func thinned(all []coverage.Emitter) []coverage.Emitter {
	const most = 17
	if len(all) <= most {
		return all
	}
	kept := make([]coverage.Emitter, most)
	for i := range kept {
		kept[i] = all[i*(len(all)-1)/(most-1)]
	}
	return kept
}
