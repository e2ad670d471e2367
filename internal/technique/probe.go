package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

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
	s.angleRange(id, g)
	meets := "part.transverse"
	if g.meeting() == s.Job.Part.Material.Longitudinal {
		meets = "part.longitudinal"
	}
	s.fine(id+"wavelength", "λ", "wavelength in the part", acoustics.Wavelength(g.meeting(), p.Frequency), how{
		formula: "λ = c / f" + g.slower(), inputs: []string{meets, id + "frequency"}, source: "definition of a wave; " + krautkramer})
	lw := acoustics.Wavelength(w.Velocity, p.Frequency)
	s.fine(id+"wavelength_wedge", "λ_w", "wavelength in the wedge", lw, how{
		formula: "λ_w = c_w / f", inputs: []string{id + "wedge_velocity", id + "frequency"}, source: "definition of a wave; " + krautkramer})
	if natural := st.natural(); si.Known(natural) {
		s.angle(id+"natural_angle", "α_0", "refracted angle of the unsteered beam", natural, how{
			formula: "sin α_0 = (c / c_w) sin ω", inputs: []string{speedID, id + "wedge_velocity", id + "wedge_angle"}, source: snell})
	}
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
		formula: s.around("θ = |asin(c_w sin α / c) − ω|, the larger of both ends of the range", steeringAround),
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
	if st.bend() == 0 {
		s.length(id+"near_field", "N", "near field left in the part, as sound path, at the middle angle", st.beam(middle).NearField(), how{
			formula: "N = A² f / (4 c) · cos α / cos β − L_w c_w / c, with A taken along the beam and β the angle in the wedge",
			inputs:  []string{id + "aperture", id + "frequency", speedID, id + "middle_angle", id + "middle_wedge_angle", id + "wedge_path", id + "wedge_velocity"},
			source:  "common practice; row P170 of the published check values, 4 % above the value printed there"})
	}
	if s.Job.Part.Kind == "pipe" {
		face := contactFace{key: "wedge_width", what: "width of the wedge", around: w.Width, contour: w.Contour}
		if s.Job.Part.Longitudinal() {
			face.key, face.what, face.around = "wedge_length", "length of the wedge's contact face", w.Length
		}
		s.gapUnder(id, g, "wedge", face)
	}
}

// contactFace is the extent of a contact face around a pipe, and the diameter that
// it is shaped for; unknown where it is flat.
type contactFace struct {
	key, what       string
	around, contour si.Length
}

// gapUnder states the gap under a contact face on a pipe: at its edges from
// outside, in its middle from inside. Along a girth weld's beam the width of the
// face lies along the curvature, and along that of a longitudinal seam its length.
func (s *sheet) gapUnder(id string, g *Group, of string, face contactFace) {
	diameter, inputs := s.Job.Part.OutsideDiameter, []string{"part.outside_diameter"}
	where := "gap at the edges of the " + of + " on the pipe"
	if g.Set.Surface == "bottom" {
		diameter, inputs = diameter-2*s.Job.Part.Thickness, append(inputs, "part.thickness")
		if s.Job.Part.Longitudinal() {
			where = "gap between the middle of the " + of + " and the bore"
		}
	}
	s.length(id+face.key, "b", face.what, face.around, given())
	gap, formula := acoustics.WedgeGap(face.around, diameter), "g = D/2 − √((D/2)² − (b/2)²)"
	if si.Known(face.contour) {
		s.length(id+"contour", "D_c", "diameter for which the "+of+" is shaped", face.contour, given())
		gap = si.Length(math.Abs(float64(gap - acoustics.WedgeGap(face.around, face.contour))))
		formula, inputs = "g = |s(D) − s(D_c)|, s(D) = D/2 − √((D/2)² − (b/2)²)", append(inputs, id+"contour")
	}
	s.add(id+"wedge_gap", "g", where, float64(gap), si.KindLength, step, how{
		formula: formula, inputs: append(inputs, id+face.key), side: si.Up, source: "sagitta of a circle"})
}

// middleValues states the beam at the angle for which distances are given: the
// middle of a sectorial range, the unsteered beam of an image.
func (s *sheet) middleValues(id string, g *Group, st stand, middle si.Angle, speedID string) {
	switch _, natural := s.Value(id + "natural_angle"); {
	case g.Set.Method == "tfm" && !natural:
		s.angle(id+"middle_angle", "α", "angle for which distances are stated: the middle of what is used", middle, how{
			formula: "α = (α_1 + α_2) / 2", inputs: []string{id + "angle_from", id + "angle_to"}, source: "own choice"})
	case g.Set.Method == "tfm":
		s.angle(id+"middle_angle", "α", "angle for which distances are stated: that of the unsteered beam where the wedge permits it", middle, how{
			formula: "α = α_0 where α_1 < α_0 < α_2, else (α_1 + α_2) / 2", inputs: []string{id + "natural_angle", id + "angle_from", id + "angle_to"}, source: "own choice"})
	case g.Set.Method == "linear":
		s.angle(id+"middle_angle", "α", "angle for which distances are stated, from the middle aperture: the middle one of the list", middle, given())
	default:
		s.angle(id+"middle_angle", "α", "angle for which distances are stated: the middle of the range", middle, how{
			formula: "α = (α_1 + α_2) / 2", inputs: []string{id + "angle_from", id + "angle_to"}, source: "own choice"})
	}
	s.angle(id+"middle_wedge_angle", "β", "angle in the wedge", acoustics.Refract(middle, g.PartSpeed, g.Wedge.Velocity), how{of: "at the middle angle",
		formula: "sin β = (c_w / c) sin α", inputs: []string{id + "wedge_velocity", speedID, id + "middle_angle"}, source: snell})
	s.length(id+"first_element_height", "h_1", "centre of element 1 above the contact face", g.Wedge.FirstElementHeight, given())
	s.length(id+"front_distance", "d_1", "wedge front back to the centre of element 1", g.Wedge.FrontDistance, given())
	c := st.centre()
	centre := si.Ratio(float64(st.first) + float64(st.count-1)/2)
	s.ratio(id+"centre_pitches", "m", "pitches from element 1 to the middle of the active aperture", centre, how{
		formula: "m = first − 1 + (n − 1) / 2", inputs: []string{id + "active_elements"}, source: "definition"})
	on := []string{id + "centre_pitches", id + "pitch", id + "wedge_angle"}
	s.length(id+"centre_height", "h", "middle of the active aperture above the contact face", c.Height, how{
		formula: s.around("h = h_1 + m p sin ω", heightAround), inputs: append([]string{id + "first_element_height"}, on...), source: "geometry"})
	s.length(id+"centre_distance", "d", "wedge front back to the middle of the active aperture", -st.front-c.X, how{
		formula: s.around("d = d_1 − m p cos ω", distanceAround), inputs: append([]string{id + "front_distance"}, on...), source: "geometry"})
	_, path := st.exit(middle)
	s.length(id+"wedge_path", "L_w", "sound path in the wedge, one way", path, how{of: "at the middle angle",
		formula: s.around("L_w = h / cos β", wedgePathAround), inputs: []string{id + "centre_height", id + "middle_wedge_angle"}, source: "geometry"})
}

// angleRange states the refracted angles that are used, sending and receiving.
func (s *sheet) angleRange(id string, g *Group) {
	used := func(angle, usable si.Angle, side si.Side) how {
		if g.Set.Method != "tfm" || angle == usable {
			return given()
		}
		at := s.around("from the normal", "from the normal at that one of its walls where it is steeper, with ρ_j the radius there over that of the scanned surface")
		return how{formula: s.around("sin α = c sin 80° / c_j", "sin α = c sin 80° ρ_j / c_j") + ", c_j of the leg that a wall turns into the other kind of wave, or has turned, which then runs at 80° " + at + "; less than the wedge permits",
			inputs: []string{"part.longitudinal", "part.transverse"}, side: side, source: snell + "; 80° by own convention"}
	}
	sent, heard := g.usable(g.Sent()), g.usable(g.Received())
	s.angle(id+"angle_from", "α_1", "smallest refracted angle used", g.Angles.From, used(g.Angles.From, sent.From, si.Up))
	s.angle(id+"angle_to", "α_2", "largest refracted angle used", g.Angles.To, used(g.Angles.To, sent.To, si.Down))
	if g.Heard != g.Angles {
		kind := waveWord(g.Received() == acoustics.Longitudinal)
		s.angle(id+"heard_from", "α_r1", "smallest refracted angle used on the way back, "+kind, g.Heard.From, used(g.Heard.From, heard.From, si.Up))
		s.angle(id+"heard_to", "α_r2", "largest refracted angle used on the way back, "+kind, g.Heard.To, used(g.Heard.To, heard.To, si.Down))
	}
}

// slower says of which wave the wavelength is, where two kinds meet.
func (g *Group) slower() string {
	if g.converts() {
		return ", c of the slower of the waves that meet at the place imaged"
	}
	return ""
}

// steering is the angle from the array's normal to the beam at that end of the
// range where it is larger, with its sign.
func (g *Group) steering(st stand) si.Angle {
	most := si.Angle(0)
	look := func(st stand, angle si.Angle) {
		if at := st.steered(angle); !(math.Abs(float64(at)) < math.Abs(float64(most))) {
			most = at
		}
	}
	look(st, g.Angles.From)
	look(st, g.Angles.To)
	if g.Received() != g.Sent() {
		back := st
		back.course, back.speed = g.course(ray.Waves(g.Received(), 1)), g.Part.Speed(g.Received())
		look(back, g.Heard.From)
		look(back, g.Heard.To)
	}
	return most
}

// gratingEnters reports whether a grating lobe exists within the angles used
// and is refracted into the part as the group's own wave.
func (g *Group) gratingEnters(st stand) bool {
	lobe, ok := acoustics.GratingLobe(g.Probe.Pitch, acoustics.Wavelength(g.Wedge.Velocity, g.Probe.Frequency), g.steering(st))
	return ok && si.Known(acoustics.Refract(g.Wedge.Angle+lobe, g.Wedge.Velocity, g.PartSpeed))
}
