package render

import (
	"fmt"
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/technique"
)

// wedgeOutline is the wedge as it stands: contact face, and over it the line of
// the array, level at both ends.
func (d *sectionDraft) wedgeOutline(p *technique.Placement) []xy {
	if d.bent() {
		return d.shapedWedge(p)
	}
	return wedgeShape(d.view.at, p)
}

// wedgeShape is the outline on a level surface, by what maps places there.
func wedgeShape(at func(geometry.Point) xy, p *technique.Placement) []xy {
	if p.Flange != nil {
		return flangeShape(at, p)
	}
	front, back := at(p.Front), at(p.Back)
	if p.Upright {
		return uprightOutline(front, back, p.Front.Z > 0)
	}
	if len(p.Elements) < 2 {
		return singleOutline(front, back, p.Front.Z > 0)
	}
	rear, fore := at(p.Elements[0]), at(p.Elements[len(p.Elements)-1])
	// The array's carrier is a little longer than the array.
	dx, dy := fore.x-rear.x, fore.y-rear.y
	n := math.Hypot(dx, dy)
	margin := 1.5
	rear = xy{rear.x - dx/n*margin, rear.y - dy/n*margin}
	fore = xy{fore.x + dx/n*margin, fore.y + dy/n*margin}
	// It may not stand over the ends of the contact face.
	forwards := math.Copysign(1, front.x-back.x)
	if (front.x-fore.x)*forwards < 0 {
		front.x = fore.x
	}
	if (rear.x-back.x)*forwards < 0 {
		back.x = rear.x
	}
	return []xy{at(p.Back), {back.x, rear.y}, rear, fore, {front.x, fore.y}, at(p.Front)}
}

// wedge draws the outline of a wedge: the one in full filled, so that nothing
// shows through, another in a thin line and cut off where the part is.
func (d *sectionDraft) wedge(p *technique.Placement, full bool) {
	points := d.wedgeOutline(p)
	if full {
		d.area(outline(), white(), points...)
		return
	}
	if p.Flange != nil { // all of it is drawn
		d.edges(thin(), points, func(a, b xy) bool { return false })
		return
	}
	for _, limit := range []float64{d.left, d.right} {
		points = clip(points, limit, limit == d.left)
	}
	cut := func(q xy) bool { return math.Abs(q.x-d.left) < 1e-6 || math.Abs(q.x-d.right) < 1e-6 }
	d.edges(thin(), points, func(a, b xy) bool { return cut(a) && cut(b) })
	for _, limit := range []float64{d.left, d.right} {
		low, high := math.Inf(1), math.Inf(-1)
		for _, q := range points {
			if math.Abs(q.x-limit) < 1e-6 {
				low, high = min(low, q.y), max(high, q.y)
			}
		}
		if high > low {
			d.breakLine(limit, low, high)
		}
	}
}

// clip cuts an outline at x, and keeps what lies to the right or left of it.
func clip(points []xy, x float64, right bool) []xy {
	kept := func(q xy) bool { return q.x >= x == right || q.x == x }
	var out []xy
	for i, a := range points {
		b := points[(i+1)%len(points)]
		if kept(a) {
			out = append(out, a)
		}
		if kept(a) != kept(b) {
			out = append(out, xy{x, a.y + (b.y-a.y)*(x-a.x)/(b.x-a.x)})
		}
	}
	return out
}

// array draws the elements, those that form the beams filled, with the numbers
// of the first and the last.
func (d *sectionDraft) array(p *technique.Placement) {
	n := len(p.Elements)
	if n < 2 || p.Active[0] < 1 || p.Active[1] > n || p.Active[1] < p.Active[0] {
		return
	}
	first, last := d.view.at(p.Elements[0]), d.view.at(p.Elements[n-1])
	step := xy{(last.x - first.x) / float64(n-1), (last.y - first.y) / float64(n-1)}
	pitch := math.Hypot(step.x, step.y)
	// away points from the surface.
	away := xy{-step.y / pitch, step.x / pitch}
	if out := outward(p); away.x*out.x+away.y*out.y < 0 {
		away = xy{-away.x, -away.y}
	}
	const thick = 1.1
	strip := func(from, to int, f paint) {
		a := xy{first.x + step.x*(float64(from-1)-0.5), first.y + step.y*(float64(from-1)-0.5)}
		b := xy{first.x + step.x*(float64(to-1)+0.5), first.y + step.y*(float64(to-1)+0.5)}
		d.area(narrow(), f, a, b, xy{b.x + away.x*thick, b.y + away.y*thick}, xy{a.x + away.x*thick, a.y + away.y*thick})
	}
	strip(1, n, white())
	strip(p.Active[0], p.Active[1], solid(black()))
	for _, i := range []int{1, n} {
		e := d.view.at(p.Elements[i-1])
		out := xy{step.x / pitch, step.y / pitch} // along the array, away from it
		if i == 1 {
			out = xy{-out.x, -out.y}
		}
		var spots []spot
		for _, by := range []xy{{3, 0}, {3, 1}, {3, 2.2}, {1.5, 3}, {3, -1.5}, {4.2, 0}, {0, 4}, {-3.2, 0}, {-3.2, -2}, {-4.5, -2}} {
			spots = append(spots, spot{x: e.x + away.x*by.x + out.x*by.y, y: e.y + away.y*by.x + out.y*by.y + d.capital()/2, anchor: alignCentre})
		}
		d.float(fmt.Sprint(i), spots...)
		if p.Flange != nil {
			d.beyond = max(d.beyond, e.x+4.2)
			continue
		}
		d.above, d.below = min(d.above, e.y-4.2), max(d.below, e.y+4.2)
	}
}

// shownRay is a ray as far as it is drawn: a little beyond the volume, which a
// flat beam of several legs leaves far behind. whole tells whether that is all.
func (d *sectionDraft) shownRay(r technique.Ray) (points []xy, whole bool) {
	const beyond = 6.0
	volume := d.view.outline(d.Section.Volume)
	left, right := reachX(volume)
	all := d.view.line(r.Points)
	if d.onFlange {
		return alongFlange(all, volume, beyond)
	}
	for i, q := range all {
		if i > 0 {
			p, limit := all[i-1], right+beyond
			if q.x < p.x {
				limit = left - beyond
			}
			if (q.x-limit)*(q.x-p.x) > 0 && (p.x-limit)*(q.x-p.x) < 0 {
				return append(points, xy{limit, p.y + (q.y-p.y)*(limit-p.x)/(q.x-p.x)}), false
			}
		}
		points = append(points, q)
	}
	return points, true
}

// rays draws the rays at the edges and the middle one with their angles, each
// angle where its ray first meets a wall.
func (d *sectionDraft) rays(p *technique.Placement) {
	far, root, named := d.bottom, d.below, false
	switch {
	case p.Flange != nil:
		far = math.NaN() // each angle stands at the end of its ray
	case p.Front.Z > 0:
		far, root = 0, d.above
	}
	for i, r := range p.Rays {
		if !r.Edge && i != len(p.Rays)/2 {
			continue
		}
		points, whole := d.shownRay(r)
		if len(points) < 2 {
			continue
		}
		d.line(ray(), points...)
		if whole {
			d.arrow(accent(), points[len(points)-2], points[len(points)-1])
		}
		var spots []spot
		if len(points) > 2 && math.Abs(d.depth(points[2])-far) < 1e-6 {
			named = true
			spots = d.underWall(points[2], root, far == 0)
		} else {
			spots = besideEnd(points, d.capital())
		}
		f := d.float(degrees(r.Angle), spots...)
		f.colour, f.pen = accent(), pen{0.13, nil, accent()}
	}
	if named && far == 0 {
		d.above = root - 5
	} else if named {
		d.below = root + 5
	}
}

// underWall are the places for the angle of a ray that meets a wall: clear of the
// part, with a leader, as near as may be.
func (d *sectionDraft) underWall(at xy, root float64, above bool) (spots []spot) {
	y, edge := root+4.2, root+4.2-d.capital()-0.6
	if above {
		y, edge = root-2, root-1.2
	}
	for n := range 13 {
		x := at.x + 2*alternate(n)
		spots = append(spots, spot{x: x, y: y, anchor: alignCentre, line: []xy{at, {x, edge}}})
	}
	return spots
}

// besideEnd are the places for the angle of a ray at its end, and along its last
// leg where that is not free.
func besideEnd(points []xy, capital float64) (spots []spot) {
	from, end := points[len(points)-2], points[len(points)-1]
	side, a := 1.0, alignLeft
	if end.x < points[0].x {
		side, a = -1, alignRight
	}
	for _, dy := range []float64{0, -2.4, 2.4, -4} {
		spots = append(spots, spot{x: end.x + side, y: end.y + capital/2 + dy, anchor: a})
	}
	return append(spots, besideLine(from, end, capital)...)
}

// besideLine are places at both sides of a straight line, from its end backwards.
func besideLine(from, to xy, capital float64) (spots []spot) {
	for n := range 9 {
		share := 0.9 - 0.1*float64(n)
		at := xy{from.x + share*(to.x-from.x), from.y + share*(to.y-from.y)}
		for _, off := range []float64{-2.6, 2.6, -4.4, 4.4} {
			spots = append(spots, spot{x: at.x, y: at.y + off + capital/2, anchor: alignCentre})
		}
	}
	return spots
}
