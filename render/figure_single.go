package render

import (
	"fmt"
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// uprightOutline is a straight probe: its face to scale, height chosen for the
// drawing.
func uprightOutline(front, back xy, below bool) []xy {
	high := -1.2 * math.Abs(front.x-back.x)
	if below {
		high = -high
	}
	return []xy{back, {back.x, back.y + high}, {front.x, front.y + high}, front}
}

// farthest is a placement at the farthest place of its strokes.
func farthest(p technique.Placement) technique.Placement {
	p.Front, p.Back = p.Far[0], p.Far[1]
	return p
}

// stated is a placement whose front is where its distance is told from: of a
// straight probe, its middle.
func stated(p technique.Placement) technique.Placement {
	if p.Upright {
		p.Front.X, p.Front.Z = (p.Front.X+p.Back.X)/2, (p.Front.Z+p.Back.Z)/2
	}
	return p
}

// places are the placements whose distances from the centreline a figure states:
// those of the wedge fronts, or of a straight probe's middle, near and far.
func places(all []technique.Placement) []technique.Placement {
	var list []technique.Placement
	add := func(p technique.Placement) {
		p.Far = nil
		list = append(list, stated(p))
	}
	for _, p := range all {
		add(p)
		if len(p.Far) == 2 {
			add(farthest(p))
		}
	}
	return list
}

// singleSection draws the joint with one single-element probe: in full from its
// first side at the nearest place, in outline at the farthest.
func (a artist) singleSection(g *technique.Group) (Figure, bool) {
	first := &g.Placements[0]
	shown := []technique.Placement{*first}
	if len(first.Far) == 2 {
		shown = append(shown, farthest(*first))
	}
	whole := len(shown)
	shown = append(shown, g.Placements[1:]...)
	straight := g.Set.Method == "straight-beam"
	drawing, scaleName := fitted(5, func(s scale) *draft {
		d := a.section(s, shown, whole)
		d.left, d.right = d.left-4, d.right+4
		d.lowest()
		if !straight || g.Set.Target == "weld" {
			d.missed(g.Coverage)
		} else {
			d.area(noPen(), white(), d.part()...)
			d.area(noPen(), tint(), d.view.outline(d.Section.Volume)...)
			d.strip(g, first)
		}
		d.joint()
		for i := len(shown) - 1; i >= 0; i-- {
			d.wedge(&shown[i], i == 0)
		}
		if straight {
			d.cone(g, first)
		} else {
			d.singleRays(first)
		}
		d.centreline(places(g.Placements[:1]))
		d.belowPart()
		d.sides()
		d.titles(a.describeSingle(g, first))
		entries := []entry{volumeEntry(), missedEntry(missedText(g.Coverage, "by this group from any side"))}
		if straight && g.Set.Target == "parent" {
			entries = entries[:1]
		}
		d.legend(entries, s.text)
		return d.draft
	})
	name, what := g.Set.Name, missedText(g.Coverage, "by this group")
	if g.Set.Target == "parent" {
		what = "the parent metal under its strokes is shown from " + a.depth(g.Single.Dead, si.Up) + " to " + a.depth(g.Single.Reaches, si.Down)
	}
	return Figure{
		Name:    "section-" + name,
		Caption: fmt.Sprintf("Group %s from %s, section across the weld, scale %s", name, sideOf(first), scaleName),
		Alt:     fmt.Sprintf("Section across the weld with the single-element probe of group %s on %s, the edges of its beam and the volume to be examined; %s.", name, sideOf(first), what),
		Drawing: drawing,
	}, true
}

// depth prints the end of what is shown, rounded to its safe side.
func (a artist) depth(x si.Length, side si.Side) string {
	return a.inUnits(si.Round(float64(x/si.Millimetre), 1, side)+" mm", si.Round(float64(x/si.Inch), 3, side)+" in")
}

// through says how deep a straight beam on a flange shows the web.
func (a artist) through(g *technique.Group) string {
	if !g.Set.OnFlange() {
		return ""
	}
	return ", over the web to " + a.depth(g.Single.Through, si.Down)
}

// describeSingle says in words what the group does.
func (a artist) describeSingle(g *technique.Group, p *technique.Placement) []string {
	o := g.Single
	what := fmt.Sprintf("Group %s: %s beam of one element, probe %s, drawn from %s", g.Set.Name, map[bool]string{true: "straight", false: degrees(o.Probe.Angle)}[p.Upright], o.Probe.Name, sideOf(p))
	var how string
	switch {
	case p.Upright:
		drawn := "edges of the beam at echo −6 dB beyond its near field"
		if !si.Known(o.NearField) {
			drawn = "axis of the beam"
		}
		how = fmt.Sprintf("%s; shown: %s to %s deep%s; hatched: not shown", drawn, a.depth(o.Dead, si.Up), a.depth(o.Reaches, si.Down), a.through(g))
	case o.Raster:
		how = "axis at the nearest and the farthest place of a stroke, and the edges of the beam at echo −6 dB at the nearest"
	default:
		how = "axis and edges of the beam at echo −6 dB"
	}
	return []string{what, how}
}

// singleRays draws the axes with arrows, and the edges of the beam in thin lines.
func (d *sectionDraft) singleRays(p *technique.Placement) {
	for _, r := range p.Rays {
		points, whole := d.shownRay(r)
		if len(points) < 2 {
			continue
		}
		line := ray()
		if r.Edge {
			line.width, line.dash = 0.18, []float64{2, 0.8}
		}
		d.line(line, points...)
		if whole && !r.Edge {
			d.arrow(accent(), points[len(points)-2], points[len(points)-1])
		}
	}
	if len(p.Rays) == 0 {
		return
	}
	axis, _ := d.shownRay(p.Rays[0])
	d.float(degrees(p.Rays[0].Angle), besideLine(axis[0], axis[1], d.capital())...).colour = accent()
}

// strip hatches the depths under the strokes that a straight beam does not show.
func (d *sectionDraft) strip(g *technique.Group, p *technique.Placement) {
	from, to := p.Front.X, p.Back.X
	if len(p.Far) == 2 {
		to = p.Far[1].X
	}
	band := func(above, below si.Length) {
		if p.Front.Z > 0 { // from the bottom
			above, below = d.Section.Thickness-below, d.Section.Thickness-above
		}
		if d.view.length(below-above) < 1e-6 {
			return
		}
		piece := d.view.outline(geometry.Polygon{{X: from, Z: above}, {X: to, Z: above}, {X: to, Z: below}, {X: from, Z: below}})
		d.area(noPen(), solid(missedTint()), piece...)
		d.hatch(hatching(), 1.1, piece)
	}
	band(0, g.Single.Dead)
	band(g.Single.Reaches, d.Section.Thickness)
}

// cone draws the axis of a straight beam and its edges: as wide as the element in
// the near field, and spreading beyond it. Where the near field is not known there
// is the axis alone.
func (d *sectionDraft) cone(g *technique.Group, p *technique.Placement) {
	o, t := g.Single, d.Section.Thickness
	top, end := d.view.at(p.Exit), d.view.at(geometry.Point{X: p.Exit.X, Z: t - p.Front.Z})
	if p.Flange != nil { // past the inner face where that has a gap
		axis := p.Rays[0].Points
		t, end = p.Flange.Seen(axis[1]).Z, d.view.at(axis[1])
	}
	d.line(ray(), top, end)
	d.arrow(accent(), top, end)
	long := math.Hypot(end.x-top.x, end.y-top.y)
	along := xy{(end.x - top.x) / long, (end.y - top.y) / long}
	// beside is a place at a depth, so far beside the axis.
	beside := func(depth, off si.Length) xy {
		z, x := d.view.length(depth), d.view.length(off)
		return xy{top.x + z*along.x + x*along.y, top.y + z*along.y - x*along.x}
	}
	plane := o.Probe.Diameter
	if !si.Known(plane) {
		plane = o.Probe.ElementLength
	}
	near := max(0, min(o.NearField, t))
	edge := ray()
	edge.width = 0.18
	dash := edge
	dash.dash = []float64{2, 0.8}
	for _, side := range []si.Length{-1, 1} {
		if near > 0 {
			d.line(dash, beside(0, side*plane/2), beside(near, side*plane/2))
		}
		if near < t {
			spread := func(depth si.Length) si.Length { return side * (depth + o.Ahead) * si.Length(o.Upper.Tan()) }
			d.line(edge, beside(near, spread(near)), beside(t, spread(t)))
		}
	}
}
