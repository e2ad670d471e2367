package technique

import (
	"math"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/field"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// pairAllowance is what is lost at once at the echo −12 dB edges of both beams,
// half of it in each.
const pairAllowance = si.Decibel(-12)

// diffractedBy is said of the map of a pair.
const diffractedBy = "own computation: directivity of round sources in the far field, refraction, spreading and attenuation of both probes; contact face and the diffraction of a crack's tip left out"

// diffracted predicts how high a pair shows what diffracts alike in all
// directions, over what it covers, against the same where the beam axes cross.
func (s *sheet) diffracted(g *Group) *Map {
	probe, m := g.Pair.Probe, &s.Job.Part.Material
	rows, unknown := s.mapRows(), si.Unknown[si.Density]()
	path := si.Length(probe.Delay) * si.Length(probe.WedgeVelocity)
	axis := acoustics.Refract(probe.Angle, g.PartSpeed, probe.WedgeVelocity)
	if rows == 0 || !(path >= 0) || !(g.Pair.Crossing < s.Job.Part.Thickness) {
		return nil
	}
	attenuation := si.Attenuation(acoustics.AttenuationLoss(s.attenuationOf(acoustics.Longitudinal), m.AttenuationAt, probe.Frequency, si.Metre))
	part, exit := ray.Plate(s.Job.Part.Thickness, acoustics.Medium{Density: unknown, Longitudinal: m.Longitudinal, Transverse: m.Transverse}), -g.Pair.Separation/2
	part.Radius = g.Part.Radius
	model := field.New(field.Media{
		Wedge: acoustics.Medium{Density: unknown, Longitudinal: probe.WedgeVelocity, Transverse: si.Unknown[si.Speed]()}, Part: part,
		Frequency: probe.Frequency, Tilt: axis, Touch: exit, Element: probe.Diameter, Round: true,
		InWedge: si.Unknown[si.Attenuation](), Longitudinal: attenuation, Transverse: si.Unknown[si.Attenuation](),
	})
	along, up := -path*si.Length(axis.Sin()), path*si.Length(axis.Cos())
	source := ray.Element(overLevel(part.Radius, exit, along, up))
	pair := model.Pair(source, field.Point{X: 0, Z: g.Pair.Crossing})
	f := frameOf(s.Section, "A", g.Set.Surface, si.Unknown[si.Length]())
	local := f.local(s.Section)
	values := newMapValues(g.pairReach(local, rows), g.pairReach(local, fineRows*rows), f.scale)
	values.places(func(j, k int) { values.set(j, k, pair.Tip(values.place(j, k))) })
	return &Map{Hole: values.onto(f), Allowance: pairAllowance, Attenuation: attenuation > 0}
}

// diffractedValues states the map of a pair, and reports whether it says anything.
func (s *sheet) diffractedValues(id string, g *Group, m *Map) bool {
	least, at, above := m.Hole.least(m.Allowance)
	if !si.Known(least) || math.IsInf(float64(least), 0) {
		return false
	}
	m.Worst = at
	of := "groups." + g.Set.Name + "."
	s.gain(id+"allowance", "δ_m", "predicted amplitude that is marked in the map of the pair: what both beams lose together at their echo −12 dB edges", m.Allowance, how{source: "own choice"})
	s.length(id+"step", "Δ_m", "distance between the places at which amplitudes are predicted", m.Hole.rows.Height, how{
		formula: "Δ_m = t / rows, so that some 600 places fill the volume", inputs: []string{"part.thickness"}, source: "own choice"})
	s.gain(id+"least", "E_1", "smallest predicted amplitude of what diffracts alike in all directions, in what the pair covers, against the same where the beam axes cross", least, how{
		formula: "E = 20 log₁₀ (a_1 a_2 / a_x²), a = |2 J₁(x) / x| / S of each probe, x = π D_e sin θ / λ_w",
		inputs:  []string{of + "diameter", of + "wavelength_wedge", of + "wedge_axis", of + "separation", of + "crossing", of + "delay"}, source: diffractedBy, side: si.Down})
	s.length(id+"worst_x", "x_m", "position across the weld of the smallest amplitude", at.X, how{formula: "place of E_1", inputs: []string{id + "least"}, source: diffractedBy})
	s.length(id+"worst_z", "z_m", "depth of the smallest amplitude", at.Z, how{formula: "place of E_1", inputs: []string{id + "least"}, source: diffractedBy})
	s.placesShare(id+"above", "C_m", "share of what the pair covers where the amplitude is not below that mark", above, how{
		formula: "C_m = places with E ≥ δ_m / all places covered", inputs: []string{id + "allowance"}, source: diffractedBy, side: si.Down})
	return true
}
