package technique

import (
	"fmt"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/field"
	"soundwrit/internal/si"
)

// angledValues states an angled probe, where it stands, and its beam.
func (s *sheet) angledValues(id string, g *Group) {
	o, p := g.Single, g.Single.Probe
	s.singleProbeValues(id, g)
	speed := s.speedID(g)
	b := g.singleBeam()
	s.angle(id+"nominal_angle", "α", "refracted angle of the beam axis", p.Angle, given())
	s.angle(id+"wedge_axis", "β", "angle in the wedge of the beam axis", b.Tilt, how{
		formula: "sin β = (c_w / c) sin α", inputs: []string{id + "wedge_velocity", speed, id + "nominal_angle"}, source: snell})

	s.length(id+"front_distance", "l_f", "exit point forward to the wedge front", p.FrontDistance, given())
	word := "wedge front to weld centreline"
	if o.Raster {
		word += ", at the nearest"
		s.length(id+"raster_to", "a_2", "wedge front to weld centreline, at the farthest", o.Far, given())
	}
	s.length(id+"wedge_front", "a", word, o.Near, given())
	s.length(id+"exit_to_centreline", "x_c", "exit point to weld centreline, at the nearest place", -g.exitAt(o.Near), how{
		formula: s.around("x_c = a + l_f", "x_c = a + R asin(l_f / R), R that of the scanned surface, which the face touches at the exit point"), inputs: s.onPipe(id+"wedge_front", id+"front_distance"), source: "geometry"})
	if toe := s.singleToe(g); !g.Set.OnFlange() {
		s.length(id+"toe", "x_r", "toe of the reinforcement to weld centreline, the farther of the sides used", toe, given())
		s.length(id+"toe_clearance", "x_t", "wedge front to the toe of the reinforcement", o.Near-toe, how{
			formula: "x_t = a − x_r", inputs: []string{id + "wedge_front", id + "toe"}, source: "geometry", side: si.Down})
	}
	path := s.singlePath(id, g)
	s.beamEdges(id, g, b, speed)
	s.singleWidths(id, g, path/si.Length(g.legs()), g.legs())
	s.handScan(id, g, 2*(p.Delay+passage(path, g.PartSpeed))+p.Pulse)
	s.singleWarmth(id, g)
}

// singlePath states the skips of an angled probe and returns the longest sound
// path used.
func (s *sheet) singlePath(id string, g *Group) si.Length {
	if g.Part.Radius != 0 {
		return s.singleAround(id, g)
	}
	angle := g.Single.Probe.Angle
	t, symbol, thickness := g.under()
	skips := []string{thickness, id + "nominal_angle"}
	s.length(id+"half_skip", "s_½", "half skip", acoustics.SkipHalf(t, angle), how{formula: "s_½ = " + symbol + " tan α", inputs: skips, source: krautkramer})
	s.length(id+"full_skip", "s_1", "full skip", acoustics.SkipFull(t, angle), how{formula: "s_1 = 2 " + symbol + " tan α", inputs: skips, source: krautkramer})
	g.Deepest = t * si.Length(g.legs())
	formula := fmt.Sprintf("s = %d t / cos α, to the end of the last leg", g.legs())
	if g.Set.OnFlange() {
		s.intoWeb(id, g)
		g.Deepest, skips = s.legsEnd(g), append(skips, id+"volume_depth")
		formula = "s = d / cos α, d the unfolded depth at the end of the legs: of one that goes down z_v, of one that goes up the outer face"
	}
	path := g.Deepest / si.Length(angle.Cos())
	s.length(id+"path", "s", "longest sound path used", path, how{formula: formula, inputs: skips, side: si.Up, source: "geometry"})
	return path
}

// beamEdges states the edges and the near field of an angled beam.
func (s *sheet) beamEdges(id string, g *Group, b acoustics.Beam, speed string) {
	o, p := g.Single, g.Single.Probe
	plane, _ := o.element()
	planeID, acrossID := o.elementIDs(id)
	lambda := acoustics.Wavelength(p.WedgeVelocity, p.Frequency)
	s.fine(id+"wavelength_wedge", "λ_w", "wavelength in the wedge", lambda, how{
		formula: "λ_w = c_w / f", inputs: []string{id + "wedge_velocity", id + "frequency"}, source: "definition of a wave; " + krautkramer})
	s.angle(id+"half_beam", "γ", "half angle in the wedge to the edge of the beam, in the section: echo −6 dB, which is −3 dB of the field", o.halfAngle(plane, lambda), how{
		formula: "sin γ = " + o.edgeFactor() + " λ_w / " + symbolOf(o, "e_l"), inputs: []string{id + "wavelength_wedge", planeID}, side: si.Down, source: edgeSource})
	edges := s.onPipe(speed, id+"wedge_velocity", id+"wedge_axis", id+"half_beam")
	if g.Part.Radius != 0 {
		edges = append(edges, id+"wedge_path")
	}
	s.angle(id+"edge_lower", "α_l", "refracted angle of the lower edge of the beam", o.Lower, how{
		formula: s.around("sin α_l = (c / c_w) sin(β − γ)", "sin α_l = k (c / c_w) sin(β' − γ)"+edgeAround), inputs: edges, source: snell + ", each edge by itself", side: si.Up})
	s.angle(id+"edge_upper", "α_u", "refracted angle of the upper edge of the beam; 90° where it runs along the surface", o.Upper, how{
		formula: s.around("sin α_u = (c / c_w) sin(β + γ)", "sin α_u = k (c / c_w) sin(β' + γ)"+edgeAround), inputs: edges, source: snell + ", each edge by itself", side: si.Down})
	s.angle(id+"half_across", "γ_⊥", "half angle in the part to the edge of the beam, across the section: echo −6 dB", o.Half, how{
		formula: "sin γ_⊥ = " + o.edgeFactor() + " λ / " + symbolOf(o, "e_w"), inputs: []string{id + "wavelength", acrossID}, side: si.Down, source: edgeSource})
	if o.NearField = si.Unknown[si.Length](); g.Part.Radius != 0 {
		return
	}
	o.NearField = b.NearField()
	s.length(id+"near_field", "N", "near field left in the part, as sound path", o.NearField, how{
		formula: "N = e² f / (4 c) · cos α / cos β − L_w c_w / c, e the element in the section",
		inputs:  []string{planeID, id + "frequency", speed, id + "nominal_angle", id + "wedge_axis", id + "wedge_path", id + "wedge_velocity"},
		source:  "common practice; row P170 of the published check values, 4 % above the value printed there"})
}

func symbolOf(o *Single, side string) string {
	if o.round() {
		return "D"
	}
	return side
}

// singleWidths states the beam's width at the ends of its legs, beyond the near
// field, and the narrowest over the range used: it is narrowest where the near
// field ends.
func (s *sheet) singleWidths(id string, g *Group, leg si.Length, legs int) {
	o := g.Single
	near := g.nearFields()
	planeHalf := o.Half
	if g.Set.Method == "angle-beam" {
		// In the section the beam spreads from its own virtual place.
		plane := g.singleBeam().Width()
		planeHalf = o.halfAngle(plane, acoustics.Wavelength(g.PartSpeed, o.Probe.Frequency))
	} else if plane, _ := o.element(); !o.round() {
		planeHalf = o.halfAngle(plane, acoustics.Wavelength(g.PartSpeed, o.Probe.Frequency))
	}
	if g.Part.Radius != 0 {
		planeHalf = si.Unknown[si.Angle]() // the contact is a lens in the section, of which the field knows
	}
	wide := func(distance, near si.Length, half si.Angle) si.Length {
		if !(distance >= near) {
			return si.Unknown[si.Length]()
		}
		return 2 * distance * si.Length(half.Tan())
	}
	var bent *field.Beam
	if g.Part.Radius != 0 && g.Set.Method == "angle-beam" {
		bent = s.bentBeam(g)
	}
	for i := range 2 * legs {
		path := leg * si.Length(i+1) / 2
		d := g.distanceAt(path)
		w := BeamWidth{Path: path, Plane: wide(d.Plane, near.Plane, planeHalf), Across: wide(d.Across, near.Across, o.Half)}
		if bent != nil {
			w.Plane = bent.Width(path * (1 - 1e-9)) // of the leg that ends there
		}
		o.Widths = append(o.Widths, w)
	}
	planeID, acrossID := o.elementIDs(id)
	from := []string{id + "wavelength", acrossID}
	s.length(id+"beam_narrowest", "w_0", "width of the beam across the section where it is narrowest, at the end of its near field: echo −6 dB", 2*near.Across*si.Length(o.Half.Tan()), how{
		formula: "w_0 = 2 N_⊥ tan γ_⊥, N_⊥ = " + nearFormula(o, g), inputs: from, side: si.Down, source: edgeSource + "; far-field edges taken at the end of the near field"})
	for i, w := range o.Widths {
		at := fmt.Sprintf("%swidths.%d.", id, i+1)
		where := "at a sound path of " + s.mm(w.Path, si.Nearest)
		s.length(at+"path", "s", "sound path", w.Path, how{of: where, formula: "halves of the legs", source: "own choice"})
		for _, one := range []struct {
			key, symbol, name, side string
			x                       si.Length
		}{{"plane", "w_∥", "width of the beam in the section, square to its axis", planeID, w.Plane}, {"across", "w_⊥", "width of the beam across the section", acrossID, w.Across}} {
			if si.Known(one.x) {
				h := how{of: where,
					formula: one.symbol + " = 2 x tan γ, x = s and the wedge counted in, γ to the echo −6 dB edge in the part", inputs: []string{at + "path", id + "wavelength", one.side}, side: si.Down, source: edgeSource}
				if bent != nil && one.key == "plane" {
					h.formula, h.source = "|F(x)|² = ½ |F|²_max across the axis, between the echo −6 dB edges", beamField
				}
				s.length(at+one.key, one.symbol, one.name, one.x, h)
			}
		}
	}
}

func nearFormula(o *Single, g *Group) string {
	switch {
	case o.round():
		return "D² / (4 λ)"
	case g.Set.Method == "angle-beam":
		return "e_w² / (4 λ)"
	}
	return "k e² / (4 λ), e the longer side"
}
