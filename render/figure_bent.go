package render

import (
	"math"
	"strings"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// alongSurface is said under figures of a bent section.
const alongSurface = "Distances across the weld are measured along the surface on which the wedge stands, not along a straight line."

// bent reports whether the section is a piece of a ring.
func (a artist) bent() bool { return a.Section != nil && a.Section.Radius() != 0 }

// depth is how deep a place on the paper lies under the upper surface.
func (d *sectionDraft) depth(q xy) float64 {
	r := d.view.length(d.Section.Radius())
	if r == 0 {
		return q.y
	}
	return r - math.Copysign(math.Hypot(q.x, r-q.y), r)
}

// along is the arc along the upper surface up to a place on it at x on the
// paper, at most nearly a quarter of the pipe.
func (d *sectionDraft) along(x float64) si.Length {
	const most = 0.97
	r := d.view.length(d.Section.Radius())
	if r == 0 {
		return si.Length(x / d.view.k)
	}
	return d.Section.Radius() * si.Length(math.Asin(min(max(x/math.Abs(r), -most), most)))
}

// cut returns the upper and the lower end of the cut at which the part ends on
// the side of the sign: along the radius of a ring.
func (d *sectionDraft) cut(sign float64) (upper, lower xy) {
	x := d.left
	if sign > 0 {
		x = d.right
	}
	if !d.bent() {
		return xy{x, 0}, xy{x, d.bottom}
	}
	at := d.along(x)
	return d.view.at(geometry.Point{X: at}), d.view.at(geometry.Point{X: at, Z: d.Section.Thickness})
}

// part is the outline of what is drawn of the part.
func (d *sectionDraft) part() []xy {
	if d.tee() {
		return d.teePart()
	}
	if !d.bent() {
		return append(d.surfaceLine(true), reversed(d.surfaceLine(false))...)
	}
	left, right, t := d.along(d.left), d.along(d.right), d.Section.Thickness
	return d.view.outline(geometry.Polygon{{X: left, Z: t}, {X: right, Z: t}, {X: right}, {X: left}})
}

// arc is a stretch of a surface.
func (v view) arc(from, to, z si.Length) []xy {
	const pieces = 60
	points := make([]xy, pieces+1)
	for i := range points {
		points[i] = v.at(geometry.Point{X: from + (to-from)*si.Length(i)/pieces, Z: z})
	}
	return points
}

// ring draws the part, the weld and the boundary of the volume in a bent
// section.
func (d *sectionDraft) ring() {
	s := d.Section
	left, right := d.along(d.left), d.along(d.right)
	for _, wall := range []struct {
		z             si.Length
		reinforcement geometry.Polygon
		span          func() (from, to si.Length)
	}{{0, s.Cap, s.CapSpan}, {s.Thickness, s.Root, s.RootSpan}} {
		from, to := wall.span()
		if len(wall.reinforcement) == 0 || !(from > left && to < right) {
			d.line(outline(), d.view.arc(left, right, wall.z)...)
			continue
		}
		d.line(outline(), d.view.arc(left, from, wall.z)...)
		d.line(outline(), d.view.arc(to, right, wall.z)...)
		d.inner(outline(), d.view.outline(wall.reinforcement))
	}
	for _, sign := range []float64{-1, 1} {
		d.breakBetween(d.cut(sign))
	}
	d.inner(outline(), d.view.outline(s.Weld))
	d.inner(dashed(), d.view.outline(s.Volume))
}

// breakBetween is breakLine from one place to another.
func (d *draft) breakBetween(a, b xy) {
	dx, dy := b.x-a.x, b.y-a.y
	long := math.Hypot(dx, dy)
	if !(long > 0) {
		return
	}
	var points []xy
	for _, w := range freehand(0, long) {
		points = append(points, xy{a.x + (dx*w.at-dy*w.off)/long, a.y + (dy*w.at+dx*w.off)/long})
	}
	d.line(narrow(), points...)
}

// wall draws the thickness beside the right end of a ring, along the radius.
func (d *sectionDraft) wall() {
	upper, lower := d.cut(1)
	dx, dy := lower.x-upper.x, lower.y-upper.y
	long := math.Hypot(dx, dy)
	// Outwards along the surface, clear of the letter of the side.
	out := xy{dy / long, -dx / long}
	const away = 13.0
	from, to := xy{upper.x + out.x*away, upper.y + out.y*away}, xy{lower.x + out.x*away, lower.y + out.y*away}
	for _, e := range []struct{ a, b xy }{{upper, from}, {lower, to}} {
		d.line(narrow(), xy{e.a.x + out.x*extensionGap, e.a.y + out.y*extensionGap}, xy{e.b.x + out.x*extensionOver, e.b.y + out.y*extensionOver})
	}
	d.line(narrow(), from, to)
	d.arrow(black(), to, from)
	d.arrow(black(), from, to)
	d.write(max(from.x, to.x)+1.8, (from.y+to.y)/2+d.capital()/2, d.length(d.Section.Thickness), alignLeft)
	d.below += 1.5
}

// shapedWedge is the outline of a wedge whose contact face follows the surface:
// built on the level of the tangent in its middle, and turned back.
func (d *sectionDraft) shapedWedge(p *technique.Placement) []xy {
	front, back := d.view.at(p.Front), d.view.at(p.Back)
	turn := math.Atan2(front.y-back.y, front.x-back.x)
	if front.x < back.x {
		turn = math.Atan2(back.y-front.y, back.x-front.x)
	}
	rotated := func(q xy, by float64) xy {
		sin, cos := math.Sincos(by)
		x, y := q.x-back.x, q.y-back.y
		return xy{back.x + x*cos - y*sin, back.y + x*sin + y*cos}
	}
	points := wedgeShape(func(q geometry.Point) xy { return rotated(d.view.at(q), -turn) }, p)
	for i := range points {
		points[i] = rotated(points[i], turn)
	}
	contact := d.view.arc(p.Front.X, p.Back.X, p.Front.Z)
	return append(points, contact[1:len(contact)-1]...)
}

// bentJointAt draws the edges of a seam in a ring as jointAt does in a plate.
func (a artist) bentJointAt(s scale) *draft {
	d := &sectionDraft{draft: a.draft(), artist: a, view: a.viewAt(s)}
	d.bottom = d.view.length(a.Section.Thickness)
	weld := d.view.outline(a.Section.Weld)
	const margin = 13.0
	d.left, d.right = reachX(weld)
	d.left, d.right = d.left-margin, d.right+margin
	d.area(noPen(), tint(), d.part()...)
	d.area(noPen(), white(), weld...)
	left, right := d.along(d.left), d.along(d.right)
	for _, z := range []si.Length{0, a.Section.Thickness} {
		from, to := a.Section.WeldRow(z)
		d.line(outline(), d.view.arc(left, from, z)...)
		d.line(outline(), d.view.arc(to, right, z)...)
	}
	d.inner(outline(), weld)
	for _, sign := range []float64{-1, 1} {
		d.breakBetween(d.cut(sign))
	}
	d.line(centreLine(), xy{0, -2}, xy{0, d.bottom + 2})
	d.faceNames(a, d.view, "A", d.left, d.bottom)
	d.faceNames(a, d.view, "B", d.right, d.bottom)
	d.rootFace(a, d.view)
	above := d.rootGap(a, d.view, -5)
	var widths []string
	for _, w := range []struct {
		z    si.Length
		name string
	}{{0, "outside"}, {a.Section.Thickness, "inside"}} {
		from, to := a.Section.WeldRow(w.z)
		arc := (to - from) * si.Length(a.Section.Scale(w.z))
		widths = append(widths, a.length(arc)+" on the "+w.name)
		p, q := d.view.at(geometry.Point{X: from, Z: w.z}), d.view.at(geometry.Point{X: to, Z: w.z})
		y, outward := above, 1.0
		if w.z > 0 {
			y = max(d.extent().bottom, d.bottom) + 4
		}
		if q.x-p.x > 0.01 {
			d.horizontal(p.x, q.x, y, p.y, q.y, outward, a.length(arc))
		}
	}
	d.faceDimensions(a, d.view)
	upper, lower := d.cut(-1)
	top, base := a.surfaces()
	d.write(upper.x, upper.y-1.2, top, alignRight)
	d.write(lower.x, lower.y+1.2+d.capital(), base, alignLeft)
	notes := a.jointNotes()
	if a.Job.Part.Weld.Double() {
		notes = append(notes, "Upper preparation "+a.length(a.Job.Part.Weld.UpperDepth)+" deep.")
	}
	notes = append(notes, "Thickness "+a.length(a.Section.Thickness)+"; widths along the surfaces: "+strings.Join(widths, ", ")+".",
		"Angles from the centreline. Scale "+s.text+" when printed at full size.")
	box := d.extent()
	d.note(box.left, box.bottom+4, strings.Join(notes, " "), figureWidth-12)
	return d.draft
}
