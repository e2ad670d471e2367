package technique

import (
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/acquisition"
	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// straight sets a straight beam up: what it shows of the depth, and of the weld
// where it examines that. The strip of parent metal that it is to examine follows
// from the other groups, in parents.
func (s *sheet) straight(g *Group, o *Single) {
	set, p := g.Set, o.Probe
	plane, across := o.element()
	if !s.stands("groups."+set.Name, g, o.Near-max(plane, across)/2, "the probe") {
		return
	}
	g.Single = o
	g.Angles = schema.AngleRange{Step: si.Unknown[si.Angle]()}
	g.Deepest = s.downTo(g)
	id := "groups." + set.Name + "."
	s.singleProbeValues(id, g)
	s.length(id+"wedge_front", "a", "middle of the probe to weld centreline, at the nearest", o.Near, given())
	s.length(id+"raster_to", "a_2", "middle of the probe to weld centreline, at the farthest", o.Far, given())
	s.straightBeam(id, g)
	s.straightZones(id, g)
	t := g.Deepest
	delay := si.Time(0)
	if si.Known(p.Delay) {
		delay = p.Delay
	}
	s.singleWidths(id, g, t, 1)
	s.handScan(id, g, 2*(delay+passage(t, g.PartSpeed))+p.Pulse)
	for _, side := range set.Sides {
		f, half := frameOf(s.Section, side, set.Surface, o.Near), onArc(g.Part.Radius, plane/2)
		at := Placement{
			Side: side, Scale: 1 / f.scale, Flange: f.flange(), Front: f.point(geometry.Point{X: -o.Near + half}), Back: f.point(geometry.Point{X: -o.Near - half}),
			Exit: f.point(geometry.Point{X: -o.Near}), Upright: true, Far: f.points([]geometry.Point{{X: -o.Far + half}, {X: -o.Far - half}}),
		}
		local := f.local(s.Section)
		for _, x := range []si.Length{-o.Near, -o.Far} {
			end := geometry.Point{X: x, Z: g.Part.Thickness()}
			if g.Set.OnFlange() {
				end, _ = local.Meets(geometry.Point{X: x}, 0, true)
			}
			at.Rays = append(at.Rays, Ray{Points: f.points([]geometry.Point{{X: x}, end})})
		}
		at.Coverage = coverage.Measure(s.Section, s.straightRows(g, side, coverage.DefaultRows))
		g.Placements = append(g.Placements, at)
		if set.Target == "weld" {
			g.Faces = append(g.Faces, s.facesWith(g, f, side, g.straightMeets)...)
		}
	}
}

// singleReach says by what a place counts as reached by a single-element probe.
func singleReach(g *Group) string {
	switch {
	case g.Set.Method == "straight-beam":
		return "own computation: under the axis, in the depths that are shown"
	case g.Single.Raster:
		return "own computation: central ray, moved over the strokes; straight reflection at flat walls, none under a reinforcement"
	}
	return "own computation: central ray; straight reflection at flat walls, none under a reinforcement"
}

// straightRows is what a straight beam reaches of the volume from one side:
// nothing where it examines the parent metal, since the weld is not its task. From a
// flange it goes on into the web where it stands over that.
func (s *sheet) straightRows(g *Group, side string, rows int) coverage.Rows {
	f := frameOf(s.Section, side, g.Set.Surface, g.Single.Near)
	local := f.local(s.Section)
	var all []coverage.Rows
	for _, square := range g.squares(local) {
		all = append(all, square.Reach(local, rows))
	}
	return f.rows(coverage.Union(all...))
}

// squares are where a straight beam shows flaws, as the probe sees it: from a flange
// also deeper, where the beam goes on into the web.
func (g *Group) squares(local *geometry.Section) []coverage.Square {
	o := g.Single
	all := []coverage.Square{{From: -o.Far, To: -o.Near, Top: o.Dead, Bottom: o.Reaches}}
	if g.Set.Target == "parent" {
		all[0].From = all[0].To
	}
	if g.Set.OnFlange() {
		gap := local.Wall(true).Corners // of the web in the far wall
		all = append(all, coverage.Square{From: max(-o.Far, gap[0].X), To: min(-o.Near, gap[len(gap)-1].X), Top: o.Dead, Bottom: o.Through})
	}
	return all
}

// straightMeets is how a straight beam meets a face.
func (g *Group) straightMeets(local *geometry.Section, face geometry.Face) coverage.Meeting {
	var all []coverage.Meeting
	for _, square := range g.squares(local) {
		all = append(all, square.Meets(face, coverage.DefaultSamples))
	}
	return coverage.Merge(all...)
}

// straightBeam states the spread and the near field of a straight beam.
func (s *sheet) straightBeam(id string, g *Group) {
	o := g.Single
	plane, across := o.element()
	planeID, acrossID := o.elementIDs(id)
	lambda := acoustics.Wavelength(g.PartSpeed, o.Probe.Frequency)
	o.Half = o.halfAngle(across, lambda)
	o.Lower, o.Upper = -o.halfAngle(plane, lambda), o.halfAngle(plane, lambda)
	s.angle(id+"half_beam", "γ", "half angle to the edge of the beam, in the section: echo −6 dB, which is −3 dB of the field", o.Upper, how{
		formula: "sin γ = " + o.edgeFactor() + " λ / " + symbolOf(o, "e_l"), inputs: []string{id + "wavelength", planeID}, side: si.Down, source: edgeSource})
	if !o.round() {
		s.angle(id+"half_across", "γ_⊥", "half angle to the edge of the beam, across the section", o.Half, how{
			formula: "sin γ_⊥ = " + o.edgeFactor() + " λ / e_w", inputs: []string{id + "wavelength", acrossID}, side: si.Down, source: edgeSource})
	}
	o.Ahead, o.NearField = g.distanceAt(0).Plane, si.Unknown[si.Length]()
	if g.Part.Radius != 0 {
		return
	}
	near := g.nearFields().Plane
	formula, inputs := "N = D² / (4 λ)", []string{id + "wavelength", planeID}
	if !o.round() {
		formula, inputs = "N = k e² / (4 λ), e the longer side, k by the ratio of the sides, 0.99 … 1.37", append(inputs, acrossID)
	}
	o.NearField = near - o.Ahead
	if si.Known(o.Probe.Delay) {
		formula += "; less L_w c_w / c of the delay line"
		inputs = append(inputs, id+"wedge_path", id+"wedge_velocity", "part.longitudinal")
	}
	s.length(id+"near_field", "N", "near field left in the part", o.NearField, how{formula: formula, inputs: inputs, source: krautkramer + "; of a rectangle, integrated on the axis"})
}

// straightZones states what the beam does not show under the one surface and over
// the other.
func (s *sheet) straightZones(id string, g *Group) {
	o, p := g.Single, g.Single.Probe
	t, symbol, thickness := g.under()
	pulse := acoustics.PulseDepth(g.PartSpeed, p.Pulse)
	inputs := []string{"part.longitudinal", id + "pulse"}
	o.Dead = pulse
	if si.Known(p.DeadZone) {
		o.Dead = p.DeadZone
		s.length(id+"dead_surface", "D_s", "depth under the scanning surface in which the probe shows nothing, as stated", o.Dead, given())
	} else {
		s.length(id+"dead_surface", "D_s", "depth under the scanning surface in which the probe shows nothing, by its pulse: at least this, to be measured", o.Dead, how{
			formula: "D_s = c t_p / 2", inputs: inputs, side: si.Up, source: "geometry; the instrument's own pulse makes it longer where there is no delay line"})
	}
	o.Wall = pulse
	s.length(id+"dead_wall", "D_w", "height over the far surface in which an echo has not ended when the back-wall echo begins", o.Wall, how{
		formula: "D_w = c t_p / 2", inputs: inputs, side: si.Up, source: "geometry"})
	o.Reaches, o.Through = t-o.Wall, s.downTo(g)
	from := []string{thickness, id + "dead_wall"}
	formula, through, into := "z_2 = "+symbol+" − D_w", "z_3 = z_v", []string{id + "volume_depth"}
	s.intoWeb(id, g)
	if si.Known(p.RangeTo) {
		s.length(id+"range_from", "r_1", "upper end of the range for which the probe is stated", p.RangeFrom, given())
		s.length(id+"range_to", "r_2", "lower end of the range for which the probe is stated", p.RangeTo, given())
		o.Dead, o.Reaches, o.Through = max(o.Dead, p.RangeFrom), min(o.Reaches, p.RangeTo), min(o.Through, p.RangeTo)
		formula, from = formula+", at most r_2", append(from, id+"range_to")
		through, into = through+", at most r_2", append(into, id+"range_to")
	}
	if si.Known(p.Delay) {
		second := si.Length(float64(g.PartSpeed) * float64(p.Delay))
		s.length(id+"delay_echo", "z_d", "depth at which the second echo of the delay line comes in", second, how{
			formula: "z_d = c t_0", inputs: []string{"part.longitudinal", id + "delay"}, side: si.Down, source: "geometry: it runs through the delay line once more, out and back"})
		o.Reaches, o.Through = min(o.Reaches, second), min(o.Through, second)
		formula, from = formula+" and z_d", append(from, id+"delay_echo")
		through, into = through+" and z_d", append(into, id+"delay_echo")
	}
	s.length(id+"shown_from", "z_1", "depth from which flaws are shown", o.Dead, how{
		formula: "z_1 = D_s, or the upper end of the probe's range where that is deeper", inputs: []string{id + "dead_surface"}, side: si.Up, source: "definition"})
	beside, of := "", "the thickness"
	if g.Set.OnFlange() {
		beside, of = ", beside the web", "the flange's thickness"
		s.length(id+"shown_through", "z_3", "depth to which flaws are shown over the web, into which the beam goes on", o.Through, how{formula: through, inputs: into, side: si.Down, source: "definition"})
	}
	s.length(id+"shown_to", "z_2", "depth to which flaws are shown apart from other echoes"+beside, o.Reaches, how{formula: formula, inputs: from, side: si.Down, source: "definition"})
	share := si.Ratio(max(0, o.Reaches-o.Dead) / t)
	s.share(id+"depth_share", "k_z", "share of "+of+" in which flaws are shown"+beside, share, how{
		formula: "k_z = (z_2 − z_1) / " + symbol, inputs: []string{id + "shown_from", id + "shown_to", thickness}, side: si.Down, source: "definition"})
}

// parents states, for each straight beam that examines the parent metal, the strip
// that the angled beams of the others pass, and how much of it is scanned.
func (s *sheet) parents() {
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Single == nil || g.Set.Target != "parent" || len(g.Placements) == 0 {
			continue
		}
		o, id := g.Single, "groups."+g.Set.Name+"."
		plane, _ := o.element()
		toe := s.weldEdge(g)
		s.length(id+"strip_from", "x_1", "edge of the weld on the scanning surface: the strip begins here", toe, how{
			formula: "toe of the reinforcement, or edge of the weld where it is flush; the farther of the sides", source: "geometry"})
		farthest := s.farthestExit(g)
		if !(farthest > toe) {
			continue
		}
		o.From, o.To = toe, farthest
		s.length(id+"strip_to", "x_2", "farthest exit point of the other groups' beams: the strip ends here", farthest, how{
			formula: "largest distance of an exit point from the centreline, over groups, sides and places", source: "geometry: a beam passes the parent metal between its exit point and the weld", side: si.Up})
		near, far := max(o.Near-plane/2, toe), min(o.Far+plane/2, farthest)
		o.StripShare = si.Ratio(math.Min(1, math.Max(0, float64((far-near)/(farthest-toe)))))
		planeID, _ := o.elementIDs(id)
		s.share(id+"strip_share", "k_x", "share of the strip's width that passes under the element", o.StripShare, how{
			formula: "k_x = (min(a_2 + e/2, x_2) − max(a − e/2, x_1)) / (x_2 − x_1), e the element", side: si.Down, source: "geometry",
			inputs: []string{id + "wedge_front", id + "raster_to", id + "strip_from", id + "strip_to", planeID}})
	}
}

// weldEdge is where the parent metal begins on the surface of a group.
func (s *sheet) weldEdge(g *Group) si.Length {
	most := s.singleToe(g)
	for _, side := range g.Set.Sides {
		from, _ := frameOf(s.Section, side, g.Set.Surface, si.Unknown[si.Length]()).local(s.Section).WeldRow(0)
		if si.Known(from) {
			most = max(most, -from)
		}
	}
	return most
}

// farthestExit is the largest distance from the centreline, along the surface on
// which a group stands and over the groups with angled beams, of where a beam
// enters the part on one of the sides of the group.
func (s *sheet) farthestExit(parent *Group) si.Length {
	most := si.Length(0)
	for _, g := range s.Groups {
		if g.Set.Method == "straight-beam" {
			continue
		}
		for _, p := range g.Placements {
			if !slices.Contains(parent.Set.Sides, p.Side) {
				continue
			}
			for _, r := range p.Rays {
				for _, q := range r.Points {
					if q.Z < -1e-9 || q.Z > s.Section.Thickness+1e-9 {
						continue // in the wedge
					}
					if x := q.X; p.Side == "A" && x < 0 || p.Side == "B" && x > 0 {
						most = max(most, si.Length(math.Abs(float64(x))))
					}
				}
			}
		}
	}
	return most * si.Length(parent.Placements[0].Scale)
}

// handScan states how fast a single probe pulses, and how its strokes overlap.
func (s *sheet) handScan(id string, g *Group, flight si.Time) {
	o := g.Single
	g.Load = acquisition.Load{Firings: 1, AScans: 1, TimeOfFlight: flight}
	if !o.Raster {
		s.loadValues(id, g)
	} else {
		s.flightValues(id, g)
		s.recordingValues(id, g)
		_, across := o.element()
		_, acrossID := o.elementIDs(id)
		s.length(id+"index", "Δi", "distance from stroke to stroke, along the weld", g.Set.Raster.Index, given())
		s.share(id+"index_overlap", "o_i", "overlap of neighbouring strokes, share of the element's width", si.Ratio(1-g.Set.Raster.Index/across), how{
			formula: "o_i = 1 − Δi / " + symbolOf(o, "e_w"), inputs: []string{id + "index", acrossID}, side: si.Down, source: "definition; the element's width as codes for manual scanning take it"})
	}
	if rate, ok := s.Value(id + "pulse_rate"); ok {
		narrowest, _ := s.Value(id + "beam_narrowest")
		s.movement(id+"pulse_speed", "v_p", "speed above which fewer than three pulses meet a small reflector where the beam is narrowest", si.Speed(narrowest.Q.SI*rate.Q.SI/3), how{
			formula: "v_p = w_0 f_u / 3", inputs: []string{id + "beam_narrowest", id + "pulse_rate"}, side: si.Down, source: "row P203 of the published check values: three pulses"})
	}
}

// rasters states the strokes and the time of each raster, and of all together.
func (s *sheet) rasters() {
	scan, all, known := &s.Job.Scan, si.Time(0), true
	var times []string
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Single == nil || !g.Single.Raster || len(g.Placements) == 0 {
			continue
		}
		for _, one := range []struct {
			id    string
			state func()
		}{
			{"scan.overlap", func() { s.length("scan.overlap", "y_o", "overlap of successive scans", scan.Overlap, given()) }},
			{"scan.speed", func() { s.movement("scan.speed", "v", "working speed: way over time", scan.Speed, given()) }},
		} {
			if _, ok := s.Value(one.id); !ok {
				one.state()
			}
		}
		id, o := "groups."+g.Set.Name+".", g.Single
		length, index := weldLength(&s.Job.Part), g.Set.Raster.Index
		strokes := math.Ceil(float64((length+scan.Overlap)/index)*(1-1e-9)) + 1
		if !si.Known(si.Ratio(strokes)) || strokes > 1e9 {
			known = false
			continue
		}
		s.length(id+"stroke", "l_r", "length of a stroke, across the weld", o.Far-o.Near, how{
			formula: "l_r = a_2 − a", inputs: []string{id + "raster_to", id + "wedge_front"}, source: "definition"})
		s.count(id+"strokes", "n_r", "strokes on each side of the weld", int(strokes), how{
			formula: "n_r = (L + y_o) / Δi, rounded up, + 1", inputs: []string{"weld.length", "scan.overlap", id + "index"}, source: "counting"})
		s.count(id+"raster_sides", "n_s", "sides scanned", len(g.Set.Sides), given())
		time := si.Time(float64(len(g.Set.Sides)) * strokes * float64(o.Far-o.Near+index) / float64(scan.Speed))
		s.time(id+"raster_time", "T_r", "time of the strokes at the working speed, without looking at indications", time, minutes, how{
			formula: "T_r = n_s n_r (l_r + Δi) / v", inputs: []string{id + "raster_sides", id + "strokes", id + "stroke", id + "index", "scan.speed"}, side: si.Up, source: "definition"})
		times = append(times, id+"raster_time")
		all += time
	}
	if len(times) > 0 && known {
		s.time("scan.hand_time", "T_h", "time of all strokes on one weld", all, minutes, how{
			formula: "T_h = sum of T_r", inputs: times, side: si.Up, source: "definition"})
	}
}
