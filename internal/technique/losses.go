package technique

import (
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// soundValues states what becomes of the sound of a group: what it loses on its
// way, what a corner returns, and what temperature changes.
func (s *sheet) soundValues(id string, g *Group, st stand) {
	s.losses(id, g, st)
	switch {
	case g.converts() || s.wave(g) != acoustics.Transverse: // no corner that the formula knows
	case len(g.Part.Strata) > 1:
		g.Omitted = append(g.Omitted, Omitted{"corner loss", "a flaw that is open to the surface stands in two metals", []string{"corner"}})
	default:
		s.corners(id, g, st)
	}
	s.warmth(id, g, st)
}

const achenbach = "reflection of plane waves at a free surface, J. D. Achenbach, Wave Propagation in Elastic Solids (from memory)"

// LossEnds names the angles for which a group's losses are stated, as parts of
// their ids: groups.<group>.losses.<end>.contact and so on.
func LossEnds() []string { return []string{"from", "middle", "to"} }

// wave is the kind of wave a group uses in the part.
func (s *sheet) wave(g *Group) acoustics.Wave {
	if g.PartSpeed == s.Job.Part.Material.Longitudinal {
		return acoustics.Longitudinal
	}
	return acoustics.Transverse
}

// partAttenuation is the attenuation in the part of the wave a group uses.
func (s *sheet) partAttenuation(g *Group) si.Attenuation { return s.attenuationOf(s.wave(g)) }

// attenuationOf is the attenuation in the part of a kind of wave, as the job
// states it or as back walls show it; unknown where neither is given.
func (s *sheet) attenuationOf(wave acoustics.Wave) si.Attenuation {
	m := &s.Job.Part.Material
	switch {
	case wave == acoustics.Transverse:
		return m.TransverseAttenuation
	case si.Known(m.LongitudinalAttenuation):
		return m.LongitudinalAttenuation
	}
	return acoustics.BackWallAttenuation(m.BackWalls.Drop, m.BackWalls.Spreading, m.BackWalls.Thickness)
}

// backWalls states the attenuation that two back-wall echoes show.
func (s *sheet) backWalls() {
	b := s.Job.Part.Material.BackWalls
	a := acoustics.BackWallAttenuation(b.Drop, b.Spreading, b.Thickness)
	if !si.Known(a) {
		return
	}
	s.gain("part.back_walls.drop", "Δ", "drop from the first back-wall echo to the second", b.Drop, given())
	s.gain("part.back_walls.spreading", "Δ_s", "share of the drop that is spreading and loss at the faces", b.Spreading, given())
	s.length("part.back_walls.thickness", "t_b", "thickness where the back walls were read", b.Thickness, given())
	s.add("part.back_walls.attenuation", "a_L", "attenuation of longitudinal waves in the part, by two back-wall echoes", float64(a), si.KindAttenuation, damping, how{
		formula: "a_L = (Δ − Δ_s) / (2 t_b)", inputs: []string{"part.back_walls.drop", "part.back_walls.spreading", "part.back_walls.thickness"}, source: "definition of the attenuation"})
}

// losses states what is lost at the first, the middle and the last angle, as far
// as their rays come there.
func (s *sheet) losses(id string, g *Group, st stand) {
	list, short := s.lossList(g, st)
	g.Omitted = append(g.Omitted, short...)
	least, nearest, other, stated := si.Decibel(math.Inf(1)), si.Decibel(math.Inf(1)), si.Ratio(0), false
	for _, l := range list {
		if si.Known(l.spread) {
			least, nearest, other, stated = min(least, l.sum()), min(nearest, l.spread), max(other, l.converted), true
		}
	}
	if !stated {
		return
	}
	m := &s.Job.Part.Material
	if si.Known(m.Density) {
		s.add(id+"part_density", "ρ", "density of the part", float64(m.Density), si.KindDensity, densities, given())
	}
	if si.Known(g.Wedge.Density) && si.Known(g.Wedge.Transverse) {
		s.add(id+"wedge_density", "ρ_w", "density of the wedge", float64(g.Wedge.Density), si.KindDensity, densities, given())
		s.sound(id+"wedge_transverse", "c_wT", "transverse velocity in the wedge", g.Wedge.Transverse, given())
	}
	s.rates(id, g)
	if other > 1e-9 {
		s.share(id+"converted", "R_c", "amplitude of the wave of the other kind that a wall sends on, over what meets it, largest of the three angles", other, how{
			formula: "κ |sin 4b / D| of a transverse, 2 κ |sin 2a cos 2b / D| of a longitudinal wave, D = sin 2a sin 2b + κ² cos² 2b, κ = c_L / c_T, sin a = κ sin b",
			inputs:  s.speeds(g), side: si.Up, source: achenbach})
	}
	for i, l := range list {
		if si.Known(l.spread) {
			s.lossValues(id+"losses."+LossEnds()[i]+".", id, g, l, least, nearest)
		}
	}
}

// speeds are the velocities of both kinds of wave in all metals of the part.
func (s *sheet) speeds(g *Group) []string {
	list := []string{"part.longitudinal", "part.transverse"}
	if len(g.Part.Strata) > 1 {
		list = append(list, "part.cladding.longitudinal", "part.cladding.transverse")
	}
	return list
}

// rates states the attenuations that a group meets.
func (s *sheet) rates(id string, g *Group) {
	m, w := &s.Job.Part.Material, g.Wedge
	if si.Known(w.Attenuation) && si.Known(w.AttenuationAt) {
		s.add(id+"wedge_attenuation", "a_w", "attenuation in the wedge", float64(w.Attenuation), si.KindAttenuation, damping, given())
		s.frequency(id+"wedge_attenuation_at", "f_w", "frequency of the attenuation in the wedge", w.AttenuationAt, megahertz, given())
	}
	stated := false
	for _, wave := range g.kinds() {
		a := s.attenuationOf(wave)
		if !si.Known(a) || !si.Known(m.AttenuationAt) {
			continue
		}
		h := given()
		if _, walls := s.Value("part.back_walls.attenuation"); walls && wave == acoustics.Longitudinal {
			h = how{formula: "a = a_L", inputs: []string{"part.back_walls.attenuation"}, source: "job"}
		}
		symbol := "a"
		if g.converts() {
			symbol = map[acoustics.Wave]string{acoustics.Longitudinal: "a_L", acoustics.Transverse: "a_T"}[wave]
		}
		s.add(id+g.attenuationID(wave), symbol, "attenuation in the part, of "+g.ofWave(wave), float64(a), si.KindAttenuation, damping, h)
		stated = true
	}
	if stated {
		s.frequency(id+"part_attenuation_at", "f_a", "frequency of the attenuation in the part", m.AttenuationAt, megahertz, given())
	}
}

// kinds are the kinds of wave that a group uses in the part.
func (g *Group) kinds() []acoustics.Wave {
	if g.converts() {
		return []acoustics.Wave{acoustics.Longitudinal, acoustics.Transverse}
	}
	return []acoustics.Wave{g.Sent()}
}

// attenuationID is that of the attenuation in the part, of each kind where there
// are two.
func (g *Group) attenuationID(wave acoustics.Wave) string {
	if g.converts() {
		return "part_attenuation_" + waveWord(wave == acoustics.Longitudinal)
	}
	return "part_attenuation"
}

func (g *Group) ofWave(wave acoustics.Wave) string {
	if g.converts() {
		return waveWord(wave == acoustics.Longitudinal) + " waves"
	}
	return "the wave in use"
}

// lossValues states what is lost at one angle.
func (s *sheet) lossValues(at, id string, g *Group, l loss, least, nearest si.Decibel) {
	of := "ray of " + deg(l.angle, si.Nearest)
	state := func(name, symbol, says string, x si.Decibel, h how) {
		if si.Known(x) && !math.IsInf(float64(x), 0) {
			h.of = of
			s.gain(at+name, symbol, says, noLess(x), h)
		}
	}
	clad, tandem := len(g.Part.Strata) > 1, g.tandem()
	speeds := s.speeds(g)
	angle := how{of: of, formula: "α_1, α or α_2", inputs: []string{id + "angle_from", id + "middle_angle", id + "angle_to"}, source: "own choice"}
	path := "s = d / cos α_n, d the unfolded depth where the beam ends, or the mean of out and back at the middle depth of the region"
	spread := "δ_s = 20 log₁₀ (D_out D_back), D² = (L_w q + s c / (c_w q)) (L_w + s c / c_w), q = cos α_n / cos β; less the smallest"
	spreadBy := []string{id + "wedge_velocity", s.speedID(g)}
	if !g.homogeneous() || g.converts() {
		spread = "δ_s = 20 log₁₀ (D_out D_back), D² = (dn / dθ) (L_w + Σ s_j c_j / c_w), dn how far apart two rays are in the section that leave the array dθ apart; less the smallest"
		spreadBy = append([]string{id + "wedge_velocity"}, speeds...)
		path = "s = sum of the straight pieces to the end of the beam's use, or the mean of out and back to the middle depth of the region"
	}
	if s.Section.Radius() != 0 && g.Set.Method != "tfm" {
		path = pathAround
	}
	if tandem {
		angle = how{of: of, formula: "sin α_j / c_j the same on all legs, least time from the middle of the array to the place", inputs: speeds, source: "Fermat's principle; " + snell}
	}
	s.angle(at+"angle", "α_n", "angle for which losses are stated", l.angle, angle)
	if tandem {
		s.angle(at+"angle_back", "α_n'", "angle of the way back from the same place", l.back, angle)
	}
	_, _, thickness := g.under()
	// The angle is no input, so that the annex can list the three angles in one row.
	s.length(at+"path", "s", "sound path in the part for which losses are stated", l.path, how{of: of, formula: path, inputs: []string{thickness}, source: "geometry"})
	if si.Known(l.contact) {
		formula, source := "δ_c = −20 log₁₀ E, E the share of energy that passes a liquid film from the wedge into the wave used",
			"boundary conditions of plane waves at a slipping contact, solved numerically; the way back has the same share"
		if tandem {
			formula = "δ_c = −10 log₁₀ (E_out E_back), E the share of energy that passes a liquid film between the wedge and the wave used"
		}
		state("contact", "δ_c", "loss at the contact face, out and back", l.contact, how{
			formula: formula, inputs: slices.Concat([]string{id + "wedge_velocity", id + "wedge_transverse", id + "wedge_density"}, speeds, s.stated(id+"part_density", "part.cladding.density")), source: source})
	}
	state("element", "δ_e", "loss of an element by its own directivity, out and back", l.element, how{
		formula: "δ_e = −40 log₁₀ (|sin x / x| cos θ), x = π e sin θ / λ_w, θ from the array's normal",
		inputs:  []string{id + "element", id + "wavelength_wedge", id + "wedge_angle"}, source: "far field of a strip with a soft surround"})
	state("wedge", "δ_w", "attenuation in the wedge, out and back", l.wedge, how{
		formula: "δ_w = 2 a_w (f / f_w) L_w", inputs: []string{id + "wedge_attenuation", id + "wedge_attenuation_at", id + "frequency"}, source: "definition; in proportion to the frequency"})
	part := how{formula: "δ_p = 2 a (f / f_a) s", source: "definition; in proportion to the frequency"}
	if clad || g.converts() {
		part.formula = "δ_p = Σ a_j (f / f_a) s_j over the pieces out and back, in metals whose attenuation is stated"
	}
	for _, wave := range g.kinds() {
		part.inputs = append(part.inputs, s.stated(id+g.attenuationID(wave), "part.cladding.attenuation_"+waveWord(wave == acoustics.Longitudinal))...)
	}
	part.inputs = append(part.inputs, s.stated(id+"part_attenuation_at", "part.cladding.attenuation_at", id+"frequency")...)
	state("part", "δ_p", "attenuation in the part, out and back", l.part, part)
	walls := s.around("δ_r = −20 n log₁₀ R, R of a free flat surface, n the reflections out and back",
		"δ_r = −40 Σ log₁₀ R, R of a free surface at the angle at each wall that is met")
	if clad || tandem || g.converts() {
		walls = "δ_r = −10 Σ log₁₀ E, E the share of energy that a free surface sends on as the wave of the next leg, at each wall out and back"
	}
	state("walls", "δ_r", "loss by reflection at the walls, out and back", l.walls, how{formula: walls, inputs: speeds, source: achenbach})
	state("bonds", "δ_b", "loss at the bond of base metal and cladding, out and back", l.bonds, how{
		formula: "δ_b = −10 Σ log₁₀ E, E the share of energy that a welded face passes without a change of kind, each time it is crossed",
		inputs:  append(s.stated(id+"part_density", "part.cladding.density"), speeds...), source: "boundary conditions of plane waves at bonded faces, solved numerically"})
	state("spread", "δ_s", "spreading of the sound of one element, out and back, over the least of the three angles", l.spread-nearest, how{
		formula: spread, inputs: spreadBy, source: "geometry of neighbouring rays"})
	sum := "δ = δ_c + δ_e + δ_w + δ_p + δ_r + δ_s, what is not stated left out; less the smallest"
	if clad {
		sum = "δ = δ_c + δ_e + δ_w + δ_p + δ_r + δ_b + δ_s, what is not stated left out; less the smallest"
	}
	state("sum", "δ", "sum of the losses stated, over the least of the three angles", l.sum()-least, how{formula: sum, source: "sum"})
}

// tandem reports whether the sound of a group comes back another way than it went.
func (g *Group) tandem() bool {
	if g.Set.Method != "tfm" {
		return false
	}
	out, back := g.ways()
	return !out.Equal(&back)
}

// noLess clears the float noise of a loss that is none, which would otherwise
// print as −0.0 or, rounded up, as 0.1.
func noLess(x si.Decibel) si.Decibel {
	if x < 1e-9 {
		return 0
	}
	return x
}
