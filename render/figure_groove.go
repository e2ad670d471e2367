package render

import (
	"cmp"
	"math"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// shortEdge is the length of a face on the paper, and shortRadius that of a
// radius, below which a dimension in the drawing could not be read: its value then
// stands with the name.
const shortEdge, shortRadius = 7.0, 6.0

// dimensioned reports whether the drawing has room for a dimension of the face.
func (v view) dimensioned(f geometry.Face) bool {
	switch {
	case f.RootFace:
		return true
	case f.Radius > 0:
		return v.length(f.Radius) >= shortRadius
	}
	p, q := v.at(f.Upper), v.at(f.Lower)
	return math.Hypot(p.x-q.x, p.y-q.y) >= shortEdge
}

// faceDimensions draws the angles of the faces, and of one side the radii, which
// are alike.
func (d *draft) faceDimensions(a artist, v view) {
	rounded := ""
	for _, f := range a.Section.Faces {
		switch {
		case f.RootFace || !v.dimensioned(f):
		case f.Radius > 0:
			if rounded = cmp.Or(rounded, f.Side); f.Side == rounded {
				d.radius(a, v, f)
			}
		case f.Inclination() > 0.05*si.Degree: // none to be seen of an upright face
			d.bevelAngle(v, f)
		}
	}
}

// bevelAngle draws the angle of a straight face, in the groove: an arc with
// arrowheads from the direction of the centreline to the face, about the face's
// inner end.
func (d *draft) bevelAngle(v view, f geometry.Face) {
	inner, outer := v.at(f.Upper), v.at(f.Lower)
	if math.Abs(inner.x) > math.Abs(outer.x) {
		inner, outer = outer, inner
	}
	const between = 2*arrowLength + 1.2 // room for two arrowheads on the arc
	const tail = arrowLength + 1.4      // of an arc whose arrowheads stand outside
	angle, length := float64(f.Inclination()), math.Hypot(outer.x-inner.x, outer.y-inner.y)
	radius := min(max(min(0.6*length, 20), between/angle), 0.85*length)
	side, up := math.Copysign(1, outer.x-inner.x), math.Copysign(1, outer.y-inner.y)
	at := func(a, r float64) xy {
		sin, cos := math.Sincos(a)
		return xy{inner.x + side*r*sin, inner.y + up*r*cos}
	}
	from, to, head := 0.0, angle, arrowLength/radius
	if angle*radius < between-1e-9 {
		from, to, head = -tail/radius, angle+tail/radius, -head
	}
	const pieces = 24
	arc := make([]xy, pieces+1)
	for i := range arc {
		arc[i] = at(from+(to-from)*float64(i)/pieces, radius)
	}
	d.line(narrow(), at(0, extensionGap), at(0, radius+extensionOver))
	d.line(narrow(), arc...)
	d.arrow(black(), at(head, radius), at(0, radius))
	d.arrow(black(), at(angle-head, radius), at(angle, radius))

	var spots []spot
	for _, off := range []float64{2.4, -2.8, 4.6, -5, 6.8} {
		p := at(angle/2, radius+off)
		spots = append(spots, spot{x: p.x, y: p.y + d.capital()/2, anchor: alignCentre})
	}
	anchor := alignLeft
	if side < 0 {
		anchor = alignRight
	}
	for _, share := range []float64{1, 0.8, 0.6, 0.4, 1.15} { // in the part
		for _, beyond := range []float64{1.6, 3, 5} {
			p := at(max(angle, to), share*radius)
			spots = append(spots, spot{x: p.x + side*beyond, y: p.y + d.capital()/2, anchor: anchor})
		}
	}
	d.float(degrees(f.Inclination()), spots...)
}

// radius draws the radius of a face, from the centre of its circle to its middle.
func (d *draft) radius(a artist, v view, f geometry.Face) {
	p, _, _ := f.At(0.5)
	centre, end := v.at(f.Centre), v.at(p)
	const arm = 0.9 // of the cross at the centre
	d.line(narrow(), xy{centre.x - arm, centre.y}, xy{centre.x + arm, centre.y})
	d.line(narrow(), xy{centre.x, centre.y - arm}, xy{centre.x, centre.y + arm})
	d.line(narrow(), centre, end)
	d.arrow(black(), centre, end)
	spots := besideLine(centre, end, d.capital())
	for _, over := range []float64{2, 5, 8, 11, 14} {
		for _, off := range []float64{0, -4, 4} {
			spots = append(spots, spot{x: centre.x + off, y: centre.y + math.Copysign(over, centre.y-end.y) + d.capital()/2, anchor: alignCentre})
		}
	}
	d.float("R "+a.length(f.Radius), spots...)
}

// rootGap draws, on a line at y over the groove, the root gap of a joint that is
// prepared from both surfaces, and returns where the next line stands. Of others
// the gap opens at a surface, and is drawn there.
func (d *draft) rootGap(a artist, v view, y float64) float64 {
	w := &a.Job.Part.Weld
	if !w.Double() || !(w.RootGap > 0) {
		return y
	}
	left, right := d.innermost(a, v, "A"), d.innermost(a, v, "B")
	d.horizontal(left.x, right.x, y, left.y, right.y, 1, "root gap "+a.length(w.RootGap))
	return y - 5.5
}

// rootFace draws beside the names, on the side that has one, the height of the
// root face, and over it the depth of the upper preparation of a joint that is
// prepared from both surfaces, and flat.
func (d *draft) rootFace(a artist, v view) {
	for _, f := range a.Section.Faces {
		if !f.RootFace {
			continue
		}
		upper, lower := v.at(f.Upper), v.at(f.Lower)
		x := d.extent().left - 4
		if f.Side == "B" {
			x = d.extent().right + 4
		}
		d.vertical(upper.y, lower.y, x, upper.x, lower.x, a.length(f.Length()))
		if a.Job.Part.Weld.Double() && !a.bent() && f.Side == "A" {
			top, _ := a.Section.Edges(false)
			corner, depth := v.at(top), a.length(f.Upper.Z)
			if upper.y-corner.y < d.fonts.width(depth, regular, d.size)+5 { // both texts beside the line
				x = d.extent().left - 4
			}
			d.vertical(corner.y, upper.y, x, corner.x, upper.x, depth)
		}
		return
	}
}

// innermost is the place of a side that is nearest to the centreline, the upper
// one of several.
func (d *draft) innermost(a artist, v view, side string) xy {
	best := xy{math.Inf(1), math.Inf(1)}
	for _, f := range a.Section.Faces {
		for _, p := range []geometry.Point{f.Upper, f.Lower} {
			q := v.at(p)
			if f.Side == side && (math.Abs(q.x) < math.Abs(best.x)-1e-6 || near(math.Abs(q.x), math.Abs(best.x)) && q.y < best.y) {
				best = q
			}
		}
	}
	return best
}
