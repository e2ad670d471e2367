package technique

import (
	"fmt"
	"math"
	"strings"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
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
	g := Group{Set: set, PartSpeed: partSpeed(set, &s.Job.Part.Material)}
	g.Probe, g.Wedge = find(s.Job.Equipment.Probes, set.Probe), findWedge(s.Job.Equipment.Wedges, set.Wedge)
	if g.Probe == nil || g.Wedge == nil || g.Probe.Elements < 1 || !s.Section.Known() {
		s.Groups = append(s.Groups, g)
		return
	}
	switch set.Method {
	case "tfm":
		g.Angles = schema.AngleRange{From: g.Wedge.UsableFrom, To: g.Wedge.UsableTo}
	case "linear":
		g.Angles = fixedRange(set.FixedAngles)
	default:
		g.Angles = set.Angles
	}
	st := g.stand(set.WedgeFront)
	if !s.possible(&g, st) {
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
	s.soundValues(id, &g, st)
	for _, side := range set.Sides {
		f := frameOf(s.Section, side, set.Surface)
		p := st.placement(s.Section, f, side, g.drawn(st), g.legs())
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

func find(probes []schema.Probe, name string) *schema.Probe {
	for i := range probes {
		if probes[i].Name == name {
			return &probes[i]
		}
	}
	return nil
}

func findWedge(wedges []schema.Wedge, name string) *schema.Wedge {
	for i := range wedges {
		if wedges[i].Name == name {
			return &wedges[i]
		}
	}
	return nil
}

// partSpeed returns the velocity of the wave a group uses in the part.
func partSpeed(set *schema.Group, m *schema.Material) si.Speed {
	if set.Method == "tfm" && strings.HasPrefix(set.Path, "L") || set.Method != "tfm" && set.Wave == "longitudinal" {
		return m.Longitudinal
	}
	return m.Transverse
}

// stand places the group's active aperture with the wedge front at the given
// distance from the centreline; of a linear group, the middle aperture.
func (g *Group) stand(front si.Length) stand {
	st := stand{probe: g.Probe, wedge: g.Wedge, front: front, count: g.Probe.Elements, speed: g.PartSpeed}
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
	if !si.Known(st.natural()) {
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
	}{{g.Angles.From, g.angleKey(".angles.from")}, {g.Angles.To, g.angleKey(".angles.to")}} {
		if si.Known(end.angle) && !si.Known(acoustics.Refract(end.angle, g.PartSpeed, g.Wedge.Velocity)) {
			limit := acoustics.CriticalAngle(g.PartSpeed, g.Wedge.Velocity)
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
	if clearance := s.toeClearance(g); clearance < -1e-9 {
		s.problem(path+".wedge_front", "wedge-on-reinforcement",
			fmt.Sprintf("the wedge of group %s would stand on the reinforcement of the weld", g.Set.Name),
			s.mm(g.Set.WedgeFront, si.Nearest), "at least "+s.mm(g.Set.WedgeFront-clearance, si.Up)+", where the reinforcement ends",
			"set wedge_front to "+s.mm(g.Set.WedgeFront-clearance, si.Up)+" or more, or have the reinforcement dressed flush")
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
	way := coverage.Way{From: g.Angles.From, To: g.Angles.To, WedgeSpeed: g.Wedge.Velocity, PartSpeed: g.PartSpeed}
	if g.Set.Method == "tfm" {
		transmit, receive := way, way
		transmit.Legs, receive.Legs = g.pathLegs()
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
		way.Legs = leg
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

// probeValues states what follows from probe and wedge alone.
func (s *sheet) probeValues(id string, g *Group, st stand) {
	p, w := g.Probe, g.Wedge
	speedID := "part.transverse"
	if g.PartSpeed == s.Job.Part.Material.Longitudinal {
		speedID = "part.longitudinal"
	}
	s.frequency(id+"frequency", "f", "nominal frequency", p.Frequency, megahertz, given())
	s.sound(id+"wedge_velocity", "c_w", "longitudinal velocity in the wedge", w.Velocity, given())
	s.angle(id+"wedge_angle", "ω", "angle between array and contact face", w.Angle, given())
	s.fine(id+"pitch", "p", "pitch of the elements", p.Pitch, given())
	s.fine(id+"gap", "g_e", "gap between elements", p.Gap, given())
	s.fine(id+"element", "e", "width of an element", p.Pitch-p.Gap, how{
		formula: "e = p − g_e", inputs: []string{id + "pitch", id + "gap"}, source: "definition"})
	s.count(id+"active_elements", "n", "elements that form a beam or an image", st.count, given())
	s.angle(id+"angle_from", "α_1", "smallest refracted angle used", g.Angles.From, given())
	s.angle(id+"angle_to", "α_2", "largest refracted angle used", g.Angles.To, given())

	s.fine(id+"wavelength", "λ", "wavelength in the part", acoustics.Wavelength(g.PartSpeed, p.Frequency), how{
		formula: "λ = c / f", inputs: []string{speedID, id + "frequency"}, source: "definition of a wave; " + krautkramer})
	lw := acoustics.Wavelength(w.Velocity, p.Frequency)
	s.fine(id+"wavelength_wedge", "λ_w", "wavelength in the wedge", lw, how{
		formula: "λ_w = c_w / f", inputs: []string{id + "wedge_velocity", id + "frequency"}, source: "definition of a wave; " + krautkramer})
	s.angle(id+"natural_angle", "α_0", "refracted angle of the unsteered beam", st.natural(), how{
		formula: "sin α_0 = (c / c_w) sin ω", inputs: []string{speedID, id + "wedge_velocity", id + "wedge_angle"}, source: snell})
	if first := acoustics.CriticalAngle(w.Velocity, s.Job.Part.Material.Longitudinal); si.Known(first) {
		s.angle(id+"critical_first", "ω_1", "first critical angle of the wedge", first, how{
			formula: "sin ω_1 = c_w / c_L", inputs: []string{id + "wedge_velocity", "part.longitudinal"}, source: snell})
	}
	if second := acoustics.CriticalAngle(w.Velocity, s.Job.Part.Material.Transverse); si.Known(second) {
		s.angle(id+"critical_second", "ω_2", "second critical angle of the wedge", second, how{
			formula: "sin ω_2 = c_w / c_T", inputs: []string{id + "wedge_velocity", "part.transverse"}, source: snell})
	}
	s.fine(id+"aperture", "A", "active aperture", acoustics.ActiveAperture(st.count, p.Pitch, p.Pitch-p.Gap), how{
		formula: "A = (n − 1) p + e", inputs: []string{id + "active_elements", id + "pitch", id + "element"}, source: "definition"})

	s.ratio(id+"pitch_ratio", "p/λ_w", "pitch over wavelength in the wedge", si.Ratio(p.Pitch/lw), how{
		formula: "p / λ_w", inputs: []string{id + "pitch", id + "wavelength_wedge"}, source: "definition"})
	steering := g.steering(st)
	s.angle(id+"steering", "θ", "largest steering from the array's normal, in the wedge", si.Angle(math.Abs(float64(steering))), how{
		formula: "θ = |asin(c_w sin α / c) − ω|, the larger of both ends of the range",
		inputs:  []string{id + "wedge_velocity", speedID, id + "angle_from", id + "angle_to", id + "wedge_angle"}, source: snell})
	s.angle(id+"steering_limit", "θ_e", "steering within which an element sends well", acoustics.SteeringLimit(p.Pitch-p.Gap, lw), how{
		formula: "sin θ_e = 0.514 λ_w / e", inputs: []string{id + "wavelength_wedge", id + "element"}, source: "common practice, no source"})
	s.fine(id+"pitch_limit", "p_g", "pitch below which no grating lobe exists", acoustics.PitchLimit(lw, steering), how{
		formula: "p_g = λ_w / (1 + sin θ)", inputs: []string{id + "wavelength_wedge", id + "steering"}, side: si.Down,
		source: "grating equation of an array; strict for continuous waves, softened by a short pulse"})
	if lobe, ok := acoustics.GratingLobe(p.Pitch, lw, steering); ok {
		s.angle(id+"grating_angle", "θ_g", "direction of the grating lobe from the array's normal, in the wedge", lobe, how{
			formula: "sin θ_g = sin θ ∓ λ_w / p", inputs: []string{id + "steering", id + "wavelength_wedge", id + "pitch"},
			source: "grating equation of an array"})
	}
	s.ratio(id+"sampling_ratio", "f_s/f", "digitising rate over frequency", si.Ratio(s.Job.Equipment.Instrument.Sampling/p.Frequency), how{
		formula: "f_s / f", inputs: []string{"instrument.sampling", id + "frequency"}, source: "definition"})
	middle := g.drawn(st)[1]
	s.middleValues(id, g, st, middle, speedID)
	s.length(id+"near_field", "N", "near field left in the part, as sound path, at the middle angle", st.beam(middle).NearField(), how{
		formula: "N = A² f / (4 c) · cos α / cos β − L_w c_w / c, with A taken along the beam and β the angle in the wedge",
		inputs:  []string{id + "aperture", id + "frequency", speedID, id + "middle_angle", id + "middle_wedge_angle", id + "wedge_path", id + "wedge_velocity"},
		source:  "common practice; row P170 of the published check values, 4 % above the value printed there"})
	if s.Job.Part.Kind == "pipe" {
		s.length(id+"wedge_width", "b", "width of the wedge", w.Width, given())
		if si.Known(w.Contour) {
			s.length(id+"contour", "D_c", "diameter for which the wedge is shaped", w.Contour, given())
		}
		s.add(id+"wedge_gap", "g", "gap at the edges of the wedge on the pipe", float64(s.wedgeGap(w)), si.KindLength,
			digits{"mm", 2, "in", 3}, how{
				formula: gapFormula(w), inputs: gapInputs(id, w), side: si.Up, source: "sagitta of a circle"})
	}
}

// wedgeGap is the gap at the edges of the wedge on a pipe, where the probe
// looks along the axis and the wedge's width lies along the curvature.
func (s *sheet) wedgeGap(w *schema.Wedge) si.Length {
	gap := acoustics.WedgeGap(w.Width, s.Job.Part.OutsideDiameter)
	if si.Known(w.Contour) {
		gap = si.Length(math.Abs(float64(gap - acoustics.WedgeGap(w.Width, w.Contour))))
	}
	return gap
}

func gapFormula(w *schema.Wedge) string {
	if si.Known(w.Contour) {
		return "g = |s(D) − s(D_c)|, s(D) = D/2 − √((D/2)² − (b/2)²)"
	}
	return "g = D/2 − √((D/2)² − (b/2)²)"
}

func gapInputs(id string, w *schema.Wedge) []string {
	if si.Known(w.Contour) {
		return []string{"part.outside_diameter", id + "contour", id + "wedge_width"}
	}
	return []string{"part.outside_diameter", id + "wedge_width"}
}

// middleValues states the beam at the angle for which distances are given: the
// middle of a sectorial range, the unsteered beam of an image.
func (s *sheet) middleValues(id string, g *Group, st stand, middle si.Angle, speedID string) {
	switch g.Set.Method {
	case "tfm":
		s.angle(id+"middle_angle", "α", "angle for which distances are stated: that of the unsteered beam where the wedge permits it", middle, how{
			formula: "α = α_0 where α_1 < α_0 < α_2, else (α_1 + α_2) / 2", inputs: []string{id + "natural_angle", id + "angle_from", id + "angle_to"}, source: "own choice"})
	case "linear":
		s.angle(id+"middle_angle", "α", "angle for which distances are stated, from the middle aperture: the middle one of the list", middle, given())
	default:
		s.angle(id+"middle_angle", "α", "angle for which distances are stated: the middle of the range", middle, how{
			formula: "α = (α_1 + α_2) / 2", inputs: []string{id + "angle_from", id + "angle_to"}, source: "own choice"})
	}
	s.angle(id+"middle_wedge_angle", "β", "angle in the wedge of the beam refracted to α", acoustics.Refract(middle, g.PartSpeed, g.Wedge.Velocity), how{
		formula: "sin β = (c_w / c) sin α", inputs: []string{id + "wedge_velocity", speedID, id + "middle_angle"}, source: snell})
	s.length(id+"first_element_height", "h_1", "centre of element 1 above the contact face", g.Wedge.FirstElementHeight, given())
	s.length(id+"front_distance", "d_1", "wedge front back to the centre of element 1", g.Wedge.FrontDistance, given())
	c := st.centre()
	centre := si.Ratio(float64(st.first) + float64(st.count-1)/2)
	s.ratio(id+"centre_pitches", "m", "pitches from element 1 to the middle of the active aperture", centre, how{
		formula: "m = first − 1 + (n − 1) / 2", inputs: []string{id + "active_elements"}, source: "definition"})
	on := []string{id + "centre_pitches", id + "pitch", id + "wedge_angle"}
	s.length(id+"centre_height", "h", "middle of the active aperture above the contact face", c.Height, how{
		formula: "h = h_1 + m p sin ω", inputs: append([]string{id + "first_element_height"}, on...), source: "geometry"})
	s.length(id+"centre_distance", "d", "wedge front back to the middle of the active aperture", -st.front-c.X, how{
		formula: "d = d_1 − m p cos ω", inputs: append([]string{id + "front_distance"}, on...), source: "geometry"})
	_, path := st.exit(middle)
	s.length(id+"wedge_path", "L_w", "sound path in the wedge, one way, at the middle angle", path, how{
		formula: "L_w = h / cos β", inputs: []string{id + "centre_height", id + "middle_wedge_angle"}, source: "geometry"})
}

// steering is the angle from the array's normal to the beam at that end of the
// range where it is larger, with its sign.
func (g *Group) steering(st stand) si.Angle {
	at := func(angle si.Angle) si.Angle {
		return acoustics.Refract(angle, g.PartSpeed, g.Wedge.Velocity) - g.Wedge.Angle
	}
	from, to := at(g.Angles.From), at(g.Angles.To)
	if math.Abs(float64(from)) > math.Abs(float64(to)) {
		return from
	}
	return to
}

// gratingEnters reports whether a grating lobe exists within the angles used
// and is refracted into the part as the group's own wave.
func (g *Group) gratingEnters(st stand) bool {
	lobe, ok := acoustics.GratingLobe(g.Probe.Pitch, acoustics.Wavelength(g.Wedge.Velocity, g.Probe.Frequency), g.steering(st))
	return ok && si.Known(acoustics.Refract(g.Wedge.Angle+lobe, g.Wedge.Velocity, g.PartSpeed))
}

// positionValues states where the probe stands.
func (s *sheet) positionValues(id string, g *Group, st stand) {
	t := s.Job.Part.Thickness
	middle := g.drawn(st)[1]
	x, _ := st.exit(middle)
	s.length(id+"wedge_front", "a", "wedge front to weld centreline", st.front, given())
	s.length(id+"exit_distance", "x_e", "exit point behind the wedge front, at the middle angle", -st.front-x, how{
		formula: "x_e = d − h tan β", inputs: []string{id + "centre_distance", id + "centre_height", id + "middle_wedge_angle"}, source: "geometry"})
	s.length(id+"exit_to_centreline", "x_c", "exit point to weld centreline, at the middle angle", -x, how{
		formula: "x_c = a + x_e", inputs: []string{id + "wedge_front", id + "exit_distance"}, source: "geometry"})
	s.length(id+"first_element_to_centreline", "x_1", "centre of element 1 to weld centreline", -st.element(0).X, how{
		formula: "x_1 = a + d_1", inputs: []string{id + "wedge_front", id + "front_distance"}, source: "geometry"})
	clearance := s.toeClearance(g)
	s.length(id+"toe", "x_r", "toe of the reinforcement to weld centreline, the farther of the sides used", g.Set.WedgeFront-clearance, given())
	s.length(id+"toe_clearance", "x_t", "wedge front to the toe of the reinforcement", clearance, how{
		formula: "x_t = a − x_r", inputs: []string{id + "wedge_front", id + "toe"}, source: "geometry", side: si.Down})
	from := []string{"part.thickness", id + "middle_angle"}
	s.length(id+"half_skip", "s_½", "half skip at the middle angle", acoustics.SkipHalf(t, middle), how{
		formula: "s_½ = t tan α", inputs: from, source: krautkramer})
	s.length(id+"full_skip", "s_1", "full skip at the middle angle", acoustics.SkipFull(t, middle), how{
		formula: "s_1 = 2 t tan α", inputs: from, source: krautkramer})
	s.length(id+"v_path", "s_V", "sound path of two legs at the middle angle", acoustics.VPath(t, middle), how{
		formula: "s_V = 2 t / cos α", inputs: from, source: krautkramer})
}

// toeClearance is the smallest over the sides from which the group looks.
func (s *sheet) toeClearance(g *Group) si.Length {
	least := si.Length(math.Inf(1))
	for _, side := range g.Set.Sides {
		from, _ := frameOf(s.Section, side, g.Set.Surface).local(s.Section).CapSpan()
		least = min(least, g.Set.WedgeFront+from)
	}
	return least
}

// beamValues states the laws of a sectorial group.
func (s *sheet) beamValues(id string, g *Group, st stand) {
	s.angle(id+"angle_step", "Δα", "step between beams", g.Angles.Step, given())
	right := s.farthest(g)
	width := si.Angle(math.Inf(1))
	array := st.array()
	longest := si.Time(0)
	for _, angle := range steps(g.Angles) {
		law := s.law(g, st, array, angle, right)
		g.Laws = append(g.Laws, law)
		g.Deepest = max(g.Deepest, law.Path*si.Length(angle.Cos()))
		longest = max(longest, 2*(passage(law.WedgePath, g.Wedge.Velocity)+passage(law.Path, g.PartSpeed)))
		width = min(width, st.beam(angle).Spread())
		s.lawValues(id+"laws."+trimNumber(float64(angle/si.Degree))+".", law)
	}
	s.angle(id+"beam_width", "Δθ", "width of the narrowest beam between its echo −6 dB edges", width, how{
		formula: "Δθ = 2 asin(0.442 λ / A'), A' the aperture as the part sees it", inputs: []string{id + "wavelength", id + "aperture"},
		source: "directivity of a strip, −3 dB one way; far field"})
	s.share(id+"beam_overlap", "o", "overlap of neighbouring beams, the least over the range", acoustics.BeamOverlap(g.Angles.Step, width), how{
		formula: "o = 1 − Δα / Δθ", inputs: []string{id + "angle_step", id + "beam_width"}, side: si.Down, source: "definition"})
	s.focusValues(id, g, st)
	g.Load = acquisition.Load{Firings: len(g.Laws), AScans: len(g.Laws), TimeOfFlight: longest}
	s.loadValues(id, g)
}

// array is the active aperture as the solver of delays takes it.
func (s stand) array() ray.Array {
	array := ray.Array{Wedge: s.wedge.Velocity, Part: s.speed}
	for _, e := range s.active(1) {
		array.Elements = append(array.Elements, ray.Element{X: e.X, Height: e.Height})
	}
	return array
}

// focused reports whether the beams have a focus.
func (s *sheet) focused(g *Group) bool {
	return g.Set.Focus.Kind == "depth" || g.Set.Focus.Kind == "path"
}

// focusValues states how far the beams can be focused, where they have a focus.
func (s *sheet) focusValues(id string, g *Group, st stand) {
	if !s.focused(g) {
		return
	}
	s.ratio(id+"focus_ratio", "F", "sound path to the focus over the path up to which the beam can be focused, largest over the range", g.focusRatio(st), how{
		formula: "F = focus / ((cos α / cos β)² (A² / (4 λ) − L_w c_w / c))", inputs: []string{id + "aperture", id + "wavelength"}, side: si.Up,
		source: "own derivation: phase matched along the flat interface to second order; checked by brute force"})
}

func (g *Group) focusRatio(st stand) si.Ratio {
	most := si.Ratio(0)
	for _, law := range g.Laws {
		st.first = law.First - 1
		most = max(most, si.Ratio(law.Focus/st.beam(law.Angle).FocusLimit()))
	}
	return most
}

// law computes one beam. Its path ends with its last leg, or where it leaves
// the volume for good.
func (s *sheet) law(g *Group, st stand, array ray.Array, angle si.Angle, right si.Length) Law {
	x, wedgePath := st.exit(angle)
	law := Law{
		First:      st.first + 1,
		Angle:      angle,
		WedgeAngle: acoustics.Refract(angle, g.PartSpeed, g.Wedge.Velocity),
		Exit:       -st.front - x,
		WedgePath:  wedgePath,
		Path:       s.beamDepth(g, x, angle, right) / si.Length(angle.Cos()),
		NearField:  st.beam(angle).NearField(),
		Focus:      si.Unknown[si.Length](),
	}
	switch g.Set.Focus.Kind {
	case "depth":
		law.Focus = g.Set.Focus.At / si.Length(angle.Cos())
	case "path":
		law.Focus = g.Set.Focus.At
	}
	if si.Known(law.Focus) {
		down := law.Focus * si.Length(angle.Cos())
		law.Delays = array.Focus(x+law.Focus*si.Length(angle.Sin()), down)
	} else {
		law.Delays = array.Steer(angle)
	}
	return law
}

// beamDepth is the unfolded depth at which a beam from the exit point ends: with
// its last leg, or where it leaves the volume for good.
func (s *sheet) beamDepth(g *Group, exit si.Length, angle si.Angle, right si.Length) si.Length {
	depth := s.Job.Part.Thickness * si.Length(g.legs())
	return min(depth, max(0, (right-exit)/si.Length(angle.Tan())))
}

// farthest is the far end of the volume as the probe sees it, the largest over
// the sides.
func (s *sheet) farthest(g *Group) si.Length {
	right := si.Length(0)
	for _, side := range g.Set.Sides {
		for _, p := range frameOf(s.Section, side, g.Set.Surface).local(s.Section).Volume {
			right = max(right, p.X)
		}
	}
	return right
}

func (s *sheet) lawValues(id string, law Law) {
	s.angle(id+"wedge_angle", "β", "angle in the wedge", law.WedgeAngle, how{formula: "sin β = (c_w / c) sin α", source: snell})
	s.length(id+"exit", "x_e", "exit point behind the wedge front", law.Exit, how{formula: "x_e = d − h tan β", source: "geometry and " + snell})
	s.length(id+"wedge_path", "L_w", "sound path in the wedge", law.WedgePath, how{formula: "L_w = h / cos β", source: "geometry"})
	s.length(id+"path", "s", "sound path in the part that is used", law.Path, how{
		formula: "s = d / cos α, d the unfolded depth at the end of the last leg or where the beam leaves the volume", source: "geometry", side: si.Up})
	s.length(id+"near_field", "N", "near field left in the part", law.NearField, how{
		formula: "N = A² f / (4 c) · cos α / cos β − L_w c_w / c", source: "common practice"})
	if si.Known(law.Focus) {
		s.length(id+"focus", "F", "sound path to the focus", law.Focus, given())
	}
	for i, d := range law.Delays {
		s.time(fmt.Sprintf("%sdelays.%d", id, i+1), "Δt", fmt.Sprintf("delay of active element %d", i+1), d, nanos, how{
			formula: "Δt_i = max T − T_i, T the least time from the element over the interface to the focus",
			source:  "Fermat's principle"})
	}
}

// imageValues states the grid and the load of a tfm group.
func (s *sheet) imageValues(id string, g *Group, st stand) {
	set, r := g.Set, g.Set.Region
	points := int(math.Floor(float64((r.Near+r.Far)/set.Grid)+1+1e-9)) * int(math.Floor(float64((r.Bottom-r.Top)/set.Grid)+1+1e-9))
	if !si.Known(set.Grid) || !si.Known(r.Near+r.Far+r.Top+r.Bottom) {
		points = 0
	}
	s.fine(id+"grid", "Δ", "distance between image points", set.Grid, given())
	s.count(id+"grid_points", "n_g", "image points", points, how{
		formula: "n_g = (width / Δ + 1) (height / Δ + 1)", inputs: []string{id + "grid"}, source: "definition"})
	lambda := acoustics.Wavelength(g.PartSpeed, g.Probe.Frequency)
	s.ratio(id+"grid_ratio", "λ/Δ", "image points in a wavelength", si.Ratio(lambda/set.Grid), how{
		formula: "λ / Δ", inputs: []string{id + "wavelength", id + "grid"}, side: si.Down, source: "definition"})
	if si.Known(set.Fidelity) {
		s.gain(id+"fidelity", "δ_m", "measured loss of amplitude between image points", set.Fidelity, given())
	}
	scheme := acquisition.Scheme(set.Transmission.Scheme)
	firings, ascans := acquisition.Firings(st.count, scheme, g.sent()), acquisition.AScans(st.count, scheme, g.sent())
	if scheme == acquisition.PlaneWave {
		s.waveValues(id, g)
	} else {
		s.count(id+"elements_firing", "n_t", "elements that fire", firings, how{
			formula: "n_t = ⌈n / every⌉", inputs: []string{id + "active_elements"}, source: "counting"})
	}
	g.Load = acquisition.Load{Firings: firings, AScans: ascans, GridPoints: points, TimeOfFlight: s.imageTime(g, st)}
	s.elementTimes(id, g, st)
	transmit, receive := g.pathLegs()
	g.Deepest = max(g.unfolded(transmit, s.Job.Part.Thickness), g.unfolded(receive, s.Job.Part.Thickness))
	s.loadValues(id, g)
}

// elementTimes states the time from every element to the middle of the region
// on its way out, the delay with which that point is focused.
func (s *sheet) elementTimes(id string, g *Group, st stand) {
	r := g.Set.Region
	legs, _ := g.pathLegs()
	depth := max(ray.Unfold(legs, (r.Top+r.Bottom)/2, s.Job.Part.Thickness), 1e-9)
	for i := range st.count {
		e := st.element(st.first + i)
		path := ray.Between((r.Far-r.Near)/2-e.X, []ray.Layer{{Thickness: e.Height, Speed: g.Wedge.Velocity}, {Thickness: depth, Speed: g.PartSpeed}})
		if si.Known(path.Time) {
			s.time(fmt.Sprintf("%stimes.%d", id, st.first+i+1), "T_i", "one-way time from an element to the middle of the region", path.Time, micros, how{
				formula: "T_i = least of (path in the wedge) / c_w + (unfolded path in the part) / c", inputs: []string{id + "wedge_velocity"}, source: "Fermat's principle"})
		}
	}
}

// unfolded is the largest unfolded depth of the region on a way of so many legs.
func (g *Group) unfolded(legs int, thickness si.Length) si.Length {
	return max(ray.Unfold(legs, g.Set.Region.Top, thickness), ray.Unfold(legs, g.Set.Region.Bottom, thickness))
}

// imageTime is the longest time from any firing element over a corner of the
// region to any receiving element. Time grows with distance, so that the first
// and last element and the corners of the region suffice.
func (s *sheet) imageTime(g *Group, st stand) si.Time {
	t := s.Job.Part.Thickness
	transmit, receive := g.pathLegs()
	r := g.Set.Region
	longest := si.Time(0)
	for _, x := range []si.Length{-r.Near, r.Far} {
		for _, z := range []si.Length{r.Top, r.Bottom} {
			slowest := func(legs int) si.Time {
				worst := si.Time(0)
				// A point on the surface is taken a nanometre below it, or the part would
				// be no layer of the path at all.
				depth := max(ray.Unfold(legs, z, t), 1e-9)
				for _, e := range []coverage.Emitter{st.element(st.first), st.element(st.first + st.count - 1)} {
					path := ray.Between(x-e.X, []ray.Layer{
						{Thickness: e.Height, Speed: g.Wedge.Velocity}, {Thickness: depth, Speed: g.PartSpeed}})
					worst = max(worst, path.Time)
				}
				return worst
			}
			out := slowest(transmit)
			if waves := g.waves(); len(waves) > 0 {
				out = g.wavesArrive(st, x, max(ray.Unfold(transmit, z, t), 1e-9))
			}
			longest = max(longest, out+slowest(receive))
		}
	}
	return longest
}

// loadValues states what one scan position costs.
func (s *sheet) loadValues(id string, g *Group) {
	in := &s.Job.Equipment.Instrument
	load := &g.Load
	samples := acquisition.Samples(load.TimeOfFlight, in.Sampling)
	load.Data = acquisition.Data(load.AScans, samples, in.SampleBytes)
	if g.Set.Method == "tfm" && g.Set.Store == "image" {
		load.Data = acquisition.Data(1, load.GridPoints, in.SampleBytes)
	}
	load.Firings *= s.averages()
	fired, scanned := s.averaged(how{formula: g.firingFormula(), source: "counting"}, how{formula: g.scanFormula(), source: "counting"})
	s.count(id+"firings", "n_f", "firings for one scan position", load.Firings, fired)
	s.count(id+"a_scans", "n_a", "A-scans of one scan position", load.AScans, scanned)
	s.time(id+"time_of_flight", "T", "longest time of flight, wedge and part, there and back", load.TimeOfFlight, micros, how{
		formula: g.flightFormula(), inputs: []string{id + "wedge_velocity"}, source: "Fermat's principle", side: si.Up})
	if cycle, formula, inputs := s.cycle(id, load.TimeOfFlight); si.Known(cycle) {
		s.time(id+"cycle_time", "T_c", "time of one firing, by what the instrument states", cycle, micros, how{
			formula: formula, inputs: inputs, source: "definition", side: si.Up})
	}
	s.recordingValues(id, g)
	s.count(id+"samples", "n_s", "samples of an A-scan", samples, how{
		formula: "n_s = T f_s, rounded up", inputs: []string{id + "time_of_flight", "instrument.sampling"}, source: "definition"})
	s.bytes(id+"data_position", "B_g", "data of one scan position", load.Data, megabytes, how{
		formula: "B_g = n_a n_s × bytes of a sample, or n_g × bytes where only the image is kept", inputs: []string{id + "a_scans", id + "samples"}, source: "counting"})
}

// cycle is the time of one firing by what the instrument states of itself;
// unknown where it states nothing.
func (s *sheet) cycle(id string, flight si.Time) (cycle si.Time, formula string, inputs []string) {
	in := &s.Job.Equipment.Instrument
	inputs = []string{id + "time_of_flight"}
	switch rearm, pulses := si.Known(in.Rearm), si.Known(in.PulseRate); {
	case rearm && pulses:
		return max(flight+in.Rearm, si.Time(1/in.PulseRate)), "T_c = the longer of T + T_r and 1 / f_p", append(inputs, "instrument.rearm", "instrument.pulse_rate")
	case rearm:
		return flight + in.Rearm, "T_c = T + T_r", append(inputs, "instrument.rearm")
	case pulses:
		return max(flight, si.Time(1/in.PulseRate)), "T_c = the longer of T and 1 / f_p", append(inputs, "instrument.pulse_rate")
	}
	return si.Unknown[si.Time](), "", nil
}

func (g *Group) flightFormula() string {
	if g.Pair != nil {
		return "T = T_2, the end of the time window"
	}
	if g.Set.Method == "tfm" {
		return "T = largest sum of the times out and back, from the first or last element over a corner of the region"
	}
	return "T = 2 (L_w / c_w + s / c), the largest over the beams"
}

func (g *Group) firingFormula() string {
	switch g.Set.Method {
	case "tofd":
		return "n_f = 1: one probe sends"
	case "tfm":
		return "n_f = n_t"
	case "linear":
		return "n_f = apertures × fixed angles"
	}
	return "n_f = (α_2 − α_1) / Δα + 1"
}

func (g *Group) scanFormula() string {
	switch {
	case g.Set.Method != "tfm":
		return "n_a = n_f"
	case g.Set.Transmission.Scheme == "half-matrix":
		return "n_a = n (n + 1) / 2"
	case g.Set.Transmission.Scheme == "plane-wave":
		return "n_a = n_w n"
	}
	return "n_a = n_f n"
}

func passage(path si.Length, speed si.Speed) si.Time { return si.Time(float64(path) / float64(speed)) }

// trimNumber prints a number as short as it is exact to a thousandth: "45", "45.5".
func trimNumber(x float64) string {
	return strings.TrimRight(strings.TrimRight(si.Round(x, 3, si.Nearest), "0"), ".")
}
