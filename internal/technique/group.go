package technique

import (
	"fmt"
	"strings"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

const (
	krautkramer = "J. and H. Krautkramer, Ultrasonic Testing of Materials"
	snell       = "Snell's law"
)

// group sets a group up and states its values. A group whose probe or wedge is
// not known was reported when the job was read, and stays empty.
func (s *sheet) group(set *schema.Group) {
	if set.Method == "tofd" {
		s.pair(set)
		return
	}
	if set.Single() {
		s.single(set)
		return
	}
	g := Group{Set: set, Part: s.strata(set.Surface), Coating: s.coating()}
	g.PartSpeed = g.Part.Speed(g.Sent())
	g.Probe = named(s.Job.Equipment.Probes, func(p *schema.Probe) string { return p.Name }, set.Probe)
	g.Wedge = named(s.Job.Equipment.Wedges, func(w *schema.Wedge) string { return w.Name }, set.Wedge)
	if g.Probe == nil || g.Wedge == nil || g.Probe.Elements < 1 || !s.Section.Known() || s.nowhere(set) {
		s.Groups = append(s.Groups, g)
		return
	}
	switch set.Method {
	case "tfm":
		g.Angles = g.usable(g.Sent())
	case "linear":
		g.Angles = fixedRange(set.FixedAngles)
	default:
		g.Angles = set.Angles
	}
	if g.Heard = g.Angles; g.Received() != g.Sent() {
		g.Heard = g.usable(g.Received())
	}
	st := g.stand(set.WedgeFront)
	if !s.possible(&g, st) || !s.converted(&g) {
		s.Groups = append(s.Groups, g)
		return
	}
	id := "groups." + set.Name + "."
	s.probeValues(id, &g, st)
	s.positionValues(id, &g, st)
	switch set.Method {
	case "tfm":
		s.imageValues(id, &g, st)
	case "linear":
		s.steppedValues(id, &g)
	default:
		s.beamValues(id, &g, st)
	}
	s.layerValues(id, &g, st)
	s.legValues(id, &g, st)
	s.soundValues(id, &g, st)
	for _, side := range set.Sides {
		f := frameOf(s.Section, side, set.Surface, set.WedgeFront)
		p := st.placement(s.Section, f, side, g.drawnCourse(), g.drawn(st))
		if set.Method == "linear" {
			p.Active = [2]int{set.Aperture.First, set.Stepping.Last}
			p.Rays = g.sweptRays(f, s.Section, st.front)
		}
		p.Coverage = coverage.Measure(s.Section, f.rows(coverage.Reach(f.local(s.Section), g.views(st), coverage.DefaultRows)))
		p.Region = g.region(f, s.Section.Thickness)
		g.Placements = append(g.Placements, p)
		g.Faces = append(g.Faces, s.faces(&g, st, f, side)...)
	}
	s.Groups = append(s.Groups, g)
}

// named returns the item of a list of the job that is called so, or nil.
func named[T any](list []T, name func(*T) string, wanted string) *T {
	for i := range list {
		if name(&list[i]) == wanted {
			return &list[i]
		}
	}
	return nil
}

// stand places the group's active aperture with the wedge front at the given
// distance from the centreline; of a linear group, the middle aperture.
func (g *Group) stand(front si.Length) stand {
	st := stand{probe: g.Probe, wedge: g.Wedge, front: front, count: g.Probe.Elements, course: g.straight(1), speed: g.PartSpeed}
	if g.Set.Aperture.Count > 0 {
		st.first, st.count = g.Set.Aperture.First-1, g.Set.Aperture.Count
	}
	if n := g.Set.Apertures(); g.Set.Method == "linear" && n > 0 {
		st.first += (n - 1) / 2 * g.Set.Stepping.Step
	}
	return st
}

// possible reports what physics forbids, and whether the group can be computed.
func (s *sheet) possible(g *Group, st stand) bool {
	path := "groups." + g.Set.Name
	wave, which := "transverse", "second"
	if g.PartSpeed == s.Job.Part.Material.Longitudinal {
		wave, which = "longitudinal", "first"
	}
	r := g.Set.Region
	if g.Set.Method == "tfm" && (g.Set.Path == "" || !si.Known(r.Near+r.Far+r.Top+r.Bottom)) || g.Set.Method != "tfm" && len(g.Set.Legs) == 0 || g.Set.Method == "linear" && g.Set.Apertures() == 0 {
		return false
	}
	if t := g.Set.Transmission; t.Scheme == "plane-wave" && (t.Count < 2 || !si.Known(t.To-t.From)) {
		return false
	}
	if !si.Known(g.PartSpeed) || !si.Known(g.Wedge.Velocity) || !si.Known(g.Wedge.Angle) {
		return false
	}
	if !si.Known(g.Heard.From+g.Heard.To) || !si.Known(g.Part.Speed(g.Received())) {
		return false
	}
	// A path with both kinds of wave at the probe cannot have the wedge square to both.
	if !si.Known(st.natural()) && g.Sent() == g.Received() {
		limit := acoustics.CriticalAngle(g.Wedge.Velocity, g.PartSpeed)
		s.problem("equipment.wedges."+g.Wedge.Name+".angle", "past-critical-angle",
			fmt.Sprintf("the wedge stands past the %s critical angle, so that no %s wave enters the part", which, wave),
			deg(g.Wedge.Angle, si.Nearest), "below "+deg(limit, si.Down)+", the "+which+" critical angle of this wedge on this part",
			"choose a wedge of "+deg(limit-si.Degree, si.Down)+" or less, or correct the velocities")
		return false
	}
	for _, end := range []struct {
		angle si.Angle
		key   string
		speed si.Speed
	}{
		{g.Angles.From, g.angleKey(".angles.from"), g.PartSpeed}, {g.Angles.To, g.angleKey(".angles.to"), g.PartSpeed},
		{g.Heard.From, ".path", g.Part.Speed(g.Received())}, {g.Heard.To, ".path", g.Part.Speed(g.Received())},
	} {
		if si.Known(end.angle) && !si.Known(acoustics.Refract(end.angle, end.speed, g.Wedge.Velocity)) {
			limit := acoustics.CriticalAngle(end.speed, g.Wedge.Velocity)
			s.problem(path+end.key, "past-critical-angle",
				fmt.Sprintf("no ray of this wedge is refracted to %s in the part", deg(end.angle, si.Nearest)),
				deg(end.angle, si.Nearest), "below "+deg(limit, si.Down),
				"choose a smaller angle, or a wedge in which sound is slower than in the part")
			return false
		}
	}
	if !si.Known(g.Angles.From) || !si.Known(g.Angles.To) || !si.Known(st.front) || !si.Known(st.element(0).X) || !si.Known(st.element(0).Height) {
		return false
	}
	if s.offTheRing(g, st) {
		return false
	}
	if g.Set.Method != "tfm" && s.neverBack(g, path+g.angleKey(".angles.from"), g.Angles.From) {
		return false
	}
	if clearance := s.toeClearance(g); clearance < -1e-9 {
		s.problem(path+".wedge_front", "wedge-on-reinforcement",
			fmt.Sprintf("the wedge of group %s would stand on the reinforcement of the weld", g.Set.Name),
			s.mm(g.Set.WedgeFront, si.Nearest), "at least "+s.mm(g.Set.WedgeFront-clearance, si.Up)+", where the reinforcement ends",
			"set wedge_front to "+s.mm(g.Set.WedgeFront-clearance, si.Up)+" or more, or have the reinforcement dressed flush")
		return false
	}
	if !s.rests(g) {
		return false
	}
	foremost := st
	if g.Set.Method == "linear" {
		apertures := g.apertures(st.front)
		foremost = apertures[len(apertures)-1]
	}
	if x, _ := foremost.exit(g.Angles.To); x > -st.front+1e-9 && g.Set.Method != "tfm" {
		over := x + st.front
		s.problem(path+g.angleKey(".angles.to"), "beam-leaves-wedge",
			fmt.Sprintf("the beam of %s reaches the wedge's front before it reaches the part", deg(g.Angles.To, si.Nearest)),
			deg(g.Angles.To, si.Nearest), "an exit point behind the wedge front",
			fmt.Sprintf("use elements further back, or lower the angle: the beam is %s past the front", s.mm(over, si.Up)))
		return false
	}
	return true
}

func deg(a si.Angle, side si.Side) string {
	return si.Quantity{SI: float64(a), Kind: si.KindAngle}.Text("deg", 1, side)
}

// mm prints a length in the job's unit.
func (s *sheet) mm(x si.Length, side si.Side) string {
	q := si.Quantity{SI: float64(x), Kind: si.KindLength}
	if s.inch {
		return q.Text("in", 3, side)
	}
	return q.Text("mm", 1, side)
}

// legs is the largest number of legs the group evaluates, on either way.
func (g *Group) legs() int {
	if g.Set.Method == "tfm" {
		t, r := g.pathLegs()
		return max(t, r)
	}
	most := 1
	for _, leg := range g.Set.Legs {
		most = max(most, leg)
	}
	return most
}

// pathLegs counts the legs of a tfm path, out and back.
func (g *Group) pathLegs() (transmit, receive int) {
	t, r, _ := strings.Cut(g.Set.Path, "-")
	return len(t), len(r)
}

// drawnCourse is the way over more legs, of which the figure shows the rays.
func (g *Group) drawnCourse() ray.Course {
	if g.Set.Method != "tfm" {
		return g.straight(g.legs())
	}
	out, back := g.ways()
	if len(back.Legs) > len(out.Legs) && back.Legs[0] == out.Legs[0] {
		return back
	}
	return out
}

// drawn lists the angles whose rays the figure shows; the one in the middle is
// that for which distances are stated.
func (g *Group) drawn(st stand) []si.Angle {
	middle := middleOf(g.Angles)
	if g.Set.Method == "linear" {
		angles := sorted(g.Set.FixedAngles)
		middle = angles[len(angles)/2]
	}
	if n := st.natural(); g.Set.Method == "tfm" && n > g.Angles.From && n < g.Angles.To {
		middle = n
	}
	return []si.Angle{g.Angles.From, middle, g.Angles.To}
}

// views says how the group looks at the part, for the coverage.
func (g *Group) views(st stand) []coverage.View {
	if g.Single != nil {
		return g.singleViews()
	}
	way := coverage.Way{From: g.Angles.From, To: g.Angles.To}
	if g.Set.Method == "tfm" {
		transmit, receive := way, coverage.Way{From: g.Heard.From, To: g.Heard.To}
		transmit.OneThickness, receive.OneThickness = true, true
		transmit.Course, receive.Course = g.ways()
		transmit.Emitters, receive.Emitters = st.active(g.every()), st.active(1)
		transmit.Waves = g.waves()
		return []coverage.View{{Transmit: transmit, Receive: receive, Region: &g.Set.Region}}
	}
	if g.Set.Method == "linear" {
		return g.sweptViews(way, st.front)
	}
	way.Emitters = []coverage.Emitter{st.centre()}
	var views []coverage.View
	for _, leg := range g.Set.Legs {
		way.Course = g.straight(leg)
		views = append(views, coverage.View{Transmit: way, Receive: way})
	}
	return views
}

func (g *Group) every() int { return max(1, g.Set.Transmission.Every) }

// region is the imaged region in the section as drawn.
func (g *Group) region(f frame, thickness si.Length) geometry.Polygon {
	if g.Set.Method != "tfm" {
		return nil
	}
	r := g.Set.Region
	return f.points([]geometry.Point{{X: -r.Near, Z: r.Top}, {X: r.Far, Z: r.Top}, {X: r.Far, Z: r.Bottom}, {X: -r.Near, Z: r.Bottom}})
}
