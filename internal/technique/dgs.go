package technique

import (
	"fmt"
	"math"
	"slices"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// EchoStep is one line of the table by which a disc sets the sensitivity: the gain
// that brings the echo of the disc at a sound path to the height at which the
// echo of the reference, a back wall or a hole of the block, was set.
type EchoStep struct {
	Path si.Length
	Gain si.Decibel
}

// Chart is the echo of one reflector over sound path, against that of the
// reference, for the figure.
type Chart struct {
	Name   string
	Points []ChartPoint
}

// ChartPoint is one place of a chart.
type ChartPoint struct {
	Path si.Length
	Echo si.Decibel
}

const (
	rectangleLaws = "Fresnel's integrals of a rectangle there and back, both planes with their own distances; checked by summed waves"
	farLaws       = krautkramer + ", far-field laws of disc, hole and wall; both planes apart by own derivation"
	roundLaws     = "wall: P. H. Rogers and A. L. Van Buren, J. Acoust. Soc. Am. 55 (1974) 724 (from memory); disc: Fresnel's integral there and back; both checked by summed waves"
	// farFields is how many near fields away the far laws are taken to hold.
	farFields = 3
)

// singleGains states, for all groups with one element, how each is set and what is
// to be expected over distance.
func (s *sheet) singleGains() {
	block := s.block()
	for i := range s.Groups {
		g := &s.Groups[i]
		if g.Single == nil || len(g.Placements) == 0 {
			continue
		}
		id := "groups." + g.Set.Name + "."
		if g.Part.Radius != 0 && g.Set.Method == "angle-beam" {
			if g.Set.Reflector == "disc" {
				s.discSize(id, g)
			}
			continue // the laws of distance are those of flat parts
		}
		if block != nil && g.Set.Reflector == "side-drilled-hole" {
			s.holeCurve(id, g, block)
		}
		if block != nil && g.Set.Method == "angle-beam" {
			s.cornerGain(id, g, block)
		}
		if g.Single.Probe.Dual {
			continue // its two beams cross, and no law of one source holds
		}
		if g.Set.Reflector == "disc" {
			s.discSteps(id, g, block)
		}
		g.Single.Charted = s.charts(g, block)
	}
}

// holeCurve states the gain expected for each hole of the block that a group uses,
// over the first.
func (s *sheet) holeCurve(id string, g *Group, block *schema.Block) {
	if g.Set.Method == "straight-beam" || g.Single.Probe.Dual {
		return // a straight beam reads the holes of its block as they lie; two beams follow no such law
	}
	lambda, cos := acoustics.Wavelength(g.PartSpeed, g.Single.Probe.Frequency), si.Length(g.Single.Probe.Angle.Cos())
	loss, attenuated := s.singleLoss(g)
	formula := "G = 20 log₁₀(p / p_1) + 10 log₁₀(r / r_1)"
	if attenuated {
		formula += " + 2 a (f / f_a) (s − s_1)"
	}
	formula += ", p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β"
	inputs := []string{id + "wedge_path", id + "wedge_velocity", id + "nominal_angle", id + "wedge_axis"}
	first, most := -1, si.Decibel(0)
	for i, p := range s.Curve {
		if !slices.Contains(g.Set.Legs, p.Leg) {
			continue
		}
		at, of := id+CurveID(i), s.reflector(p)
		path := p.Unfolded / cos
		s.length(at+"path", "s", "sound path of the reflector", path, how{of: of,
			formula: "s = d / cos α", inputs: []string{fmt.Sprintf("reference.curve.%d", i+1), id + "nominal_angle"}, source: "geometry"})
		if first < 0 {
			first = i
		}
		start := s.Curve[first].Unfolded / cos
		gain := acoustics.HoleGain(g.distanceAt(start), g.distanceAt(path))
		if attenuated {
			gain += 2 * (loss(path) - loss(start))
		}
		if i != first && si.Known(gain) {
			most = max(most, gain)
			s.gain(at+"gain", "G", "expected gain over the first reflector", gain, how{of: of,
				formula: formula, inputs: append([]string{at + "path", id + CurveID(first) + "path"}, inputs...), source: spreading})
		}
		if d := g.distanceAt(path); g.isFar(d, 1.5) {
			if disc := acoustics.EquivalentDisc(block.HoleDiameter, lambda, d.Across); si.Known(disc) {
				s.length(at+"disc", "D_e", "disc, square to the beam, that is worth the hole", disc, how{of: of,
					formula: "D_e = √((√2 / π) λ √(d r)), d the hole's diameter, r = s + L_w c_w / c, for d ≥ 1.5 λ and r ≥ 1.5 near fields",
					inputs:  []string{at + "path", id + "wedge_path", id + "wedge_velocity", id + "wavelength"},
					source:  "far-field laws of distance, gain and size; form of EN ISO 16811 (from memory)"})
			}
		}
	}
	if first >= 0 {
		s.gain(id+"gain_span", "G_u", "largest expected rise of the gain over distance", most, how{formula: "largest G", side: si.Up, source: spreading})
	}
}

// cornerGain states what the distance alone makes of the echo of the bottom
// corner, part against block.
func (s *sheet) cornerGain(id string, g *Group, block *schema.Block) {
	angle := g.Single.Probe.Angle
	there, here := acoustics.LegPath(block.Thickness, angle), acoustics.LegPath(g.Part.Thickness(), angle)
	_, symbol, thickness := g.under()
	gain := acoustics.WallGain(g.distanceAt(there), g.distanceAt(here))
	if !si.Known(gain) || math.IsInf(float64(gain), 0) {
		return
	}
	s.length(id+"corner_path_block", "s_b", "sound path to the bottom corner of the block", there, how{
		formula: "s_b = T / cos α, T the block's thickness", inputs: []string{id + "nominal_angle"}, source: "geometry"})
	s.length(id+"corner_path_part", "s_t", "sound path to the bottom corner of the part", here, how{
		formula: "s_t = " + symbol + " / cos α", inputs: []string{thickness, id + "nominal_angle"}, source: "geometry"})
	s.gain(id+"transfer_distance", "G_d", "gain that the distance of the corner alone asks for, part against block", gain, how{
		formula: "G_d = 10 log₁₀(p_t r_t / (p_b r_b)), p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β",
		inputs:  []string{id + "corner_path_block", id + "corner_path_part", id + "wedge_path", id + "wedge_velocity", id + "nominal_angle", id + "wedge_axis"}, source: spreading})
}

// isFar reports whether a place is so many near fields away, in both planes.
func (g *Group) isFar(at acoustics.Distance, fields si.Length) bool {
	near := g.nearFields()
	return at.Plane >= fields*near.Plane*(1-1e-9) && at.Across >= fields*near.Across*(1-1e-9)
}

// echo is the height of a reflector's echo at a sound path in the part, against a
// wall that touches the element, as far as a law holds for it: for walls and discs
// before a round straight probe and for all before a rectangle from one near field
// on, from three for the rest.
func (g *Group) echo(of acoustics.Reflector, path si.Length) si.Decibel {
	o := g.Single
	lambda, at := acoustics.Wavelength(g.PartSpeed, o.Probe.Frequency), g.distanceAt(path)
	plane, across := o.element()
	if g.Set.Method == "angle-beam" {
		plane = g.singleBeam().Width()
	}
	switch {
	case !o.round():
		return acoustics.RectangularEcho(of, plane, across, at, lambda)
	case g.roundLaws() && of.Kind != acoustics.Hole:
		return acoustics.RoundEcho(of, o.Probe.Diameter, at.Plane, lambda)
	case !g.isFar(at, farFields):
		return si.Unknown[si.Decibel]()
	}
	area := math.Pi / 4 * float64(plane) * float64(across)
	return acoustics.FarEcho(of, at, lambda) + si.Decibel(20*math.Log10(area/float64(lambda)))
}

// roundLaws reports whether the laws for a round source hold from its near field on:
// of a straight beam, whose two planes are alike.
func (g *Group) roundLaws() bool { return g.Set.Method == "straight-beam" && g.Single.round() }

// singleLoss is what the group's wave loses on a path in the part, one way.
func (s *sheet) singleLoss(g *Group) (loss func(si.Length) si.Decibel, ok bool) {
	a, at := s.partAttenuation(g), s.Job.Part.Material.AttenuationAt
	loss = func(path si.Length) si.Decibel {
		return acoustics.AttenuationLoss(a, at, g.Single.Probe.Frequency, path)
	}
	return loss, si.Known(loss(0))
}

// discReference is what the sensitivity of a group set by a disc is set on: the
// back wall of the part for a straight beam, and for an angled one the deepest
// hole of the block on the direct leg that lies in the far field.
func (s *sheet) discReference(g *Group, block *schema.Block) (of acoustics.Reflector, path si.Length, name string, ok bool) {
	if g.Set.Method == "straight-beam" {
		t, _, _ := g.under()
		of = acoustics.Reflector{Kind: acoustics.Wall}
		name = "the back wall of the part"
		if g.Set.OnFlange() {
			name = "the inner face of the flange, beside the fillets"
		}
		return of, t, name, si.Known(g.echo(of, t))
	}
	if block == nil {
		return of, 0, "", false
	}
	of = acoustics.Reflector{Kind: acoustics.Hole, Diameter: block.HoleDiameter}
	for _, depth := range block.HoleDepths {
		if at := depth / si.Length(g.Single.Probe.Angle.Cos()); si.Known(g.echo(of, at)) && at > path {
			path, ok = at, true
			name = fmt.Sprintf("the hole at %s in the block", s.mm(depth, si.Nearest))
		}
	}
	return of, path, name, ok
}

// discSteps states the gain from the reference to the disc, over the sound paths
// used, as far as a law holds.
func (s *sheet) discSteps(id string, g *Group, block *schema.Block) {
	s.discSize(id, g)
	of, path, name, ok := s.discReference(g, block)
	if !ok {
		return
	}
	s.length(id+"dgs.reference_path", "s_r", "sound path of the reference reflector, "+name, path, how{formula: "d / cos α; of a straight beam the thickness", source: "geometry"})
	wall := si.Decibel(0)
	if part := &s.Job.Part; of.Kind == acoustics.Wall && part.Kind == "pipe" {
		wall = acoustics.CurvedWall(part.OutsideDiameter, part.Thickness, g.Set.Surface == "bottom")
		s.gain(id+"dgs.wall", "Δ_w", "back-wall echo of the curved wall against that of a flat one", wall, how{
			formula: "Δ_w = 10 log₁₀(r / R), r the radius of the wall that reflects, R that under the probe", inputs: []string{"part.outside_diameter", "part.thickness"}, source: "geometry of rays in a curved mirror, checked by tracing them"})
	}
	disc := acoustics.Reflector{Kind: acoustics.Disc, Diameter: g.Set.Disc}
	loss, attenuated := s.singleLoss(g)
	formula, source, inputs := s.discFormula(id, g, of)
	if wall != 0 {
		formula, inputs = formula+" + Δ_w", append(inputs, id+"dgs.wall")
	}
	if attenuated {
		formula += " + 2 a (f / f_a) (s − s_r)"
	}
	longest := g.Deepest
	if g.Set.Method == "angle-beam" {
		longest /= si.Length(g.Single.Probe.Angle.Cos())
	}
	const steps = 8
	n := 0
	for i := range steps {
		at := longest * si.Length(i+1) / steps
		gain := g.echo(of, path) + wall - g.echo(disc, at)
		if attenuated {
			gain += 2 * (loss(at) - loss(path))
		}
		if !si.Known(gain) {
			continue
		}
		n++
		g.Single.Steps = append(g.Single.Steps, EchoStep{Path: at, Gain: gain})
		step := fmt.Sprintf("%sdgs.%d.", id, n)
		where := "at a sound path of " + s.mm(at, si.Nearest)
		s.length(step+"path", "s", "sound path", at, how{of: where, formula: "eighths of the longest path used", source: "own choice"})
		s.gain(step+"gain", "G", "gain from the reference to the disc", gain, how{of: where,
			formula: formula, inputs: append([]string{step + "path"}, inputs...), side: si.Up, source: source})
	}
	if n > 0 {
		first := g.Single.Steps[0].Path
		s.share(id+"range_share", "k_s", "share of the sound paths used over which the gain to the disc is known", si.Ratio((longest-first)/longest), how{
			formula: "k_s = 1 − first path of the table / longest", side: si.Down, source: "definition: nearer than one near field, or three for a round element on a wedge, no law is stated"})
	}
}

func (s *sheet) discSize(id string, g *Group) {
	s.length(id+"disc", "D_f", "disc, square to the beam, that sets the sensitivity", g.Set.Disc, given())
}

// discFormula is the law by which the gain to a disc is worked out.
func (s *sheet) discFormula(id string, g *Group, of acoustics.Reflector) (formula, source string, inputs []string) {
	o := g.Single
	planeID, acrossID := o.elementIDs(id)
	inputs = []string{id + "dgs.reference_path", id + "disc", id + "wavelength", planeID}
	if acrossID != planeID {
		inputs = append(inputs, acrossID)
	}
	if si.Known(o.Probe.Delay) {
		inputs = append(inputs, id+"wedge_path", id+"wedge_velocity")
	}
	source = rectangleLaws
	switch {
	case g.roundLaws():
		source = roundLaws
	case o.round():
		source = farLaws
	}
	if of.Kind == acoustics.Wall {
		return "G = H_wall(s_r) − H_disc(s); far away 20 log₁₀(2 λ x² / (π D_f² x_r)), x = s and L_w c_w / c", source, inputs
	}
	return "G = H_hole(s_r) − H_disc(s); far away 20 log₁₀(2 λ p r √(d / 2) / (π D_f² p_r √r_r)), p = s + q² L_w c_w / c, r = s + L_w c_w / c, q = cos α / cos β, d the hole's diameter",
		source, append(inputs, id+"nominal_angle", id+"wedge_axis")
}

// charts are the echoes of a wall, discs and the hole of the block over sound path,
// against the wall at the longest path used.
func (s *sheet) charts(g *Group, block *schema.Block) []Chart {
	longest := g.Deepest
	if g.Set.Method == "angle-beam" {
		longest /= si.Length(g.Single.Probe.Angle.Cos())
	}
	zero := g.echo(acoustics.Reflector{Kind: acoustics.Wall}, longest)
	if !si.Known(zero) {
		return nil
	}
	// A thin part ends before the laws have shown their form.
	near := g.nearFields()
	end := max(longest, 4*max(near.Plane, near.Across))
	type drawn struct {
		name string
		of   acoustics.Reflector
	}
	list := []drawn{{"wall", acoustics.Reflector{Kind: acoustics.Wall}}}
	if block != nil && block.HoleDiameter > 0 {
		list = append(list, drawn{"hole, " + s.mm(block.HoleDiameter, si.Nearest), acoustics.Reflector{Kind: acoustics.Hole, Diameter: block.HoleDiameter}})
	}
	discs := []si.Length{1 * si.Millimetre, 2 * si.Millimetre, 4 * si.Millimetre}
	if d := g.Set.Disc; g.Set.Reflector == "disc" && d > 0 {
		discs = []si.Length{d / 2, d, 2 * d}
	}
	for _, d := range discs {
		list = append(list, drawn{"disc, " + s.mm(d, si.Nearest), acoustics.Reflector{Kind: acoustics.Disc, Diameter: d}})
	}
	var all []Chart
	for _, one := range list {
		c := Chart{Name: one.name}
		const steps = 60
		for i := range steps + 1 {
			at := end * si.Length(i) / steps
			if e := g.echo(one.of, at) - zero; si.Known(e) && !math.IsInf(float64(e), 0) {
				c.Points = append(c.Points, ChartPoint{at, e})
			}
		}
		if len(c.Points) > 1 {
			all = append(all, c)
		}
	}
	return all
}
