package render

import (
	"fmt"
	"math"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// singleOutline is the wedge of a single-element probe: contact face to scale,
// height chosen for the drawing, the front chamfered.
func singleOutline(front, back xy, below bool) []xy {
	up, long := -1.0, math.Abs(front.x-back.x)
	if below {
		up = 1
	}
	high, slope := up*0.45*long, (back.x-front.x)*0.25
	return []xy{back, {back.x, back.y + high}, {front.x + slope, front.y + high}, {front.x, front.y + high/2}, front}
}

// pairSection draws the joint with the two probes of a pair, their beams, and
// what the pair does not cover.
func (a artist) pairSection(g *technique.Group) (Figure, bool) {
	if len(g.Placements) < 2 {
		return Figure{}, false
	}
	hides := "edges and axis of each beam; what lateral wave and back-wall echo hide counts as not reached"
	shown := "Section across the weld with the two probes of group %s, their beams, the lateral wave and the back-wall echo, and the volume to be examined; %s."
	if g.InBore() {
		shown = "Section across the weld with the two probes of group %s, their beams, the first wave and the back-wall echo, and the volume to be examined; %s."
		hides = "edges and axis of each beam; what bore, first wave and back-wall echo hide counts as not reached"
	}
	drawing, scaleName := fitted(5, func(s scale) *draft {
		d := a.section(s, g.Placements, len(g.Placements))
		d.missed(g.Coverage)
		d.joint()
		zone := d.zone(g)
		for i := range g.Placements {
			d.wedge(&g.Placements[i], true)
		}
		d.pairBeams(g)
		d.centreline(g.Placements)
		d.separation(g)
		d.belowPart()
		d.sides()
		d.titles([]string{
			fmt.Sprintf("Group %s: time-of-flight diffraction, two probes %s, longitudinal waves, %s", g.Set.Name, g.Set.Pair, degrees(g.Pair.Probe.Angle)),
			hides,
		})
		entries := []entry{volumeEntry(), missedEntry(missedText(g.Coverage, "by this pair"))}
		if zone {
			entries = append(entries, entry{fmt.Sprintf("depth zone, %s to %s", a.length(g.Set.DepthZone.From), a.length(g.Set.DepthZone.To)), phantom(), white(), false})
		}
		d.legend(entries, s.text)
		return d.draft
	})
	name := g.Set.Name
	return Figure{
		Name:    "section-" + name,
		Caption: fmt.Sprintf("Group %s, section across the weld with its pair of probes, scale %s", name, scaleName),
		Alt:     fmt.Sprintf(shown, name, missedText(g.Coverage, "by this pair")),
		Drawing: drawing,
	}, true
}

// zone draws the upper and the lower end of the depth zone, as far as they lie
// inside the part, and says whether one does.
func (d *sectionDraft) zone(g *technique.Group) (drawn bool) {
	for _, depth := range []si.Length{g.Set.DepthZone.From, g.Set.DepthZone.To} {
		y := d.view.length(depth)
		if g.Placements[0].Front.Z > 0 {
			y = d.bottom - y
		}
		if d.bent() {
			if g.InBore() {
				depth = d.Section.Thickness - depth
			}
			if depth > 0 && depth < d.Section.Thickness {
				d.line(phantom(), d.view.arc(d.along(d.left), d.along(d.right), depth)...)
				drawn = true
			}
			continue
		}
		if y > 1e-6 && y < d.bottom-1e-6 {
			d.line(phantom(), xy{d.left, y}, xy{d.right, y})
			drawn = true
		}
	}
	return drawn
}

// pairBeams draws the edges and axes of both beams, the crossing of the axes,
// and the ways of the lateral wave, or of the first along a bore, and the back-wall
// echo.
func (d *sectionDraft) pairBeams(g *technique.Group) {
	a, b := d.view.at(g.Placements[0].Exit), d.view.at(g.Placements[1].Exit)
	wall := d.bottom - a.y
	way, first := []xy{a, b}, "lateral wave"
	switch {
	case g.InBore():
		wall, first = 0, "first wave, along the bore"
		way = d.view.arc(g.Placements[0].Exit.X, g.Placements[1].Exit.X, d.Section.Thickness)
	case d.bent():
		wall = d.bottom
	}
	d.line(dashed(), a, xy{(a.x + b.x) / 2, wall}, b)
	lateral := dashed()
	lateral.width, lateral.colour = 0.6, accent()
	d.line(lateral, way...)
	for i := range g.Placements {
		for _, r := range g.Placements[i].Rays {
			points := d.view.line(r.Points)
			p := ray()
			if r.Edge {
				p.width = 0.18
			}
			d.line(p, points...)
			if i > 0 {
				continue
			}
			f := d.float(degrees(r.Angle), besideLine(points[0], points[len(points)-1], d.capital())...)
			f.colour = accent()
		}
	}
	for _, r := range g.Placements[0].Rays {
		if points := d.view.line(r.Points); !r.Edge && math.Abs(points[1].x) < 1e-6 {
			d.cross(points[1], 1.4)
			d.crossing(points[1], g.Pair.Crossing)
		}
	}
	d.float(first, besideLine(a, b, d.capital())...).colour = accent()
	d.float("back-wall echo", besideLine(xy{(a.x + b.x) / 2, wall}, b, d.capital())...)
}

// crossing says how deep the axes cross, beside the cross that marks it.
func (d *sectionDraft) crossing(at xy, depth si.Length) {
	var spots []spot
	for _, out := range []float64{6, 10, 15, 20, 26, 32, 40} {
		for _, down := range []float64{0, 3, -3, 6, -6} {
			foot := xy{at.x + out, at.y + down}
			spots = append(spots, spot{x: foot.x + 0.8, y: foot.y + d.capital()/2, anchor: alignLeft, line: []xy{foot, {at.x + 1.8, at.y}}})
		}
	}
	d.float("axes cross at "+d.length(depth), spots...)
}

// separation draws the distance between the exit points.
func (d *sectionDraft) separation(g *technique.Group) {
	a, b := d.view.at(g.Placements[0].Exit), d.view.at(g.Placements[1].Exit)
	y, words := d.above-4, "separation "+d.worked(g.Pair.Separation)
	if d.bent() {
		words += " along the surface"
	}
	d.horizontal(a.x, b.x, y, a.y, b.y, 1, words)
	d.above = y - 4
}
