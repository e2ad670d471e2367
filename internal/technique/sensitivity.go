package technique

import (
	"fmt"
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// spreading is the law by which the gains of the curve are expected.
const spreading = "spreading in both planes of a flat source far away, the wedge counted in; own derivation, checked by integration and by rays"

// gains states, for every group whose beams have no focus, by how much the
// time-corrected gain is expected to rise from its first reflector, and what the
// path to a corner of the block differs from that in the part. Focused beams and
// images follow no such law.
func (s *sheet) gains() {
	block := s.block()
	if block == nil {
		return
	}
	most, all := si.Decibel(0), len(s.Groups) > 0 && len(s.Curve) > 0
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Pair != nil {
			continue // set by its lateral wave
		}
		if len(g.Placements) == 0 || g.Set.Method == "tfm" || s.focused(g) {
			all = false
			continue
		}
		rise := s.curveGains("groups."+g.Set.Name+".", g, block)
		s.transfer("groups."+g.Set.Name+".", g, block)
		all = all && si.Known(rise)
		most = max(most, rise)
	}
	if in := s.Job.Equipment.Instrument.GainSpan; si.Known(in) {
		s.gain("instrument.gain_span", "G_i", "rise that the time-corrected gain of the instrument can make", in, given())
	}
	if all {
		s.gain("reference.gain_span", "G_u", "largest expected rise of the time-corrected gain, over all groups", most, how{
			formula: "largest G_u of the groups", side: si.Up, source: "definition"})
	}
}

// curveGains states the gain of each reflector of the curve that a group uses,
// at the middle angle, and returns the largest rise over the angles; unknown
// where it has no reflector.
func (s *sheet) curveGains(id string, g *Group, block *schema.Block) si.Decibel {
	var used []int
	for i, p := range s.Curve {
		if slices.Contains(g.Set.Legs, p.Leg) {
			used = append(used, i)
		}
	}
	if len(used) == 0 {
		return si.Unknown[si.Decibel]()
	}
	st := g.stand(g.Set.WedgeFront)
	middle := g.drawn(st)[1]
	formula, source := "G = 20 log₁₀(p / p_1) + 10 log₁₀(r / r_1)", spreading
	inputs := []string{id + "wedge_path", id + "wedge_velocity", id + "middle_angle", id + "middle_wedge_angle"}
	if _, attenuated := s.attenuation(g); attenuated {
		formula += " + 2 a (f / f_a) (s − s_1)"
		inputs = append(inputs, id+"frequency")
		source += "; attenuation of the part, in proportion to the frequency"
	}
	formula += ", p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β"
	first := s.Curve[used[0]].Unfolded
	for _, i := range used {
		p := s.Curve[i]
		at := id + CurveID(i)
		where := fmt.Sprintf(" of the reflector at %s, leg %d", s.mm(p.Depth, si.Nearest), p.Leg)
		symbol := "s"
		if i == used[0] {
			symbol = "s_1"
		}
		s.length(at+"path", symbol, "sound path at the middle angle"+where, p.Unfolded/si.Length(middle.Cos()), how{
			formula: symbol + " = d / cos α", inputs: []string{fmt.Sprintf("reference.curve.%d", i+1), id + "middle_angle"}, source: "geometry"})
		if rise := s.rise(g, st, middle, first, p.Unfolded); i != used[0] && si.Known(rise) {
			s.gain(at+"gain", "G", "expected gain over the first reflector"+where, rise, how{
				formula: formula, inputs: append([]string{at + "path", id + CurveID(used[0]) + "path"}, inputs...), source: source})
		}
		if disc := equivalentDisc(g, st.beam(middle), block.HoleDiameter, p.Unfolded/si.Length(middle.Cos())); si.Known(disc) {
			s.length(at+"disc", "D_e", "disc, square to the beam, that is worth the hole"+where, disc, how{
				formula: "D_e = √((√2 / π) λ √(d r)), d the hole's diameter, r = s + L_w c_w / c, for d ≥ 1.5 λ and r ≥ 1.5 near fields",
				inputs:  []string{at + "path", id + "wedge_path", id + "wedge_velocity", id + "wavelength"},
				source:  "far-field laws of distance, gain and size; form of EN ISO 16811 (from memory)"})
		}
	}
	last, most := s.Curve[used[len(used)-1]].Unfolded, si.Decibel(0)
	for _, angle := range []si.Angle{g.Angles.From, middle, g.Angles.To} {
		rise := s.rise(g, st, angle, first, last)
		if !si.Known(rise) {
			return rise
		}
		most = max(most, rise)
	}
	s.gain(id+"gain_span", "G_u", "largest expected rise of the time-corrected gain, over the first, the middle and the last angle", most, how{
		formula: "largest G of the last reflector at any of the three angles", side: si.Up, source: spreading})
	return most
}

// CurveID is the prefix of what a group's values say of a reflector of the
// curve, counted from 0, after the group's own prefix.
func CurveID(i int) string { return fmt.Sprintf("curve.%d.", i+1) }

// rise is the gain from a hole at one unfolded depth to one at another, at an
// angle. Of a stepped aperture the first is taken: its path in the wedge is the
// shortest, and its gain rises most.
func (s *sheet) rise(g *Group, st stand, angle si.Angle, from, to si.Length) si.Decibel {
	b := st.beam(angle)
	near, far := from/si.Length(angle.Cos()), to/si.Length(angle.Cos())
	gain := acoustics.HoleGain(b.DistanceAt(near), b.DistanceAt(far))
	if loss, ok := s.attenuation(g); ok {
		gain += 2 * (loss(far) - loss(near))
	}
	return gain
}

// attenuation is what the group's wave loses on a path in the part, one way; ok
// where the job states it.
func (s *sheet) attenuation(g *Group) (loss func(si.Length) si.Decibel, ok bool) {
	a, at := s.partAttenuation(g), s.Job.Part.Material.AttenuationAt
	loss = func(path si.Length) si.Decibel {
		return acoustics.AttenuationLoss(a, at, g.Probe.Frequency, path)
	}
	return loss, si.Known(loss(0))
}

// equivalentDisc is the disc that is worth a hole at a sound path; unknown where
// the hole is too thin or too near for the law.
func equivalentDisc(g *Group, b acoustics.Beam, hole, path si.Length) si.Length {
	lambda := acoustics.Wavelength(g.PartSpeed, g.Probe.Frequency)
	wedge := b.DistanceAt(0).Across
	near := max(b.NearField()+wedge, acoustics.NearFieldRectangular(g.Probe.Elevation, b.Width(), lambda))
	if away := b.DistanceAt(path).Across; away >= 1.5*near {
		return acoustics.EquivalentDisc(hole, lambda, away)
	}
	return si.Unknown[si.Length]()
}

// transfer states what the longer or shorter way to the bottom corner makes of
// its echo, part against block, so that what is left is the transfer.
func (s *sheet) transfer(id string, g *Group, block *schema.Block) {
	st := g.stand(g.Set.WedgeFront)
	middle := g.drawn(st)[1]
	b := st.beam(middle)
	there, here := acoustics.LegPath(block.Thickness, middle), acoustics.LegPath(s.Job.Part.Thickness, middle)
	gain := acoustics.WallGain(b.DistanceAt(there), b.DistanceAt(here))
	if !si.Known(gain) || math.IsInf(float64(gain), 0) {
		return
	}
	s.length(id+"corner_path_block", "s_b", "sound path to the bottom corner of the block, at the middle angle", there, how{
		formula: "s_b = T / cos α, T the block's thickness", inputs: []string{id + "middle_angle"}, source: "geometry"})
	s.length(id+"corner_path_part", "s_t", "sound path to the bottom corner of the part, at the middle angle", here, how{
		formula: "s_t = t / cos α", inputs: []string{"part.thickness", id + "middle_angle"}, source: "geometry"})
	s.gain(id+"transfer_distance", "G_d", "gain that the distance of the corner alone asks for, part against block", gain, how{
		formula: "G_d = 10 log₁₀(p_t r_t / (p_b r_b)), p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β",
		inputs:  []string{id + "corner_path_block", id + "corner_path_part", id + "wedge_path", id + "wedge_velocity", id + "middle_angle", id + "middle_wedge_angle"}, source: spreading})
}
