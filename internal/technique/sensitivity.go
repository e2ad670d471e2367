package technique

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/field"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// spreading is the law by which the gains of the curve are expected.
const spreading = "spreading in both planes of a flat source far away, the wedge counted in; own derivation, checked by integration and by rays"

// gains states, for every group, by how much the time-corrected gain is expected
// to rise from its first reflector, and what the path to a corner of the block
// differs from that in the part. Beams without a focus follow the law of spreading
// in a block of one flat metal; else the field is added up.
func (s *sheet) gains() {
	block := s.block()
	if block == nil {
		return
	}
	most, all := si.Decibel(0), len(s.Groups) > 0 && len(s.Curve) > 0
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Pair != nil || g.Single != nil && g.Set.Reflector != "side-drilled-hole" || g.Set.Method == "straight-beam" {
			continue // set by its lateral wave, or by another reflector
		}
		if g.Single != nil {
			rise, ok := s.Value("groups." + g.Set.Name + ".gain_span")
			all = all && ok
			most = max(most, si.Decibel(rise.Q.SI))
			continue
		}
		part, known := s.blockPart(g, block)
		if len(g.Placements) == 0 || !known {
			all = false
			continue
		}
		id := "groups." + g.Set.Name + "."
		rise := s.curveGains(id, g, block, part)
		if g.Set.Method != "tfm" && g.far() {
			s.transfer(id, g, block)
		}
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

// levels is how high the echo of a reflector of the curve is, of one angle of a
// group, in dB that mean something against each other only. Its law says how.
type levels struct {
	at     func(CurvePoint) si.Decibel
	law    string // of the gain
	source string
	inputs []string
}

// blockPart is the block as a group's sound crosses it: clad and curved as the
// part is, unless the job says how it is curved. Around a pipe it must.
func (s *sheet) blockPart(g *Group, block *schema.Block) (part ray.Part, known bool) {
	part = g.Part
	part.Strata = slices.Clone(part.Strata)
	part.Strata[part.Base].Thickness += block.Thickness - part.Thickness()
	if part.Radius != 0 {
		part.Radius = si.Length(math.Copysign(float64(block.Diameter/2), float64(part.Radius)))
	}
	return part, si.Known(part.Radius) && part.Strata[part.Base].Thickness > 0
}

// on is the stand of a group on a block: its wedge is shaped to the block as to
// the part.
func (g *Group) on(part ray.Part) stand {
	st := g.stand(g.Set.WedgeFront)
	st.course.Part, st.course.Coating = part, ray.Layer{}
	return st
}

// far reports whether the law of a flat source far away holds of the beams of a
// group: without a focus, in one flat metal.
func (g *Group) far() bool {
	return g.homogeneous() && g.Set.Focus.Kind != "depth" && g.Set.Focus.Kind != "path"
}

// levels are those of the group at an angle, or of its image.
func (s *sheet) levels(id string, g *Group, part ray.Part, angle si.Angle) levels {
	st := g.on(part)
	l := levels{inputs: []string{id + "wedge_path", id + "wedge_velocity", id + "middle_angle", id + "middle_wedge_angle"}}
	media := s.media(g)
	media.Part, media.Coating, media.Touch = part, ray.Layer{}, st.level()
	switch model := field.New(media); {
	case g.Set.Method == "tfm":
		im := g.image(model, st)
		l.at = func(p CurvePoint) si.Decibel { return im.Level(p.Depth) }
		l.law, l.source = "G = E_1 − E, E = 20 log₁₀ (Σ_t Σ_r a_t a_r √(r_t r_r / (r_t + r_r))) where it is highest at the depth within region and angles, r = s + L_w c_w / c", predicted
		l.inputs = []string{id + "wavelength", id + "element", id + "wedge_velocity"}
	case !g.far():
		beams := map[int]*field.Beam{}
		l.at = func(p CurvePoint) si.Decibel {
			b, ok := beams[p.Leg]
			if !ok {
				b = model.Sources(st.sources(), ray.Waves(s.wave(g), p.Leg)...).Beam(angle, g.focus(st, angle))
				beams[p.Leg] = b
			}
			return b.Level(st.pathAt(angle, p.Unfolded))
		}
		l.law, l.source = "G = E_1 − E, E = 20 log₁₀ (|F|² √r), F the field on the axis, r = s + L_w c_w / c", predicted
		l.inputs = []string{id + "wavelength", id + "aperture", id + "wedge_velocity", id + "middle_angle"}
	default:
		l.law, l.source = "G = 20 log₁₀(p / p_1) + 10 log₁₀(r / r_1)", spreading
		if _, attenuated := s.attenuation(g); attenuated {
			l.law += " + 2 a (f / f_a) (s − s_1)"
			l.inputs = append(l.inputs, id+"frequency")
			l.source += "; attenuation of the part, in proportion to the frequency"
		}
		l.law += ", p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β"
		l.at = func(p CurvePoint) si.Decibel { return -s.rise(g, st, angle, s.Curve[0].Unfolded, p.Unfolded) }
	}
	if len(part.Strata) > 1 {
		l.law, l.source = strings.Replace(l.law, "r = s + L_w c_w / c", "r = Σ L_j c_j / c over wedge and metals", 1), l.source+"; the block is taken to be clad as the part is"
	}
	return l
}

// curveGains states the gain of each reflector of the curve that a group uses,
// at the middle angle, and returns the largest difference of gains over the
// angles; unknown where it has no reflector.
func (s *sheet) curveGains(id string, g *Group, block *schema.Block, part ray.Part) si.Decibel {
	legs, image := g.Set.Legs, g.Set.Method == "tfm"
	if image {
		out, _ := g.pathLegs()
		legs = []int{out}
	}
	var used []int
	for i, p := range s.Curve {
		if slices.Contains(legs, p.Leg) {
			used = append(used, i)
		}
	}
	if len(used) == 0 {
		return si.Unknown[si.Decibel]()
	}
	st := g.on(part)
	middle := g.drawn(st)[1]
	l := s.levels(id, g, part, middle)
	first := si.Unknown[si.Decibel]()
	from := -1
	for _, i := range used {
		p := s.Curve[i]
		level := l.at(p)
		if !si.Known(level) || math.IsInf(float64(level), 0) {
			continue // where an image does not look
		}
		at := id + CurveID(i)
		of := s.reflector(p)
		symbol := "s"
		if from < 0 {
			symbol = "s_1"
		}
		s.length(at+"path", symbol, "sound path of the reflector at the middle angle", g.blockPath(p, part, middle), how{of: of,
			formula: g.blockFormula(symbol), inputs: []string{fmt.Sprintf("reference.curve.%d", i+1), id + "middle_angle"}, source: "geometry"})
		if from < 0 {
			from, first = i, level
		} else {
			s.gain(at+"gain", "G", "expected gain over the first reflector", first-level, how{of: of,
				formula: l.law, inputs: append([]string{at + "path", id + CurveID(from) + "path"}, l.inputs...), source: l.source})
		}
		if image || !g.far() {
			continue
		}
		if disc := equivalentDisc(g, st.beam(middle), block.HoleDiameter, p.Unfolded/si.Length(middle.Cos())); si.Known(disc) {
			s.length(at+"disc", "D_e", "disc, square to the beam, that is worth the hole", disc, how{of: of,
				formula: "D_e = √((√2 / π) λ √(d r)), d the hole's diameter, r = s + L_w c_w / c, for d ≥ 1.5 λ and r ≥ 1.5 near fields",
				inputs:  []string{at + "path", id + "wedge_path", id + "wedge_velocity", id + "wavelength"},
				source:  "far-field laws of distance, gain and size; form of EN ISO 16811 (from memory)"})
		}
	}
	most := s.span(id, g, part, used, middle)
	if !si.Known(most) {
		return most
	}
	name, formula := "over the first, the middle and the last angle", "largest difference of G between any two reflectors, at any of the three angles"
	if image {
		name, formula = "of the image", "largest difference of G between any two reflectors"
	}
	s.gain(id+"gain_span", "G_u", "largest expected rise of the time-corrected gain, "+name, most, how{
		formula: formula, side: si.Up, source: l.source})
	return most
}

// span is the largest difference of gains between reflectors, at any of three
// angles.
func (s *sheet) span(id string, g *Group, part ray.Part, used []int, middle si.Angle) si.Decibel {
	angles := []si.Angle{g.Angles.From, middle, g.Angles.To}
	if g.Set.Method == "tfm" {
		angles = angles[:1]
	}
	most := si.Unknown[si.Decibel]()
	for _, angle := range angles {
		l := s.levels(id, g, part, angle)
		least, highest := si.Decibel(math.Inf(1)), si.Decibel(math.Inf(-1))
		for _, i := range used {
			if level := l.at(s.Curve[i]); si.Known(level) && !math.IsInf(float64(level), 0) {
				least, highest = min(least, level), max(highest, level)
			}
		}
		if least > highest {
			return si.Unknown[si.Decibel]()
		}
		most = larger(most, highest-least)
	}
	return most
}

// blockPath is the sound path in the block to a reflector, the mean of out and
// back.
func (g *Group) blockPath(p CurvePoint, part ray.Part, angle si.Angle) si.Length {
	out, back := g.straight(p.Leg), g.straight(p.Leg)
	heard := angle
	if g.Set.Method == "tfm" {
		out, back = g.ways()
		if g.converts() {
			heard = middleOf(g.Heard)
		}
	}
	path := func(c *ray.Course, angle si.Angle) si.Length {
		c.Part, c.Coating = part, ray.Layer{}
		return c.Leave(ray.Element{}, angle).Path(len(c.Legs), p.Depth)
	}
	return (path(&out, angle) + path(&back, heard)) / 2
}

// blockFormula says how that follows from the depth.
func (g *Group) blockFormula(symbol string) string {
	formula := symbol + strings.TrimPrefix(g.pathFormula(), "s")
	if g.homogeneous() {
		formula = symbol + " = d / cos α"
	}
	if g.Set.Method == "tfm" {
		formula += ", the mean of out and back, each leg at its own angle"
	}
	return formula
}

// reflector says which reflector of the curve it is.
func (s *sheet) reflector(p CurvePoint) string {
	return fmt.Sprintf("at %s, leg %d", s.mm(p.Depth, si.Nearest), p.Leg)
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
	there, here := acoustics.LegPath(block.Thickness, middle), acoustics.LegPath(g.Part.Thickness(), middle)
	_, symbol, thickness := g.under()
	gain := acoustics.WallGain(b.DistanceAt(there), b.DistanceAt(here))
	if !si.Known(gain) || math.IsInf(float64(gain), 0) {
		return
	}
	s.length(id+"corner_path_block", "s_b", "sound path to the bottom corner of the block, at the middle angle", there, how{
		formula: "s_b = T / cos α, T the block's thickness", inputs: []string{id + "middle_angle"}, source: "geometry"})
	s.length(id+"corner_path_part", "s_t", "sound path to the bottom corner of the part, at the middle angle", here, how{
		formula: "s_t = " + symbol + " / cos α", inputs: []string{thickness, id + "middle_angle"}, source: "geometry"})
	s.gain(id+"transfer_distance", "G_d", "gain that the distance of the corner alone asks for, part against block", gain, how{
		formula: "G_d = 10 log₁₀(p_t r_t / (p_b r_b)), p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β",
		inputs:  []string{id + "corner_path_block", id + "corner_path_part", id + "wedge_path", id + "wedge_velocity", id + "middle_angle", id + "middle_wedge_angle"}, source: spreading})
}
