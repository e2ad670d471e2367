package technique

import (
	"fmt"
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Pair is what was computed of a tofd group: two alike probes astride the weld.
type Pair struct {
	Probe        *schema.SingleProbe
	Separation   si.Length // of the exit points, along the surface
	Crossing     si.Length // depth at which the beam axes cross
	Lower, Upper si.Angle  // refracted angles of the beam's edges
	Depths       []PairDepth
}

// PairDepth is how well a depth of the zone is told, midway between the probes.
type PairDepth struct {
	Depth           si.Length
	Time            si.Time   // in the part
	Resolution      si.Length // by how much deeper a second echo has to come from
	TimingError     si.Length // of one sample
	SeparationError si.Length // of the tolerance of the separation
	OffsetError     si.Length // of what lies at the edge of the volume
}

const (
	windowBefore  = 1e-6 // seconds that the window opens before the lateral wave
	tofdStandard  = "ISO 16828 in the form of EN 583-6, recalled; geometry of the paths"
	pairDirection = "A and B" // side of a line that carries a pair
)

// pair sets a tofd group up and states its values.
func (s *sheet) pair(set *schema.Group) {
	g := Group{Set: set, Part: s.strata(set.Surface), PartSpeed: s.Job.Part.Material.Longitudinal}
	defer func() { s.Groups = append(s.Groups, g) }()
	probe := named(s.Job.Equipment.SingleProbes, func(p *schema.SingleProbe) string { return p.Name }, set.Pair)
	if probe == nil || !s.Section.Known() || s.nowhere(set) {
		return
	}
	if s.clad(set) {
		return
	}
	g.Angles = schema.AngleRange{From: probe.Angle, To: probe.Angle, Step: si.Unknown[si.Angle]()}
	p := &Pair{Probe: probe, Separation: set.Separation, Crossing: set.CrossingDepth}
	if !si.Known(p.Separation) {
		p.Separation = acoustics.PairSeparation(p.Crossing, probe.Angle, g.Part.Radius)
	}
	if !si.Known(p.Crossing) {
		p.Crossing = g.timingOver(p.Separation, probe.Pulse).Meet(probe.Angle)
	}
	front, back := p.Separation/2-onArc(g.Part.Radius, probe.FrontDistance), p.Separation/2+onArc(g.Part.Radius, probe.Length-probe.FrontDistance)
	if s.bowed(&g, p) {
		return
	}
	if !si.Known(front) || !si.Known(g.PartSpeed) || !si.Known(probe.WedgeVelocity) || !si.Known(set.DepthZone.From+set.DepthZone.To) || !s.standing(&g, probe, front) {
		return
	}
	lambda := acoustics.Wavelength(probe.WedgeVelocity, probe.Frequency)
	half := acoustics.CircularHalfAngle(probe.Diameter, lambda, acoustics.EchoEdge(12))
	p.Lower, p.Upper = acoustics.WedgeEdges(probe.Angle, half, probe.WedgeVelocity, g.PartSpeed)
	g.Pair = p
	id := "groups." + set.Name + "."
	s.pairValues(id, &g, front, half)
	s.pairTimes(id, &g)
	s.pairZones(id, &g)
	s.pairDepths(id, &g)
	s.loadValues(id, &g)

	result := coverage.Measure(s.Section, s.pairRows(&g, coverage.DefaultRows))
	for _, side := range []string{"A", "B"} {
		f := frameOf(s.Section, side, set.Surface, front)
		g.Placements = append(g.Placements, Placement{
			Side: side, Scale: 1 / f.scale, Front: f.point(geometry.Point{X: -front}), Back: f.point(geometry.Point{X: -back}),
			Exit: f.point(geometry.Point{X: -p.Separation / 2}), Rays: g.pairRays(f), Coverage: result,
		})
	}
}

// pairRays are the lower edge of the beam down to the far surface, its axis to
// where it crosses the other, and its upper edge to the middle.
func (g *Group) pairRays(f frame) []Ray {
	start := geometry.Point{X: -g.Pair.Separation / 2}
	thickness, timing := g.Part.Thickness(), g.timing()
	course := ray.Course{Part: g.Part, Legs: ray.Waves(acoustics.Longitudinal, 1)}
	var rays []Ray
	to := func(angle si.Angle, depth si.Length, edge bool) {
		end := geometry.Point{X: course.Leave(ray.Element{X: start.X}, angle).X(1, depth), Z: depth}
		if si.Known(end.X) { // it does not turn before
			rays = append(rays, Ray{Points: f.points([]geometry.Point{start, end}), Angle: angle, Edge: edge})
		}
	}
	to(g.Pair.Lower, thickness, true)
	to(g.Pair.Probe.Angle, min(g.Pair.Crossing, thickness), false)
	if g.Pair.Upper < math.Pi/2-1e-9 {
		to(g.Pair.Upper, timing.Meet(g.Pair.Upper), true)
	}
	return rays
}

// standing reports what forbids the pair to stand and to send as it is asked.
func (s *sheet) standing(g *Group, probe *schema.SingleProbe, front si.Length) bool {
	path := "groups." + g.Set.Name
	if !si.Known(acoustics.Refract(probe.Angle, g.PartSpeed, probe.WedgeVelocity)) {
		limit := acoustics.CriticalAngle(g.PartSpeed, probe.WedgeVelocity)
		s.problem("equipment.single_probes."+probe.Name+".angle", "past-critical-angle",
			fmt.Sprintf("no ray of the wedge of %s is refracted to %s in the part", probe.Name, deg(probe.Angle, si.Nearest)),
			deg(probe.Angle, si.Nearest), "below "+deg(limit, si.Down), "correct the angle or the velocities")
		return false
	}
	a, b := frameOf(s.Section, "A", g.Set.Surface, front), frameOf(s.Section, "B", g.Set.Surface, front)
	back := onArc(g.Part.Radius, probe.Length-probe.FrontDistance) + onArc(g.Part.Radius, probe.FrontDistance)
	_, restsA := a.turned(s.Section).Rests(-front, -front-back)
	_, restsB := b.turned(s.Section).Rests(-front, -front-back)
	if !restsA || !restsB || a.deeper != b.deeper {
		key := ".separation"
		if !si.Known(g.Set.Separation) {
			key = ".crossing_depth"
		}
		s.problem(path+key, "pair-on-uneven-surface", fmt.Sprintf("the probes of group %s would not stand on one level surface", g.Set.Name),
			s.mm(front, si.Nearest)+" from the centreline to the wedge fronts", "both on the surface beside the weld, level with each other",
			"move them, or scan such a joint by another method: their times hold for one level surface")
		return false
	}
	toe := s.pairToe(g)
	if front >= toe-1e-9 {
		return true
	}
	key, least := ".separation", 2*(toe+onArc(g.Part.Radius, probe.FrontDistance))
	if !si.Known(g.Set.Separation) {
		key, least = ".crossing_depth", g.timingOver(least, probe.Pulse).Meet(probe.Angle)
	}
	s.problem(path+key, "wedge-on-reinforcement",
		fmt.Sprintf("the wedges of group %s would stand on the reinforcement of the weld, or on each other", g.Set.Name),
		s.mm(front, si.Nearest)+" from the centreline to the wedge fronts", "at least "+s.mm(toe, si.Up),
		"set "+key[1:]+" to "+s.mm(least, si.Up)+" or more, or use a shorter wedge")
	return false
}

// pairToe is the farther toe of the reinforcement on the scanning surface.
func (s *sheet) pairToe(g *Group) si.Length {
	from, to := frameOf(s.Section, "A", g.Set.Surface, si.Unknown[si.Length]()).local(s.Section).CapSpan()
	return max(-from, to)
}

// pairRows is what the pair covers.
func (s *sheet) pairRows(g *Group, rows int) coverage.Rows {
	f := frameOf(s.Section, "A", g.Set.Surface, si.Unknown[si.Length]())
	return f.rows(g.pairReach(f.local(s.Section), rows))
}

// pairReach is the same as the pair sees it.
func (g *Group) pairReach(local *geometry.Section, rows int) coverage.Rows {
	return coverage.Pair{
		Half: g.Pair.Separation / 2, Lower: g.Pair.Lower, Upper: g.Pair.Upper, Speed: g.PartSpeed, Pulse: g.Pair.Probe.Pulse,
		Top: g.Set.DepthZone.From, Bottom: g.Set.DepthZone.To,
	}.Reach(local, rows)
}

// pairValues states the pair, where it stands, and its beams.
func (s *sheet) pairValues(id string, g *Group, front si.Length, half si.Angle) {
	p, probe := g.Pair, g.Pair.Probe
	s.frequency(id+"frequency", "f", "nominal frequency", probe.Frequency, megahertz, given())
	s.length(id+"diameter", "D_e", "diameter of the element", probe.Diameter, given())
	s.angle(id+"nominal_angle", "α", "refracted angle of the beam axis, longitudinal", probe.Angle, given())
	s.sound(id+"wedge_velocity", "c_w", "longitudinal velocity in the wedge", probe.WedgeVelocity, given())
	s.time(id+"delay", "t_0", "time in one wedge", probe.Delay, micros, given())
	s.pulse(id, probe)
	s.fine(id+"wavelength", "λ", "wavelength in the part", acoustics.Wavelength(g.PartSpeed, probe.Frequency), how{
		formula: "λ = c_L / f", inputs: []string{"part.longitudinal", id + "frequency"}, source: "definition of a wave; " + krautkramer})
	s.fine(id+"wavelength_wedge", "λ_w", "wavelength in the wedge", acoustics.Wavelength(probe.WedgeVelocity, probe.Frequency), how{
		formula: "λ_w = c_w / f", inputs: []string{id + "wedge_velocity", id + "frequency"}, source: "definition of a wave; " + krautkramer})
	s.ratio(id+"sampling_ratio", "f_s/f", "digitising rate over frequency", si.Ratio(s.Job.Equipment.Instrument.Sampling/probe.Frequency), how{
		formula: "f_s / f", inputs: []string{"instrument.sampling", id + "frequency"}, source: "definition"})

	arc, apart := s.around("2s", "2S"), s.around("distance between the exit points", "distance between the exit points, along the surface")
	if si.Known(g.Set.Separation) {
		s.length(id+"separation", arc, apart, p.Separation, given())
		s.length(id+"crossing", "z_x", "depth at which the beam axes cross", p.Crossing, how{
			formula: s.around("z_x = s / tan α", "z_x = R (1 − sin α / sin(α + φ)), φ = S / R"), inputs: s.onSurface(g, id+"separation", id+"nominal_angle"), source: "geometry"})
	} else {
		s.length(id+"crossing", "z_x", "depth at which the beam axes cross", p.Crossing, given())
		s.length(id+"separation", arc, apart, p.Separation, how{
			formula: s.around("2s = 2 z_x tan α", "2S = 2 R (asin(R sin α / (R − z_x)) − α)"), inputs: s.onSurface(g, id+"crossing", id+"nominal_angle"), source: "geometry"})
	}
	s.chord(id, g)
	s.length(id+"front_distance", "l_f", "exit point forward to the wedge front", probe.FrontDistance, given())
	s.length(id+"wedge_front", "a", "wedge front to weld centreline, on both sides", front, how{
		formula: s.around("a = s − l_f", "a = S − R asin(l_f / R)"), inputs: s.onSurface(g, id+"separation", id+"front_distance"), source: "geometry"})
	s.length(id+"toe", "x_r", "toe of the reinforcement to weld centreline, the farther of both sides", s.pairToe(g), given())
	s.length(id+"toe_clearance", "x_t", "wedge front to the toe of the reinforcement", front-s.pairToe(g), how{
		formula: "x_t = a − x_r", inputs: []string{id + "wedge_front", id + "toe"}, source: "geometry", side: si.Down})

	s.angle(id+"wedge_axis", "β", "angle in the wedge of the beam axis", acoustics.Refract(probe.Angle, g.PartSpeed, probe.WedgeVelocity), how{
		formula: "sin β = (c_w / c_L) sin α", inputs: []string{id + "wedge_velocity", "part.longitudinal", id + "nominal_angle"}, source: snell})
	s.angle(id+"half_beam", "γ", "half angle in the wedge to the edge of the beam: echo −12 dB, which is −6 dB of the field", half, how{
		formula: "sin γ = 0.704 λ_w / D_e", inputs: []string{id + "wavelength_wedge", id + "diameter"}, side: si.Down, source: krautkramer + ", table of beam edges"})
	edges := []string{"part.longitudinal", id + "wedge_velocity", id + "wedge_axis", id + "half_beam"}
	s.angle(id+"edge_lower", "α_l", "refracted angle of the lower edge of the beam", p.Lower, how{
		formula: "sin α_l = (c_L / c_w) sin(β − γ)", inputs: edges, source: snell + ", each edge by itself", side: si.Up})
	s.angle(id+"edge_upper", "α_u", "refracted angle of the upper edge of the beam; 90° where it runs along the surface", p.Upper, how{
		formula: "sin α_u = (c_L / c_w) sin(β + γ)", inputs: edges, source: snell + ", each edge by itself", side: si.Down})
	if deepest := g.timing().Meet(p.Lower); si.Known(deepest) {
		s.length(id+"beam_deepest", "z_l", "depth at which the lower edges meet: the beams cover none below it", deepest, how{
			formula: s.around("z_l = s / tan α_l", "z_l = R (1 − sin α_l / sin(α_l + φ)), φ = S / R"), inputs: s.onSurface(g, id+"separation", id+"edge_lower"), side: si.Down, source: "geometry"})
	}
	if p.Upper < math.Pi/2-1e-9 && p.Upper+g.timing().Lean() < math.Pi/2-1e-9 {
		s.length(id+"beam_shallowest", "z_u", "depth at which the upper edges meet: the beams cover none above it", g.timing().Meet(p.Upper), how{
			formula: s.around("z_u = s / tan α_u", "z_u = R (1 − sin α_u / sin(α_u + φ)), φ = S / R"), inputs: s.onSurface(g, id+"separation", id+"edge_upper"), side: si.Up, source: "geometry"})
	}
}

// pairTimes states when the waves arrive and which window holds them.
func (s *sheet) pairTimes(id string, g *Group) {
	t, timing := s.Job.Part.Thickness, g.timing()
	from := append(s.straightWay(id), "part.longitudinal")
	first := s.firstWave(id, g)
	s.time(id+"time_wall", "t_w", "arrival of the back-wall echo, time in the part", timing.Time(t), micros, how{
		formula: s.around("t_w = 2 √(s² + t²) / c_L", "t_w = 2 √(s² + (t − σ)²) / c_L"), inputs: append([]string{"part.thickness"}, from...), source: tofdStandard})
	converted := g.converted(g.Pair.Separation)
	s.time(id+"time_converted", "t_c", "arrival of the first back-wall echo that is converted to a transverse wave, time in the part", converted, micros, how{
		formula: "t_c = least of r_1 / c_L + r_2 / c_T over the back wall", inputs: append([]string{"part.thickness", "part.transverse"}, from...), source: "Fermat's principle"})
	lead, delay := si.Time(windowBefore), 2*g.Pair.Probe.Delay
	s.time(id+"window_from", "T_1", "start of the time window, counted from the pulse", max(0, timing.First()+delay-lead), micros, how{
		formula: "T_1 = " + first.symbol + " + 2 t_0 − 1 µs", inputs: []string{first.id, id + "delay"}, side: si.Down, source: "ISO 10863, recalled"})
	end := converted + g.Pair.Probe.Pulse + delay
	s.time(id+"window_to", "T_2", "end of the time window, counted from the pulse", end, micros, how{
		formula: "T_2 = t_c + t_p + 2 t_0", inputs: []string{id + "time_converted", id + "pulse", id + "delay"}, side: si.Up, source: "ISO 10863, recalled: up to the first converted back-wall echo"})
	g.Load = acquisition.Load{Firings: 1, AScans: 1, TimeOfFlight: end}
}

// converted is when the first back-wall echo comes that is converted at the wall.
func (g *Group) converted(separation si.Length) si.Time {
	through := ray.Course{Part: g.Part, Legs: []acoustics.Wave{acoustics.Longitudinal, acoustics.Transverse}}
	_, t := through.To(ray.Element{X: -separation / 2}, separation/2, 0)
	return t
}

// pairZones states what lateral wave and back-wall echo hide.
func (s *sheet) pairZones(id string, g *Group) {
	t, timing := s.Job.Part.Thickness, g.timing()
	s.length(id+"zone_from", "z_1", "upper end of the zone", g.Set.DepthZone.From, given())
	s.length(id+"zone_to", "z_2", "lower end of the zone", g.Set.DepthZone.To, given())
	s.share(id+"crossing_share", "k_x", "depth of the crossing in the zone, share of its height", si.Ratio((g.Pair.Crossing-g.Set.DepthZone.From)/(g.Set.DepthZone.To-g.Set.DepthZone.From)), how{
		formula: "k_x = (z_x − z_1) / (z_2 − z_1)", inputs: []string{id + "crossing", id + "zone_from", id + "zone_to"}, source: "definition"})
	from := append(s.straightWay(id), "part.longitudinal", id+"pulse")
	if g.InBore() {
		s.shadow(id, g)
	} else {
		s.length(id+"dead_surface", "D_s", "depth down to which the lateral wave hides flaws, in the middle", timing.SurfaceDeadZone(), how{
			formula: s.around("D_s = √(c_L² t_p² / 4 + s c_L t_p)", "D_s = σ + √(c_L² t_p² / 4 + s c_L t_p)"), inputs: from, side: si.Up, source: tofdStandard})
	}
	s.length(id+"dead_wall", "D_w", "height over the far surface that the back-wall echo hides, in the middle, in the form of the standard", timing.WallDeadZone(t), how{
		formula: s.around("D_w = √(c_L² (t_w + t_p)² / 4 − s²) − t", "D_w = σ + √(c_L² (t_w + t_p)² / 4 − s²) − t"), inputs: append([]string{id + "time_wall", "part.thickness"}, from...), side: si.Up, source: tofdStandard})
	hidden := how{formula: s.around("H(x) = t − b √(1 − x² / a²), a = c_L (t_w − t_p) / 2, b² = a² − s²",
		"H(x) = t − z, z the depth on the radius of x at which r_1 + r_2 = c_L (t_w − t_p), straight in the plane of the section"), side: si.Up,
		inputs: append([]string{id + "time_wall", "part.thickness"}, from...), source: "ellipse of equal time; own derivation, checked by summed paths"}
	s.length(id+"hidden_middle", "H_0", "height over the far surface in which an echo has not ended when the back-wall echo begins, in the middle", timing.HiddenByWall(t, 0), hidden)
	x := s.halfVolume(g, t)
	if edge := timing.HiddenByWall(t, x); si.Known(edge) {
		s.length(id+"volume_edge", "x", s.around("weld centreline to the edge of the volume, at the far surface",
			"weld centreline to the edge of the volume at the far surface, measured along the scanned surface"), x, how{
			formula: "outline of the volume at the far surface", inputs: []string{"part.zone_width"}, side: si.Up, source: "geometry"})
		hidden.inputs = append(hidden.inputs, id+"volume_edge")
		s.length(id+"hidden_edge", "H_e", "the same at the edge of the volume", edge, hidden)
	}
}

// halfVolume is how far the volume reaches from the centreline at a depth below
// the scanning surface.
func (s *sheet) halfVolume(g *Group, depth si.Length) si.Length {
	from, to := frameOf(s.Section, "A", g.Set.Surface, si.Unknown[si.Length]()).local(s.Section).VolumeRow(depth)
	return max(-from, to)
}

// pairDepths states how well depths are told, over the zone.
func (s *sheet) pairDepths(id string, g *Group) {
	timing, zone := g.timing(), g.Set.DepthZone
	tolerance := g.Set.SeparationTolerance
	s.length(id+"separation_tolerance", "δ_2s", "tolerance of the separation", tolerance, given())
	sample := 1 / s.Job.Equipment.Instrument.Sampling
	for _, share := range []si.Length{0.1, 0.25, 0.5, 0.75, 1} {
		d := zone.From + share*(zone.To-zone.From)
		if !(d > timing.Clear(0)) {
			continue // over the chord, or in the shadow of the bore, no depth can be told
		}
		aside := min(s.halfVolume(g, d), timing.Sight(d))
		one := PairDepth{
			Depth: d, Time: timing.Time(d), Resolution: timing.Resolution(d), TimingError: timing.TimingError(d, si.Time(sample)),
			SeparationError: timing.SeparationError(d, tolerance), OffsetError: si.Length(math.Abs(float64(timing.OffsetError(d, aside)))),
		}
		g.Pair.Depths = append(g.Pair.Depths, one)
		at, of := fmt.Sprintf("%sdepths.%d.", id, len(g.Pair.Depths)), "at a depth of "+s.mm(d, si.Nearest)
		s.length(at+"depth", "d", "depth in the zone", d, how{of: of, formula: "d = z_1 + k (z_2 − z_1)", inputs: []string{id + "zone_from", id + "zone_to"}, source: "own choice of k"})
		from := append(append([]string{at + "depth"}, s.straightWay(id)...), "part.longitudinal")
		s.time(at+"time", "t_d", "time in the part", one.Time, micros, how{of: of, formula: s.around("t_d = 2 √(s² + d²) / c_L", "t_d = 2 √(s² + (d − σ)²) / c_L"), inputs: from, source: tofdStandard})
		s.length(at+"resolution", "R", "resolution of depth", one.Resolution, how{of: of,
			formula: s.around("R = √(c_L² (t_d + t_p)² / 4 − s²) − d", "R = σ + √(c_L² (t_d + t_p)² / 4 − s²) − d"), inputs: append([]string{id + "pulse"}, from...), side: si.Up, source: tofdStandard})
		fineError := func(id, symbol, name string, x si.Length, formula string, inputs ...string) {
			s.add(id, symbol, name, float64(x), si.KindLength, step, how{of: of, formula: formula, inputs: append(inputs, from...), side: si.Up, source: tofdStandard})
		}
		if si.Known(one.TimingError) {
			fineError(at+"timing", "δ_t", "error of depth by one sample", one.TimingError, s.around("δ_t = c_L √(d² + s²) / (2 d f_s)", "δ_t = c_L √(z² + s²) / (2 z f_s), z = d − σ"), "instrument.sampling")
		}
		apart := s.around("δ_s = (δ_2s / 2) (√(d² + s²) − s) / d", "δ_s = (δ_2s / 2) (sin φ + cos φ (√(z² + s²) − s) / z), z = d − σ, φ = S / R")
		offset := "error of depth of what lies at the edge of the volume"
		if g.InBore() {
			apart = "δ_s = (δ_2s / 2) (sin |φ| + s cos φ / z), z = d − σ, φ = S / R"
			offset += ", as far out as both probes see past the bore"
		}
		fineError(at+"separation", "δ_s", "error of depth by the tolerance of the separation", one.SeparationError, apart, id+"separation_tolerance")
		fineError(at+"offset", "δ_x", offset, one.OffsetError, s.around("δ_x = √(((r_1 + r_2) / 2)² − s²) − d", "δ_x = |σ + √(((r_1 + r_2) / 2)² − s²) − d|, d along the radius"))
	}
}

// pairFacts is what the rules may ask about a tofd group.
func (s *sheet) pairFacts(g *Group) map[string]any {
	f := map[string]any{"group.method": g.Set.Method, "group.wave": "longitudinal", "group.surface": g.Set.Surface, "group.side_count": si.Quantity{SI: 2, Kind: si.Number}}
	for name, id := range map[string]string{
		"frequency": "frequency", "sampling_ratio": "sampling_ratio", "coverage": "coverage", "toe_clearance": "toe_clearance",
		"angle_from": "nominal_angle", "angle_to": "nominal_angle", "diameter": "diameter", "separation": "separation",
		"crossing_share": "crossing_share", "dead_surface": "dead_surface", "dead_wall": "dead_wall", "window": "window_to",
	} {
		if v, ok := s.Value("groups." + g.Set.Name + "." + id); ok {
			f["group."+name] = v.Q
		}
	}
	f["group.zone_height"] = si.Quantity{SI: float64(g.Set.DepthZone.To - g.Set.DepthZone.From), Kind: si.KindLength}
	return f
}

// frequency is the nominal frequency of the group's probe, or of its pair.
func (g *Group) frequency() si.Frequency {
	if g.Pair != nil {
		return g.Pair.Probe.Frequency
	}
	if g.Single != nil {
		return g.Single.Probe.Frequency
	}
	return g.Probe.Frequency
}
