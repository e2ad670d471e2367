package technique

import (
	"fmt"
	"math"
	"slices"

	"soundwrit/internal/field"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Width is how wide a beam of a group is at a place of its path, and how far away
// the axis of the next beam is there.
type Width struct {
	ID    string // of its values: groups.<group>.widths.<end>.<n>
	Angle si.Angle
	Leg   int
	Depth si.Length // in the part
}

// beamField is said of what follows from the field of a beam.
const beamField = "own computation: sum over the aperture of the rays of its elements, continuous wave; held against Rayleigh's integral"

// beamWidths states how wide the beams of the first, the middle and the last angle
// are over the range, and how they overlap the next; of focused beams also where
// they really are highest, and from where to where.
func (s *sheet) beamWidths(id string, g *Group, st stand) {
	if s.sketch {
		return
	}
	model := field.New(s.media(g))
	right := s.farthest(g)
	_, _, thickness := g.under()
	ends := LossEnds()
	least := si.Unknown[si.Ratio]()
	var leastAt string
	for i, angle := range []si.Angle{g.Angles.From, g.drawn(st)[1], g.Angles.To} {
		used := s.beamDepth(g, st, angle, right)
		at := id + "widths." + ends[i] + "."
		s.angle(at+"angle", "α_n", "angle for which widths are stated", angle, how{of: "ray of " + deg(angle, si.Nearest),
			formula: "α_1, α or α_2", inputs: []string{id + "angle_from", id + "middle_angle", id + "angle_to"}, source: "own choice"})
		if limit := st.focusLimit(angle); si.Known(limit) {
			s.length(at+"focus_limit", "N_f", "sound path up to which the beam can be focused; beyond it, it only spreads", limit, g.limitFormula(id))
		}
		beams := map[int]*field.Beam{}
		for _, leg := range g.Set.Legs {
			beams[leg] = model.Sources(st.sources(), ray.Waves(s.wave(g), leg)...).Beam(angle, g.focus(st, angle))
		}
		s.depthOfField(at, id, g, beams, s.beamPath(g, st, angle, right))
		n := 0
		for _, leg := range slices.Sorted(slices.Values(g.Set.Legs)) {
			for _, share := range []si.Length{1. / 3, 2. / 3, 1} {
				unfolded := (si.Length(leg-1) + share) * g.Part.Thickness()
				if unfolded > used*(1+1e-9) {
					continue
				}
				depth := folded(leg, share) * g.Part.Thickness()
				path := st.over(leg).Leave(st.centre(), angle).Path(leg, depth)
				width := beams[leg].Width(path)
				if !si.Known(width) {
					continue
				}
				n++
				w := Width{ID: fmt.Sprintf("%s%d.", at, n), Angle: angle, Leg: leg, Depth: depth}
				g.Widths = append(g.Widths, w)
				of := fmt.Sprintf("beam of %s at a depth of %s on leg %d", deg(angle, si.Nearest), s.mm(w.Depth, si.Nearest), leg)
				s.length(w.ID+"path", "s", "sound path", path, how{of: of, formula: g.pathFormula(), inputs: []string{thickness}, source: "geometry"})
				s.length(w.ID+"width", "b", "width of the beam between its echo −6 dB edges, square to its axis", width, how{of: of,
					formula: "|F(x)|² = ½ |F|²_max across the axis", inputs: []string{id + "wavelength", id + "aperture"}, side: si.Down, source: beamField})
				apart := g.apart(st, angle, leg, depth)
				if !si.Known(apart) {
					continue
				}
				s.length(w.ID+"apart", "e", "distance to the axis of the next beam", apart, how{of: of,
					formula: "e = distance of the point of the axis from the axis of the next beam, the larger of both sides", inputs: []string{id + "wedge_velocity"}, side: si.Up, source: "geometry and " + snell})
				overlap := si.Ratio(1 - apart/width)
				s.share(w.ID+"overlap", "o_b", "overlap of the width by that of the next beam", overlap, how{of: of,
					formula: "o_b = 1 − e / b", inputs: []string{w.ID + "width", w.ID + "apart"}, side: si.Down, source: "definition"})
				if !(overlap >= least) {
					least, leastAt = overlap, w.ID+"overlap"
				}
			}
		}
	}
	if si.Known(least) {
		s.share(id+"width_overlap", "o_m", "overlap of neighbouring beams by their computed widths, the least of those stated", least, how{
			formula: "smallest o_b", inputs: []string{leastAt}, side: si.Down, source: "definition"})
	}
}

// depthOfField states where a focused beam is highest, and how wide there.
func (s *sheet) depthOfField(at, id string, g *Group, beams map[int]*field.Beam, used si.Length) {
	if !s.focused(g) || !(used > 0) {
		return
	}
	shortest := slices.Sorted(slices.Values(g.Set.Legs))[0]
	b := beams[shortest]
	from, highest, to := b.Depth(used)
	if !si.Known(highest) {
		return
	}
	h := how{formula: "largest |F|² √r on the axis, r = s + L_w c_w / c, up to the path used", inputs: []string{id + "wavelength", id + "aperture"}, source: beamField}
	s.length(at+"focus_at", "s_F", "sound path at which the echo of a hole is highest", highest, h)
	if width := b.Width(highest); si.Known(width) {
		h.formula = "|F(x)|² = ½ |F|²_max across the axis"
		s.length(at+"focus_width", "b_F", "width of the beam there, between its echo −6 dB edges", width, h)
	}
	h.formula = "|F|² √r = ½ of the highest"
	if from > 0 {
		h.side = si.Up
		s.length(at+"focus_from", "s_F1", "sound path from which that echo is within 6 dB of the highest", from, h)
	}
	if !math.IsInf(float64(to), 1) {
		h.side = si.Down
		s.length(at+"focus_to", "s_F2", "sound path up to which that echo is within 6 dB of the highest", to, h)
	}
}

// folded is the depth, as a share of the thickness, of a place that a leg has
// reached after a share of its own way.
func folded(leg int, share si.Length) si.Length {
	if leg%2 == 0 {
		return 1 - share
	}
	return share
}

// apart is how far from a point of a beam's axis that of the next beam passes,
// the farther of two; of a stepped aperture, that of the next aperture.
func (g *Group) apart(st stand, angle si.Angle, leg int, depth si.Length) si.Length {
	if g.Set.Method == "linear" {
		list := g.apertures(st.front)
		if len(list) < 2 {
			return si.Unknown[si.Length]()
		}
		return axisApart(list[0], angle, list[1], angle, leg, depth)
	}
	most := si.Unknown[si.Length]()
	for _, other := range []si.Angle{angle - g.Angles.Step, angle + g.Angles.Step} {
		if !(other >= g.Angles.From-1e-9 && other <= g.Angles.To+1e-9) {
			continue
		}
		if d := axisApart(st, angle, st, other, leg, depth); !(d <= most) {
			most = d
		}
	}
	return most
}

// pathFormula says how a sound path follows from a depth.
func (g *Group) pathFormula() string {
	switch {
	case g.Part.Radius != 0:
		return "s = sum of the straight pieces between the circles"
	case len(g.Part.Strata) > 1:
		return "s = Σ Δz / cos α_j over the metals crossed, sin α_j / c_j the same in all"
	}
	return "s = d / cos α_n, d the unfolded depth"
}
