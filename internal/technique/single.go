package technique

import (
	"fmt"
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Single is what was computed of a group with one single-element probe. All
// distances of it are those of one side: from the weld centreline back.
type Single struct {
	Probe        *schema.SingleProbe
	Near, Far    si.Length // of the wedge front, or of a straight probe's middle; alike on a line
	Raster       bool      // strokes between the two; else a line along the weld
	Lower, Upper si.Angle  // refracted angles of the beam's edges, in the section
	Half         si.Angle  // from the axis to the beam's edge, across the section
	NearField    si.Length // left in the part, as sound path
	Ahead        si.Length // straight beams: how far before the surface the sound seems to come from
	Widths       []BeamWidth
	Steps        []EchoStep // gains by distance, gain and size; none where they are not known
	Charted      []Chart    // echoes over sound path, for the figure
	Way          []WayStep  // around a pipe: places over the sound path of an angled beam

	// straight beams
	Dead, Wall si.Length // zones at both surfaces in which nothing is shown
	Reaches    si.Length // lower end of the depths shown
	Through    si.Length // of those shown over the web, from the outer face of a flange
	From, To   si.Length // strip of parent metal asked for; unknown where the weld is examined
	StripShare si.Ratio  // of its width that is scanned
}

// BeamWidth is how wide the beam is at a sound path, between its edges.
type BeamWidth struct {
	Path          si.Length
	Plane, Across si.Length // in the section, and across it; NaN within the near field
}

const (
	echoDrop   = 6 // decibels at the edges of a single beam, of the echo
	edgeSource = krautkramer + ", table of beam edges; Fourier transform of a line for a rectangle"
)

// single sets a group with one single-element probe up and states its values.
func (s *sheet) single(set *schema.Group) {
	m := &s.Job.Part.Material
	g := Group{Set: set, Part: s.strata(set.Surface), PartSpeed: m.Transverse}
	straight := set.Method == "straight-beam"
	if straight || set.Wave == "longitudinal" {
		g.PartSpeed = m.Longitudinal
	}
	defer func() { s.Groups = append(s.Groups, g) }()
	if s.clad(set) {
		return
	}
	probe := named(s.Job.Equipment.SingleProbes, func(p *schema.SingleProbe) string { return p.Name }, set.Probe)
	if probe == nil || !s.Section.Known() || s.nowhere(set) || !si.Known(g.PartSpeed) || !si.Known(probe.Frequency) || !si.Known(probe.Pulse) {
		return
	}
	one := &Single{Probe: probe, Near: set.WedgeFront, Far: set.WedgeFront, From: si.Unknown[si.Length](), To: si.Unknown[si.Length]()}
	if si.Known(set.Raster.To) {
		one.Near, one.Far, one.Raster = set.Raster.From, set.Raster.To, true
	}
	plane, across := one.element()
	if !si.Known(one.Near+one.Far+plane+across) || one.Raster && !si.Known(set.Raster.Index) {
		return
	}
	if straight {
		s.straight(&g, one)
		return
	}
	if len(set.Legs) == 0 || !si.Known(probe.Angle) || !si.Known(probe.WedgeVelocity) || !si.Known(probe.FrontDistance) || !si.Known(probe.Length) || !si.Known(probe.Delay) {
		return
	}
	if g.Single = one; !s.angled(&g, one) {
		g.Single = nil
		return
	}
	g.Angles = schema.AngleRange{From: probe.Angle, To: probe.Angle, Step: si.Unknown[si.Angle]()}
	id := "groups." + set.Name + "."
	s.angledValues(id, &g)
	for _, side := range set.Sides {
		f := frameOf(s.Section, side, set.Surface, one.Near)
		p := Placement{
			Side: side, Scale: 1 / f.scale, Flange: f.flange(), Front: f.point(geometry.Point{X: -one.Near}), Back: f.point(geometry.Point{X: g.rear(one.Near)}),
			Exit: f.point(geometry.Point{X: g.exitAt(one.Near)}), Rays: g.singleRays(f, s.Section),
		}
		if one.Raster {
			p.Far = f.points([]geometry.Point{{X: -one.Far}, {X: g.rear(one.Far)}})
		}
		p.Coverage = coverage.Measure(s.Section, f.rows(coverage.Reach(f.local(s.Section), g.views(stand{}), coverage.DefaultRows)))
		g.Placements = append(g.Placements, p)
		g.Faces = append(g.Faces, s.faces(&g, stand{}, f, side)...)
	}
}

// element is the size of the element in the plane of the section and across it.
func (o *Single) element() (plane, across si.Length) {
	if si.Known(o.Probe.Diameter) {
		return o.Probe.Diameter, o.Probe.Diameter
	}
	return o.Probe.ElementLength, o.Probe.ElementWidth
}

func (o *Single) round() bool { return si.Known(o.Probe.Diameter) }

// halfAngle is that from the axis to the echo −6 dB edge, for one side of the
// element and the wavelength of the medium.
func (o *Single) halfAngle(side, wavelength si.Length) si.Angle {
	if o.round() {
		return acoustics.CircularHalfAngle(side, wavelength, acoustics.EchoEdge(echoDrop))
	}
	return acoustics.RectangularHalfAngle(side, wavelength, acoustics.EchoEdge(echoDrop))
}

// edgeFactor is the constant of halfAngle, as it stands in formulas.
func (o *Single) edgeFactor() string {
	if o.round() {
		return "0.514"
	}
	return "0.442"
}

// beam is the central beam of an angled probe.
func (g *Group) singleBeam() acoustics.Beam {
	p := g.Single.Probe
	plane, _ := g.Single.element()
	return acoustics.Beam{
		Aperture: plane, Tilt: acoustics.Refract(p.Angle, g.PartSpeed, p.WedgeVelocity), Angle: p.Angle,
		WedgePath: si.Length(float64(p.WedgeVelocity) * float64(p.Delay)), WedgeSpeed: p.WedgeVelocity, PartSpeed: g.PartSpeed, Frequency: p.Frequency,
	}
}

// distanceAt is how far from the element a place at a sound path seems to be.
func (g *Group) distanceAt(path si.Length) acoustics.Distance {
	p := g.Single.Probe
	if g.Set.Method == "angle-beam" {
		return g.singleBeam().DistanceAt(path)
	}
	if si.Known(p.Delay) && si.Known(p.WedgeVelocity) {
		path += si.Length(float64(p.WedgeVelocity) * float64(p.Delay) * float64(p.WedgeVelocity/g.PartSpeed))
	}
	return acoustics.Distance{Plane: path, Across: path}
}

// nearFields are the near-field lengths of both planes, counted as the distances
// are: from where the sound seems to come.
func (g *Group) nearFields() acoustics.Distance {
	plane, across := g.Single.element()
	lambda := acoustics.Wavelength(g.PartSpeed, g.Single.Probe.Frequency)
	if g.Set.Method == "angle-beam" {
		plane = g.singleBeam().Width()
	} else if !g.Single.round() {
		n := acoustics.NearFieldRectangular(plane, across, lambda)
		return acoustics.Distance{Plane: n, Across: n}
	}
	return acoustics.Distance{Plane: acoustics.NearFieldCircular(plane, lambda), Across: acoustics.NearFieldCircular(across, lambda)}
}

// exitAt is where the axis of an angled probe enters the part, with the wedge front
// at a distance from the centreline. Around a pipe the contact face, or the level
// from which it is shaped, touches the surface there.
func (g *Group) exitAt(front si.Length) si.Length {
	return -front - onArc(g.Part.Radius, g.Single.Probe.FrontDistance)
}

// rear is where the contact face ends.
func (g *Group) rear(front si.Length) si.Length {
	p := g.Single.Probe
	return g.exitAt(front) - onArc(g.Part.Radius, p.Length-p.FrontDistance)
}

// emitterAt is where the sound of an angled probe comes from, with the wedge front
// at a distance from the centreline.
func (g *Group) emitterAt(front si.Length) coverage.Emitter {
	b, at := g.singleBeam(), g.exitAt(front)
	back, up := b.WedgePath*si.Length(b.Tilt.Sin()), b.WedgePath*si.Length(b.Tilt.Cos())
	return overLevel(g.Part.Radius, at, -back, up)
}

// singleCourse is how the sound of a group goes over so many legs.
func (g *Group) singleCourse(legs int) ray.Course {
	return ray.Course{Wedge: g.Single.Probe.WedgeVelocity, Part: g.Part, Legs: ray.Waves(g.Sent(), legs)}
}

// singleViews says how an angled probe looks at the part: from one place, or moved
// between two.
func (g *Group) singleViews() []coverage.View {
	o := g.Single
	way := coverage.Way{From: g.Angles.From, To: g.Angles.To}
	way.Emitters = []coverage.Emitter{g.emitterAt(o.Near)}
	if o.Raster {
		way.Emitters = []coverage.Emitter{g.emitterAt(o.Far), g.emitterAt(o.Near)}
		way.Swept = true
	}
	var views []coverage.View
	for _, leg := range g.Set.Legs {
		way.Course = g.singleCourse(leg)
		views = append(views, coverage.View{Transmit: way, Receive: way})
	}
	return views
}

// singleRays are the axis from the nearest and from the farthest place, and the
// beam's edges from the nearest.
func (g *Group) singleRays(f frame, section *geometry.Section) []Ray {
	o, thickness, local := g.Single, section.Thickness, f.local(section)
	tee := local.Flange != nil || g.Set.OnFlange()
	from := func(front si.Length, angle si.Angle, edge bool) Ray {
		if g.Part.Radius != 0 {
			c := g.singleCourse(g.legs())
			return Ray{Points: f.points(inPart(&c, c.Leave(g.emitterAt(front), angle), angle)), Angle: angle, Edge: edge}
		}
		x := g.exitAt(front)
		points := []geometry.Point{{X: x}}
		for leg := range g.legs() {
			if tee {
				at, turns := local.Meets(points[leg], angle, leg%2 == 0)
				if points = append(points, at); !turns {
					break
				}
				continue
			}
			x += thickness * si.Length(angle.Tan())
			z := thickness
			if leg%2 == 1 {
				z = 0
			}
			points = append(points, geometry.Point{X: x, Z: z})
		}
		return Ray{Points: f.points(points), Angle: angle, Edge: edge}
	}
	rays := []Ray{from(o.Near, o.Probe.Angle, false)}
	if o.Raster {
		rays = append(rays, from(o.Far, o.Probe.Angle, false))
	}
	for _, edge := range []si.Angle{o.Lower, o.Upper} {
		if edge < 89*si.Degree {
			rays = append(rays, from(o.Near, edge, true))
		}
	}
	return rays
}

// angled works out the beam of an angled probe and reports what forbids it to
// stand or to send as it is asked.
func (s *sheet) angled(g *Group, o *Single) bool {
	p, path := o.Probe, "groups."+g.Set.Name
	if !si.Known(acoustics.Refract(p.Angle, g.PartSpeed, p.WedgeVelocity)) {
		limit := acoustics.CriticalAngle(g.PartSpeed, p.WedgeVelocity)
		s.problem("equipment.single_probes."+p.Name+".angle", "past-critical-angle",
			fmt.Sprintf("no ray of the wedge of %s is refracted to %s in the part", p.Name, deg(p.Angle, si.Nearest)),
			deg(p.Angle, si.Nearest), "below "+deg(limit, si.Down), "correct the angle or the velocities")
		return false
	}
	plane, across := o.element()
	o.Lower, o.Upper = acoustics.WedgeEdges(p.Angle, o.halfAngle(plane, acoustics.Wavelength(p.WedgeVelocity, p.Frequency)), p.WedgeVelocity/si.Speed(g.aloft()), g.PartSpeed)
	o.Half = o.halfAngle(across, acoustics.Wavelength(g.PartSpeed, p.Frequency))
	if s.singleOffPipe(g, o) || s.neverBack(g, "equipment.single_probes."+p.Name+".angle", p.Angle) {
		return false
	}
	return s.stands(path, g, o.Near, "the wedge")
}

// stands reports a probe whose nearest edge would stand on the reinforcement.
func (s *sheet) stands(path string, g *Group, edge si.Length, what string) bool {
	toe := s.singleToe(g)
	if toe <= 0 || edge >= toe-1e-9 { // over a dressed weld a straight probe may stand
		return true
	}
	key, least := ".raster.from", s.nearest(g, edge, toe)
	if !si.Known(g.Set.Raster.To) {
		key = ".wedge_front"
	}
	s.problem(path+key, "wedge-on-reinforcement",
		fmt.Sprintf("%s of group %s would stand on the reinforcement of the weld", what, g.Set.Name),
		s.mm(edge, si.Nearest)+" from the centreline to its nearest edge", "at least "+s.mm(toe, si.Up)+", where the reinforcement ends",
		"set "+key[1:]+" to "+s.mm(least, si.Up)+" or more, or have the reinforcement dressed flush")
	return false
}

// nearest is the smallest value of the key that keeps the probe off the toe.
func (s *sheet) nearest(g *Group, edge, toe si.Length) si.Length {
	at := g.Set.WedgeFront
	if si.Known(g.Set.Raster.From) {
		at = g.Set.Raster.From
	}
	return at + toe - edge
}

// singleToe is the farther toe of the reinforcement over the sides used; zero
// where it is flush.
func (s *sheet) singleToe(g *Group) si.Length {
	most := si.Length(0)
	for _, side := range g.Set.Sides {
		from, _ := frameOf(s.Section, side, g.Set.Surface, si.Unknown[si.Length]()).local(s.Section).CapSpan()
		most = max(most, -from)
	}
	return most
}

// singleProbeValues states what the job gives of the probe, and its wavelength.
func (s *sheet) singleProbeValues(id string, g *Group) {
	o, p := g.Single, g.Single.Probe
	speed := s.speedID(g)
	s.frequency(id+"frequency", "f", "nominal frequency", p.Frequency, megahertz, given())
	if o.round() {
		s.length(id+"diameter", "D", "diameter of the element", p.Diameter, given())
	} else {
		s.length(id+"element_length", "e_l", "side of the element in the plane of incidence", p.ElementLength, given())
		s.length(id+"element_width", "e_w", "side of the element across it", p.ElementWidth, given())
	}
	s.pulse(id, p)
	if si.Known(p.WedgeVelocity) && si.Known(p.Delay) {
		s.sound(id+"wedge_velocity", "c_w", "longitudinal velocity in wedge or delay line", p.WedgeVelocity, given())
		s.time(id+"delay", "t_0", "time in wedge or delay line, one way", p.Delay, micros, given())
		s.length(id+"wedge_path", "L_w", "sound path in wedge or delay line, one way", si.Length(float64(p.WedgeVelocity)*float64(p.Delay)), how{
			formula: "L_w = c_w t_0", inputs: []string{id + "wedge_velocity", id + "delay"}, source: "definition"})
	}
	s.fine(id+"wavelength", "λ", "wavelength in the part", acoustics.Wavelength(g.PartSpeed, p.Frequency), how{
		formula: "λ = c / f", inputs: []string{speed, id + "frequency"}, source: "definition of a wave; " + krautkramer})
	s.ratio(id+"sampling_ratio", "f_s/f", "digitising rate over frequency", si.Ratio(s.Job.Equipment.Instrument.Sampling/p.Frequency), how{
		formula: "f_s / f", inputs: []string{"instrument.sampling", id + "frequency"}, source: "definition"})
	if s.Job.Part.Kind == "pipe" {
		face := contactFace{key: "wedge_width", what: "width of the contact face", around: p.Width, contour: p.Contour}
		if s.Job.Part.Longitudinal() && g.Set.Method == "angle-beam" {
			face.key, face.what, face.around = "wedge_length", "length of the contact face", p.Length
		}
		if si.Known(face.around) {
			s.gapUnder(id, g, "probe", face)
		}
	}
}

// pulse states the length of a probe's pulse, and how many cycles it has.
func (s *sheet) pulse(id string, p *schema.SingleProbe) {
	s.time(id+"pulse", "t_p", "length of the pulse", p.Pulse, micros, given())
	s.add(id+"pulse_cycles", "n_c", "cycles of the nominal frequency in the pulse", float64(acoustics.Cycles(p.Pulse, p.Frequency)), si.Number, digits{"", 1, "", 1}, how{
		formula: "n_c = t_p f", inputs: []string{id + "pulse", id + "frequency"}, source: "definition"})
}

func (s *sheet) speedID(g *Group) string {
	if g.PartSpeed == s.Job.Part.Material.Longitudinal {
		return "part.longitudinal"
	}
	return "part.transverse"
}

// elementIDs are the values that give the element's sides.
func (o *Single) elementIDs(id string) (plane, across string) {
	if o.round() {
		return id + "diameter", id + "diameter"
	}
	return id + "element_length", id + "element_width"
}

// singleAngles are the different angles of the angled probes, in order.
func (s *sheet) singleAngles() []si.Angle {
	var angles []si.Angle
	for i := range s.Groups {
		if g := &s.Groups[i]; g.Single != nil && g.Set.Method == "angle-beam" {
			angles = append(angles, g.Angles.From)
		}
	}
	slices.Sort(angles)
	return slices.Compact(angles)
}

// singleFacts is what the rules may ask about a group with one single-element
// probe.
func (s *sheet) singleFacts(g *Group) map[string]any {
	number := func(n int) si.Quantity { return si.Quantity{SI: float64(n), Kind: si.Number} }
	f := map[string]any{"group.method": g.Set.Method, "group.wave": "transverse", "group.focused": false, "group.side_count": number(len(g.Set.Sides)),
		"group.legs": number(g.legs()), "group.reflector": g.Set.Reflector, "group.target": g.Set.Target, "group.surface": g.Set.Surface, "group.pattern": "line", "group.elements": number(1)}
	if g.PartSpeed == s.Job.Part.Material.Longitudinal {
		f["group.wave"] = "longitudinal"
	}
	if g.Single.Raster {
		f["group.pattern"] = "raster"
	}
	f["group.back_wall_loss"] = si.Quantity{SI: float64(g.Set.BackWallLoss), Kind: si.KindDecibel}
	plane, across := g.Single.element()
	f["group.diameter"] = si.Quantity{SI: math.Max(float64(plane), float64(across)), Kind: si.KindLength}
	for _, name := range []string{"frequency", "sampling_ratio", "coverage", "toe_clearance", "wedge_gap", "gain_span", "pulse_rate", "ghost_rate", "index_overlap", "pulse_speed", "strip_share", "reach_angle"} {
		if v, ok := s.Value("groups." + g.Set.Name + "." + name); ok {
			f["group."+name] = v.Q
		}
	}
	if g.Set.Method == "angle-beam" {
		angle := si.Quantity{SI: float64(g.Angles.From), Kind: si.KindAngle}
		f["group.angle_from"], f["group.angle_to"] = angle, angle
		wall := si.Quantity{SI: float64(g.atWall(g.Angles.From)), Kind: si.KindAngle}
		f["group.wall_from"], f["group.wall_to"] = wall, wall
		best := si.Unknown[si.Angle]()
		for _, in := range g.Faces {
			if !in.Face.RootFace && !(in.Best >= best) {
				best = in.Best
			}
		}
		f["group.face_best"] = si.Quantity{SI: float64(best), Kind: si.KindAngle}
	}
	return f
}
