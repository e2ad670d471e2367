package render

import (
	"fmt"
	"math"
	"slices"

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

func (d *sectionDraft) wedgeName(p *technique.Placement, name string) {
	points := d.wedgeOutline(p)
	left, right := reachX(points)
	left, right = max(left, d.left), min(right, d.right)
	top := math.Inf(1)
	for _, q := range points {
		top = min(top, q.y)
	}
	x := (left + right) / 2
	var places []xy
	for i := range 8 {
		places = append(places, xy{x, top - 1.2 - 3.2*float64(i)})
	}
	if p.Front.Z > 0 {
		for i := range places {
			places[i].y = d.below + 3.6 + 3.2*float64(i)
		}
	}
	d.tryAt(name+", "+p.Side, alignCentre, places...)
	d.above = min(d.above, d.labels[len(d.labels)-1].bounds().top)
	d.below = max(d.below, d.labels[len(d.labels)-1].bounds().bottom)
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
	up := -1.0
	if p.Front.Z > 0 {
		up = 1
	}
	if away.y*up < 0 {
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
		t := d.write(e.x+away.x*2.6, e.y+away.y*2.6+0.75, fmt.Sprint(i), alignCentre)
		t.size = 6
		t.width = d.fonts.width(t.text, regular, t.size)
		b := t.bounds()
		d.above, d.below = min(d.above, b.top), max(d.below, b.bottom)
	}
}

// shownRay is a ray as far as it is drawn: a little beyond the volume, which a
// flat beam of several legs leaves far behind. whole tells whether that is all.
func (d *sectionDraft) shownRay(r technique.Ray) (points []xy, whole bool) {
	const beyond = 6.0
	left, right := reachX(d.view.outline(d.Section.Volume))
	all := d.view.line(r.Points)
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
	if len(p.Rays) == 0 {
		return
	}
	var indexes []int
	for i, r := range p.Rays {
		if r.Edge || i == len(p.Rays)/2 {
			indexes = append(indexes, i)
		}
	}
	type tag struct {
		x    float64
		text string
		at   xy
		wide float64
	}
	var tags []tag
	far := d.bottom
	if p.Front.Z > 0 {
		far = 0
	}
	for _, i := range indexes {
		r := p.Rays[i]
		points, whole := d.shownRay(r)
		if len(points) < 2 {
			continue
		}
		d.line(ray(), points...)
		if whole {
			d.arrow(accent(), points[len(points)-2], points[len(points)-1])
		}
		text := degrees(r.Angle)
		if len(points) > 2 && math.Abs(d.depth(points[2])-far) < 1e-6 {
			tags = append(tags, tag{points[2].x, text, points[2], d.fonts.width(text, regular, d.size) + 1.2})
			continue
		}
		end := points[len(points)-1]
		side := math.Copysign(1, end.x-points[0].x)
		a := alignLeft
		if side < 0 {
			a = alignRight
		}
		t := d.tryAt(text, a, xy{end.x + side, end.y + d.capital()/2}, xy{end.x + side, end.y - 2}, xy{end.x + side, end.y + 3})
		t.box, t.colour = true, accent()
	}
	slices.SortFunc(tags, func(a, b tag) int {
		if a.x < b.x {
			return -1
		}
		return 1
	})
	// Push the angles apart, and keep them centred on the places they belong to.
	shift := 0.0
	for i := 1; i < len(tags); i++ {
		if least := tags[i-1].x + (tags[i-1].wide+tags[i].wide)/2; tags[i].x < least {
			shift += (least - tags[i].x) / float64(len(tags))
			tags[i].x = least
		}
	}
	root := d.below
	if far == 0 {
		root = d.above
	}
	for _, t := range tags {
		y := root + 4.2
		if far == 0 {
			y = root - 2
		}
		label := d.write(t.x-shift, y, t.text, alignCentre)
		label.colour, label.box = accent(), true
		edge := label.bounds()
		from := edge.top
		if far == 0 {
			from = edge.bottom
		}
		d.line(pen{0.13, nil, accent()}, t.at, xy{t.x - shift, from})
	}
	if len(tags) > 0 {
		if far == 0 {
			d.above = root - 5
		} else {
			d.below = root + 5
		}
	}
}
