package technique

import (
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// soundValues states what becomes of the sound of a group: what it loses on its
// way, what a corner returns, and what temperature changes.
func (s *sheet) soundValues(id string, g *Group, st stand) {
	if g.homogeneous() && !g.converts() || st.bend() != 0 && len(g.Part.Strata) == 1 && g.Set.Method != "tfm" {
		s.losses(id, g, st)
	}
	if len(g.Part.Strata) == 1 && !g.converts() {
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

// partAttenuation is the attenuation in the part of the wave a group uses, as
// the job states it or as back walls show it; unknown where neither is given.
func (s *sheet) partAttenuation(g *Group) si.Attenuation { return s.attenuationOf(s.wave(g)) }

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

// loss is what one angle of a group loses, each there and back.
type loss struct {
	angle                                si.Angle
	out, back                            si.Length // sound paths in the part
	contact, element, wedge, part, walls si.Decibel
	spread                               si.Decibel // over that at one metre
	converted                            si.Ratio   // amplitude of the other wave at a wall, over what meets it
}

// sum adds up what is known.
func (l loss) sum() si.Decibel {
	total := l.spread
	for _, x := range []si.Decibel{l.contact, l.element, l.wedge, l.part, l.walls} {
		if si.Known(x) {
			total += x
		}
	}
	return total
}

// losses states what the first, the middle and the last angle lose.
func (s *sheet) losses(id string, g *Group, st stand) {
	m := &s.Job.Part.Material
	if si.Known(m.Density) {
		s.add(id+"part_density", "ρ", "density of the part", float64(m.Density), si.KindDensity, densities, given())
	}
	if si.Known(g.Wedge.Density) && si.Known(g.Wedge.Transverse) {
		s.add(id+"wedge_density", "ρ_w", "density of the wedge", float64(g.Wedge.Density), si.KindDensity, densities, given())
		s.sound(id+"wedge_transverse", "c_wT", "transverse velocity in the wedge", g.Wedge.Transverse, given())
	}
	s.rates(id, g)
	angles := []si.Angle{g.Angles.From, g.drawn(st)[1], g.Angles.To}
	var list []loss
	for _, angle := range angles {
		list = append(list, s.lossAt(g, st, angle))
	}
	if slices.ContainsFunc(list, func(l loss) bool { return !si.Known(l.spread) }) {
		return // a ray of them turns before the bore, or crosses its neighbours
	}
	least, nearest, other := si.Decibel(math.Inf(1)), si.Decibel(math.Inf(1)), si.Ratio(0)
	for _, l := range list {
		least, nearest, other = min(least, l.sum()), min(nearest, l.spread), max(other, l.converted)
	}
	if other > 1e-9 {
		s.share(id+"converted", "R_c", "amplitude of the wave of the other kind that a wall sends on, over what meets it, largest of the three angles", other, how{
			formula: "κ |sin 4b / D| of a transverse, 2 κ |sin 2a cos 2b / D| of a longitudinal wave, D = sin 2a sin 2b + κ² cos² 2b, κ = c_L / c_T, sin a = κ sin b",
			inputs:  []string{"part.longitudinal", "part.transverse"}, side: si.Up, source: achenbach})
	}
	for i, l := range list {
		s.lossValues(id+"losses."+LossEnds()[i]+".", id, g, l, least, nearest)
	}
}

// rates states the attenuations that a group meets.
func (s *sheet) rates(id string, g *Group) {
	m, w := &s.Job.Part.Material, g.Wedge
	if si.Known(w.Attenuation) && si.Known(w.AttenuationAt) {
		s.add(id+"wedge_attenuation", "a_w", "attenuation in the wedge", float64(w.Attenuation), si.KindAttenuation, damping, given())
		s.frequency(id+"wedge_attenuation_at", "f_w", "frequency of the attenuation in the wedge", w.AttenuationAt, megahertz, given())
	}
	if a := s.partAttenuation(g); si.Known(a) && si.Known(m.AttenuationAt) {
		h := given()
		if _, walls := s.Value("part.back_walls.attenuation"); walls && s.wave(g) == acoustics.Longitudinal {
			h = how{formula: "a = a_L", inputs: []string{"part.back_walls.attenuation"}, source: "job"}
		}
		s.add(id+"part_attenuation", "a", "attenuation in the part, of the wave in use", float64(a), si.KindAttenuation, damping, h)
		s.frequency(id+"part_attenuation_at", "f_a", "frequency of the attenuation in the part", m.AttenuationAt, megahertz, given())
	}
}

// lossAt works out what one angle loses to the end of what is used: the end of
// a beam, or the middle depth of an image's region.
func (s *sheet) lossAt(g *Group, st stand, angle si.Angle) loss {
	m, w, f := &s.Job.Part.Material, g.Wedge, g.Probe.Frequency
	_, wedgePath := st.exit(angle)
	legsOut, legsBack := g.legs(), g.legs()
	l := loss{angle: angle}
	if g.Set.Method == "tfm" {
		legsOut, legsBack = g.pathLegs()
		depth := (g.Set.Region.Top + g.Set.Region.Bottom) / 2
		l.out = ray.Unfold(legsOut, depth, s.Job.Part.Thickness) / si.Length(angle.Cos())
		l.back = ray.Unfold(legsBack, depth, s.Job.Part.Thickness) / si.Length(angle.Cos())
	} else {
		l.out = s.beamPath(g, st, angle, s.farthest(g))
		l.back = l.out
	}
	incidence := acoustics.Refract(angle, g.PartSpeed, w.Velocity)
	contact := acoustics.Interface{
		From: acoustics.Medium{Density: w.Density, Longitudinal: w.Velocity, Transverse: w.Transverse},
		To:   acoustics.Medium{Density: m.Density, Longitudinal: m.Longitudinal, Transverse: m.Transverse},
	}.Split(acoustics.Longitudinal, incidence)
	passed := contact.TransmittedTransverse
	if s.wave(g) == acoustics.Longitudinal {
		passed = contact.TransmittedLongitudinal
	}
	l.contact = acoustics.ContactLoss(passed)
	element := acoustics.ElementDirectivity(g.Probe.Pitch-g.Probe.Gap, acoustics.Wavelength(w.Velocity, f), st.steered(angle))
	l.element = -40 * si.Decibel(math.Log10(float64(element)))
	l.wedge = 2 * acoustics.AttenuationLoss(w.Attenuation, w.AttenuationAt, f, wedgePath)
	l.part = acoustics.AttenuationLoss(s.partAttenuation(g), m.AttenuationAt, f, l.out+l.back)
	if st.bend() != 0 {
		s.roundLoss(&l, g, st)
		return l
	}
	if bounces := legsOut + legsBack - 2; bounces > 0 {
		kept, converted := acoustics.FreeSurfaceReflection(s.wave(g), angle, m.Longitudinal, m.Transverse)
		l.walls = si.Decibel(bounces) * -20 * si.Decibel(math.Log10(float64(kept)))
		l.converted = converted
	}
	b := st.beam(angle)
	l.spread = 20 * si.Decibel(math.Log10(float64(b.Spreading(l.out))*float64(b.Spreading(l.back))))
	return l
}

func (s *sheet) lossValues(at, id string, g *Group, l loss, least, nearest si.Decibel) {
	state := func(name, symbol, says string, x si.Decibel, h how) {
		if si.Known(x) && !math.IsInf(float64(x), 0) {
			s.gain(at+name, symbol, says, noLess(x), h)
		}
	}
	speedID := "part.transverse"
	if s.wave(g) == acoustics.Longitudinal {
		speedID = "part.longitudinal"
	}
	s.angle(at+"angle", "α_n", "angle for which losses are stated", l.angle, how{
		formula: "α_1, α or α_2", inputs: []string{id + "angle_from", id + "middle_angle", id + "angle_to"}, source: "own choice"})
	// The angle is no input, so that the annex can list the three angles in one row.
	s.length(at+"path", "s", "sound path in the part for which losses are stated", (l.out+l.back)/2, how{
		formula: s.around("s = d / cos α_n, d the unfolded depth where the beam ends, or the mean of out and back at the middle depth of the region", pathAround),
		inputs:  []string{"part.thickness"}, source: "geometry"})
	if si.Known(l.contact) {
		state("contact", "δ_c", "loss at the contact face, out and back", l.contact, how{
			formula: "δ_c = −20 log₁₀ E, E the share of energy that passes a liquid film from the wedge into the wave used",
			inputs:  []string{id + "wedge_velocity", id + "wedge_transverse", id + "wedge_density", "part.longitudinal", "part.transverse", id + "part_density"},
			source:  "boundary conditions of plane waves at a slipping contact, solved numerically; the way back has the same share"})
	}
	state("element", "δ_e", "loss of an element by its own directivity, out and back", l.element, how{
		formula: "δ_e = −40 log₁₀ (|sin x / x| cos θ), x = π e sin θ / λ_w, θ from the array's normal",
		inputs:  []string{id + "element", id + "wavelength_wedge", id + "wedge_angle"}, source: "far field of a strip with a soft surround"})
	state("wedge", "δ_w", "attenuation in the wedge, out and back", l.wedge, how{
		formula: "δ_w = 2 a_w (f / f_w) L_w", inputs: []string{id + "wedge_attenuation", id + "wedge_attenuation_at", id + "frequency"}, source: "definition; in proportion to the frequency"})
	state("part", "δ_p", "attenuation in the part, out and back", l.part, how{
		formula: "δ_p = 2 a (f / f_a) s", inputs: []string{id + "part_attenuation", id + "part_attenuation_at", id + "frequency"}, source: "definition; in proportion to the frequency"})
	state("walls", "δ_r", "loss by reflection at the walls, out and back", l.walls, how{
		formula: s.around("δ_r = −20 n log₁₀ R, R of a free flat surface, n the reflections out and back",
			"δ_r = −40 Σ log₁₀ R, R of a free surface at the angle at each wall that is met"),
		inputs: []string{"part.longitudinal", "part.transverse"}, source: achenbach})
	state("spread", "δ_s", "spreading of the sound of one element, out and back, over the least of the three angles", l.spread-nearest, how{
		formula: s.around("δ_s = 20 log₁₀ (D_out D_back), D² = (L_w q + s c / (c_w q)) (L_w + s c / c_w), q = cos α_n / cos β; less the smallest",
			"δ_s = 40 log₁₀ D, D² = (dn / dθ) (L_w + s c / c_w), dn how far apart two rays are that leave the array dθ apart; less the smallest"),
		inputs: []string{id + "wedge_velocity", speedID}, source: "geometry of neighbouring rays"})
	state("sum", "δ", "sum of the losses stated, over the least of the three angles", l.sum()-least, how{
		formula: "δ = δ_c + δ_e + δ_w + δ_p + δ_r + δ_s, what is not stated left out; less the smallest", source: "sum"})
}

// noLess clears the float noise of a loss that is none, which would otherwise
// print as −0.0 or, rounded up, as 0.1.
func noLess(x si.Decibel) si.Decibel {
	if x < 1e-9 {
		return 0
	}
	return x
}

// corners states what the corner loses that an upright flaw makes with a surface.
// A beam that comes back the way it went meets it at the end of its leg; an image
// that goes out by one leg more than it comes back, or the other way round, meets
// wall and flaw one after the other at any depth, as it would a corner.
func (s *sheet) corners(id string, g *Group, st stand) {
	m := &s.Job.Part.Material
	if s.wave(g) != acoustics.Transverse || !si.Known(m.Longitudinal) {
		return
	}
	legs := g.Set.Legs
	if g.Set.Method == "tfm" {
		switch out, back := g.pathLegs(); out - back {
		case 0:
			legs = []int{out}
		case 1, -1:
			if st.bend() != 0 {
				return // wall and flaw are met at angles that change with the depth
			}
			legs = nil
		default:
			return
		}
	}
	from := []string{"part.longitudinal", "part.transverse"}
	critical := acoustics.CriticalAngle(m.Transverse, m.Longitudinal)
	s.angle(id+"corner.free_from", "α_c1", s.around("smallest angle at which a corner loses nothing", "smallest angle at the wall at which a corner loses nothing"), critical, how{
		formula: "sin α_c1 = c_T / c_L", inputs: from, source: achenbach, side: si.Up})
	s.angle(id+"corner.free_to", "α_c2", s.around("largest angle at which a corner loses nothing", "largest angle at the wall at which a corner loses nothing"), 90*si.Degree-critical, how{
		formula: "α_c2 = 90° − α_c1", inputs: []string{id + "corner.free_from"}, source: achenbach, side: si.Down})
	loss := how{formula: "δ = −20 log₁₀ (R(α) R(90° − α)), R as for a free surface", source: achenbach, side: si.Up}
	worst, at := si.Decibel(0), si.Unknown[si.Angle]()
	for _, angle := range g.cornerAngles(st, legs) {
		if x := acoustics.CornerLoss(angle, m.Longitudinal, m.Transverse); x > worst+1e-9 && !math.IsInf(float64(x), 0) {
			worst, at = x, angle
		}
	}
	if si.Known(at) {
		s.angle(id+"corner.worst_angle", "α_k", s.around("angle, of those used, at which a corner loses most", "angle at the wall, of those that the angles used make there, at which a corner loses most"), at, how{
			formula: "largest δ over the angles used", inputs: append(s.onPipe(id+"angle_from", id+"angle_to"), from...), source: achenbach})
		loss.inputs = append([]string{id + "corner.worst_angle"}, from...)
		s.gain(id+"corner.worst", "δ_k", "largest loss at a corner over the angles used", worst, loss)
	}
	if g.Set.Method == "linear" {
		return // each of its angles meets the corner as the aperture moves
	}
	for _, leg := range legs {
		place := id + "corner." + cornerSurface(leg) + "."
		if _, twice := s.Value(place + "angle"); twice {
			continue
		}
		angle, x := si.Unknown[si.Angle](), si.Decibel(-1)
		for _, side := range g.Set.Sides {
			refracted, met := s.cornerAngle(g, st, side, leg)
			if !(refracted >= g.Angles.From-1e-9 && refracted <= g.Angles.To+1e-9) {
				continue
			}
			if lost := acoustics.CornerLoss(met, m.Longitudinal, m.Transverse); lost > x && !math.IsInf(float64(lost), 0) {
				angle, x = met, lost
			}
		}
		if !si.Known(angle) {
			continue
		}
		s.angle(place+"angle", "α_k0", "angle at which the middle of the array meets the corner at the "+cornerSurface(leg)+" surface, at the toe of a reinforcement or else at the weld's centreline", angle, how{
			formula: s.around("least time from the middle of the array to the corner, legs unfolded; of the sides used that which loses more",
				"least time from the middle of the array to the corner, and its angle at the wall there; of the sides used that which loses more"),
			inputs: s.onPipe(id+"wedge_front", id+"centre_distance", id+"centre_height", "part.thickness"), source: "Fermat's principle"})
		loss.inputs = append([]string{place + "angle"}, from...)
		s.gain(place+"loss", "δ_k0", "loss at the corner at the "+cornerSurface(leg)+" surface", noLess(x), loss)
	}
}

// cornerAngles are the angles at the wall among which the worst corner is sought:
// those of the fixed angles, or of the range in 400 steps, less than 0.1° each. On
// a flat part they are the refracted ones.
func (g *Group) cornerAngles(st stand, legs []int) []si.Angle {
	const steps = 400
	list := g.Set.FixedAngles
	if g.Set.Method != "linear" {
		list = nil
		for i := range steps + 1 {
			list = append(list, g.Angles.From+(g.Angles.To-g.Angles.From)*si.Angle(i)/steps)
		}
	}
	if st.bend() == 0 {
		return list
	}
	var met []si.Angle
	for _, leg := range legs {
		for _, angle := range list {
			if c := st.over(leg); leg == 1 || st.turn(angle) == 0 {
				met = append(met, c.Leave(st.centre(), angle).Angle(leg, c.Wall(leg)))
			}
		}
	}
	return met
}

// cornerAngle is the refracted angle under which the ray from the middle of the
// array meets the place where a flaw opens to the surface at the end of a leg, and
// its angle at the wall there, which is another around a pipe. The place is the
// toe of the reinforcement on the probe's side, or the centreline. It is unknown
// where the legs before it may turn on walls of several depths.
func (s *sheet) cornerAngle(g *Group, st stand, side string, leg int) (refracted, met si.Angle) {
	local := frameOf(s.Section, side, g.Set.Surface, g.Set.WedgeFront).local(s.Section)
	if local.Thickness != s.Job.Part.Thickness || leg > 1 && len(local.Bottom.Corners)+len(local.Top.Corners) > 0 {
		return si.Unknown[si.Angle](), si.Unknown[si.Angle]()
	}
	toe, _ := local.CapSpan()
	if leg%2 == 1 {
		toe, _ = local.RootSpan()
	}
	c := st.centre()
	if st.bend() != 0 {
		course := st.over(leg)
		wall := course.Wall(leg)
		r, _ := course.To(c, toe, wall)
		return r.Refracted(), r.Angle(leg, wall)
	}
	layers := []ray.Layer{{Thickness: c.Height, Speed: g.Wedge.Velocity}, {Thickness: s.Job.Part.Thickness * si.Length(leg), Speed: g.PartSpeed}}
	refracted = ray.Between(toe-c.X, layers).Angle(g.PartSpeed)
	return refracted, refracted
}

// cornerSurface names the surface at which a leg ends.
func cornerSurface(leg int) string {
	if leg%2 == 1 {
		return "far"
	}
	return "near"
}
