package technique

import (
	"fmt"
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// A linear group sends a few fixed angles from an aperture that is stepped along
// the array. What is stated of single beams is stated of the first and the last
// aperture, between which every quantity changes evenly.

// fixedRange is the smallest and the largest of the fixed angles.
func fixedRange(angles []si.Angle) schema.AngleRange {
	r := schema.AngleRange{From: si.Unknown[si.Angle](), To: si.Unknown[si.Angle](), Step: si.Unknown[si.Angle]()}
	if len(angles) > 0 {
		r.From, r.To = slices.Min(angles), slices.Max(angles) // NaN where one of them is
	}
	return r
}

func sorted(angles []si.Angle) []si.Angle { return slices.Sorted(slices.Values(angles)) }

// angleKey is the key of the job that gives the angles.
func (g *Group) angleKey(ofRange string) string {
	if g.Set.Method == "linear" {
		return ".fixed_angles"
	}
	return ofRange
}

// apertures are the stands of a linear group's apertures, the rear one first.
func (g *Group) apertures(front si.Length) []stand {
	var list []stand
	st := g.stand(front)
	for i := range g.Set.Apertures() {
		st.first = g.Set.Aperture.First - 1 + i*g.Set.Stepping.Step
		list = append(list, st)
	}
	return list
}

// sweptViews is the view of each angle and leg as the aperture moves.
func (g *Group) sweptViews(way coverage.Way, front si.Length) []coverage.View {
	apertures := g.apertures(front)
	way.Emitters = []coverage.Emitter{apertures[0].centre(), apertures[len(apertures)-1].centre()}
	way.Swept = true
	var views []coverage.View
	for _, angle := range g.Set.FixedAngles {
		way.From, way.To = angle, angle
		for _, leg := range g.Set.Legs {
			way.Course = g.straight(leg)
			views = append(views, coverage.View{Transmit: way, Receive: way})
		}
	}
	return views
}

// sweptRays are the rays of the first and the last aperture at the smallest and
// the largest angle.
func (g *Group) sweptRays(f frame, section *geometry.Section, front si.Length) []Ray {
	apertures, local := g.apertures(front), f.local(section)
	var rays []Ray
	for _, angle := range slices.Compact([]si.Angle{g.Angles.From, g.Angles.To}) {
		for _, st := range ends(apertures) {
			rays = append(rays, Ray{Points: f.points(st.ray(local, g.straight(g.legs()), angle)), Angle: angle, Edge: true})
		}
	}
	return rays
}

// ends are the first and the last aperture, or the only one.
func ends(apertures []stand) []stand {
	if len(apertures) < 2 {
		return apertures
	}
	return []stand{apertures[0], apertures[len(apertures)-1]}
}

// steppedValues states the apertures and beams of a linear group.
func (s *sheet) steppedValues(id string, g *Group) {
	set, apertures := g.Set, g.apertures(g.Set.WedgeFront)
	first, last := apertures[0], apertures[len(apertures)-1]
	s.count(id+"fixed_angles", "n_α", "fixed angles", len(set.FixedAngles), given())
	s.count(id+"first_element", "n_1", "first element of the first aperture", set.Aperture.First, given())
	s.count(id+"last_element", "n_2", "element that no aperture reaches past", set.Stepping.Last, given())
	s.count(id+"aperture_step", "Δn", "elements from one aperture to the next", set.Stepping.Step, given())
	s.count(id+"apertures", "n_p", "apertures along the array", len(apertures), how{
		formula: "n_p = (n_2 − n_1 − n + 1) / Δn + 1, rounded down", source: "counting",
		inputs: []string{id + "last_element", id + "first_element", id + "active_elements", id + "aperture_step"}})
	s.share(id+"aperture_overlap", "o_A", "overlap of neighbouring apertures, share of the aperture",
		acoustics.ApertureOverlap(acoustics.ActiveAperture(first.count, g.Probe.Pitch, g.Probe.Pitch-g.Probe.Gap), g.Probe.Pitch, set.Stepping.Step), how{
			formula: "o_A = 1 − Δn p / A", inputs: []string{id + "aperture_step", id + "pitch", id + "aperture"}, side: si.Down, source: "definition"})

	right := s.farthest(g)
	width, longest := si.Angle(math.Inf(1)), si.Time(0)
	for _, angle := range sorted(set.FixedAngles) {
		for i, st := range apertures {
			_, depth, time := s.used(g, st, angle, right)
			g.Deepest, longest = max(g.Deepest, depth), max(longest, time)
			width = min(width, st.beam(angle).Spread())
			if i > 0 && i < len(apertures)-1 {
				continue
			}
			law := s.law(g, st, angle, right)
			g.Laws = append(g.Laws, law)
			s.lawValues(fmt.Sprintf("%slaws.%s.%d-%d.", id, trimNumber(float64(angle/si.Degree)), law.First, law.First+st.count-1), law)
		}
	}
	s.bandValues(id, g, first, last)
	s.beamWidth(id, first, width)
	s.focusValues(id, g, first)
	s.beamWidths(id, g, g.stand(set.WedgeFront))
	beams := len(apertures) * len(set.FixedAngles)
	g.Load = acquisition.Load{Firings: beams, AScans: beams, TimeOfFlight: longest}
	s.loadValues(id, g)
}

// bandValues states how wide a strip the moved beam sweeps, at the middle angle.
func (s *sheet) bandValues(id string, g *Group, first, last stand) {
	middle := g.drawn(first)[1]
	exit := func(st stand) si.Length {
		x, _ := st.exit(middle)
		return -st.front - x
	}
	at := how{formula: s.around("x_e = d − h tan β", exitAround), inputs: []string{id + "middle_wedge_angle"}, source: "geometry and " + snell}
	s.length(id+"exit_first", "x_e1", "exit point behind the wedge front, first aperture at the middle angle", exit(first), at)
	s.length(id+"exit_last", "x_e2", "exit point behind the wedge front, last aperture at the middle angle", exit(last), at)
	s.length(id+"band", "b_s", "width of the strip that the beam of the middle angle sweeps, along the surface", exit(first)-exit(last), how{
		formula: "b_s = x_e1 − x_e2", inputs: []string{id + "exit_first", id + "exit_last"}, side: si.Down, source: "geometry"})
}
