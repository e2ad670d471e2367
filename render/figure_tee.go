package render

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/geometry"
	"soundwrit/internal/technique"
)

// tee reports whether the joint is a T-butt weld.
func (a artist) tee() bool { return a.Section != nil && a.Section.Flange != nil }

// flange is where the faces of the flange lie on the paper.
func (v view) flange() (face, outer float64) {
	return v.length(v.section.Flange.Face), v.length(v.section.Flange.Outer)
}

// standFlange makes room for the flange: as long as the volume, and as what is
// drawn in it, need.
func (d *sectionDraft) standFlange(drawn []xy) {
	const beyond = 5
	face, outer := d.view.flange()
	d.upperEnd, d.lowerEnd = 0, d.bottom
	for _, p := range drawn {
		if p.x >= face-1e-6 {
			d.upperEnd, d.lowerEnd = min(d.upperEnd, p.y), max(d.lowerEnd, p.y)
		}
	}
	d.upperEnd, d.lowerEnd = d.upperEnd-beyond, d.lowerEnd+beyond
	d.right, d.beyond = outer, outer
	for _, p := range drawn {
		d.beyond = max(d.beyond, p.x)
	}
	d.above, d.below = min(d.above, d.upperEnd-beyond), max(d.below, d.lowerEnd)
}

// shorten cuts the flange off next to the fillets, where the drawing has little
// room.
func (d *sectionDraft) shorten(placements []technique.Placement) {
	const beyond = 2
	d.upperEnd, d.lowerEnd = 0, d.bottom
	for _, p := range slices.Concat(d.view.outline(d.Section.Cap), d.view.outline(d.Section.Root)) {
		d.upperEnd, d.lowerEnd = min(d.upperEnd, p.y), max(d.lowerEnd, p.y)
	}
	d.upperEnd, d.lowerEnd = d.upperEnd-beyond, d.lowerEnd+beyond
	d.above, d.below = d.upperEnd-5, d.lowerEnd
	for i := range placements {
		for _, p := range d.wedgeOutline(&placements[i]) {
			d.above, d.below = min(d.above, p.y), max(d.below, p.y)
			if placements[i].Flange != nil {
				d.upperEnd, d.lowerEnd = min(d.upperEnd, p.y-beyond), max(d.lowerEnd, p.y+beyond)
			}
		}
	}
	d.above, d.below = min(d.above, d.upperEnd-5), max(d.below, d.lowerEnd)
}

// teePart is the outline of what is drawn of web and flange.
func (d *sectionDraft) teePart() []xy {
	face, outer := d.view.flange()
	return []xy{{d.left, 0}, {face, 0}, {face, d.upperEnd}, {outer, d.upperEnd}, {outer, d.lowerEnd}, {face, d.lowerEnd}, {face, d.bottom}, {d.left, d.bottom}}
}

// teeJoint draws web, flange and fillets, the weld and the boundary of the volume.
func (d *sectionDraft) teeJoint() {
	face, outer := d.view.flange()
	s := d.Section
	for _, surface := range []struct {
		y      float64
		fillet geometry.Polygon
	}{{0, s.Cap}, {d.bottom, s.Root}} {
		end := face
		if len(surface.fillet) > 0 {
			toe, tip := d.view.at(surface.fillet[0]), d.view.at(surface.fillet[1])
			d.line(outline(), toe, tip)
			end = toe.x
		}
		d.line(outline(), xy{d.left, surface.y}, xy{end, surface.y})
	}
	d.line(outline(), xy{face, d.upperEnd}, xy{face, d.lowerEnd})
	d.line(outline(), xy{outer, d.upperEnd}, xy{outer, d.lowerEnd})
	d.breakLine(d.left, 0, d.bottom)
	d.breakAcross(d.upperEnd, face, outer)
	d.breakAcross(d.lowerEnd, face, outer)
	in := func(a, b xy) bool {
		for _, y := range []float64{0, d.bottom} {
			if near(a.y, y) && near(b.y, y) {
				return true
			}
		}
		return near(a.x, face) && near(b.x, face) || near(a.x, outer) && near(b.x, outer)
	}
	d.edges(outline(), d.view.outline(s.Weld), in)
	top, bottom := d.upperEnd, d.lowerEnd
	d.edges(dashed(), d.view.outline(s.Volume), func(a, b xy) bool {
		return in(a, b) || a.y < top || a.y > bottom || b.y < top || b.y > bottom // a shortened flange
	})
}

// besideTee draws the width of the volume and the thickness of the flange under
// the part, the length of the volume along the flange beside it, and the
// thickness of the web at its end.
func (d *sectionDraft) besideTee() {
	volume := around(d.view.outline(d.Section.Volume))
	face, outer := d.view.flange()
	y := d.below + 5
	d.horizontal(volume.left, volume.right, y, d.bottom, volume.bottom, 1, "volume "+d.worked(widthOf(d.Section.Volume)))
	y += 5
	d.horizontal(face, outer, y, d.lowerEnd, d.lowerEnd, 1, "flange "+d.length(d.Job.Part.Flange.Thickness))
	d.below = y + 1.5
	d.vertical(volume.top, volume.bottom, max(d.right, d.beyond)+9, volume.right, volume.right, d.volumeHeight())
	// Clear of the names of the surfaces and of the letter of the side.
	thickness := d.length(d.Section.Thickness)
	clear := 3.0
	if width := d.fonts.width(thickness, regular, d.size); width+1 > d.bottom {
		clear += width + 1
	}
	if d.bottom < 9 {
		clear += 8
	}
	d.vertical(0, d.bottom, d.left-13-clear, d.left-13, d.left-13, thickness)
}

// volumeHeight is the length of the volume along the flange.
func (d *sectionDraft) volumeHeight() string {
	from, to := d.Section.Volume[0].Z, d.Section.Volume[0].Z
	for _, p := range d.Section.Volume {
		from, to = min(from, p.Z), max(to, p.Z)
	}
	return d.length(to - from)
}

// teeJointAt draws the edge of the web as it is prepared, before the flange.
func (a artist) teeJointAt(s scale) *draft {
	const margin, depth, over = 13.0, 14.0, 9.0 // shown of the web, into the flange, and along it
	d, v := a.draft(), a.viewAt(s)
	bottom := v.length(a.Section.Thickness)
	weld := v.outline(a.Section.Weld)
	left, _ := reachX(weld)
	left -= margin
	face, outer := v.flange()
	right := min(face+depth, outer)
	var web, flange []xy
	for _, w := range freehand(0, bottom) {
		web = append(web, xy{left + w.off, w.at})
	}
	d.area(noPen(), tint(), append(web, xy{face, bottom}, xy{face, 0})...)
	d.area(noPen(), white(), weld...)
	flange = []xy{{face, -over}, {right, -over}, {right, bottom + over}, {face, bottom + over}}
	d.area(noPen(), tint(), flange...)
	upper, _ := a.Section.Edges(false)
	lower, _ := a.Section.Edges(true)
	d.line(outline(), xy{left, 0}, v.at(upper))
	d.line(outline(), xy{left, bottom}, v.at(lower))
	d.line(outline(), xy{face, -over}, xy{face, bottom + over})
	if right == outer {
		d.line(outline(), xy{outer, -over}, xy{outer, bottom + over})
	} else {
		d.breakLine(right, -over, bottom+over)
	}
	d.breakLine(left, 0, bottom)
	d.breakAcross(-over, face, right)
	d.breakAcross(bottom+over, face, right)
	d.edges(outline(), weld, func(p, q xy) bool {
		return near(p.y, 0) && near(q.y, 0) || near(p.y, bottom) && near(q.y, bottom) || near(p.x, face) && near(q.x, face)
	})
	d.line(centreLine(), xy{0, -over - 2}, xy{0, bottom + over + 2})
	d.faceNames(a, v, "A", left, bottom)
	d.faceNames(a, v, "B", right, bottom)
	d.rootFace(a, v)
	above := d.rootGap(a, v, -over-5)
	for i, edge := range []geometry.Point{upper, lower} {
		p := v.at(edge)
		if y := above; face-p.x > 0.01 {
			if i == 1 {
				y = bottom + over + 6
			}
			d.horizontal(p.x, face, y, p.y, p.y, -1, a.length(a.Section.Flange.Face-edge.X))
		}
	}
	d.vertical(0, bottom, d.extent().left-5, left, left, a.length(a.Section.Thickness))
	d.faceDimensions(a, v)
	top, base := a.surfaces()
	d.write(left, -1.2, top, alignLeft)
	d.write(left, bottom+1.2+d.capital(), base, alignLeft)
	d.write((face+right)/2, -over-2, "flange", alignCentre)
	from := d.extent()
	notes := append(a.jointNotes(), "Flange "+a.length(a.Job.Part.Flange.Thickness)+" thick.", "Angles from the centreline.", "Scale "+s.text+" when printed at full size.")
	d.note(from.left, from.bottom+4, strings.Join(notes, " "), figureWidth-12)
	return d
}

// sideOf says on which side a placement is.
func sideOf(p *technique.Placement) string {
	if p.Flange != nil {
		return "side " + p.Side + ", on the flange"
	}
	return "side " + p.Side
}

// outward points away from the surface on which a probe stands.
func outward(p *technique.Placement) xy {
	switch {
	case p.Flange != nil:
		return xy{1, 0}
	case p.Front.Z > 0:
		return xy{0, 1}
	}
	return xy{0, -1}
}

// flangeShape is the outline of a wedge on the outer face of a flange: drawn as if
// that lay level, and turned.
func flangeShape(at func(geometry.Point) xy, p *technique.Placement) []xy {
	level := *p
	level.Flange = nil
	level.Front, level.Back = p.Flange.Seen(p.Front), p.Flange.Seen(p.Back)
	level.Elements = nil
	for _, e := range p.Elements {
		level.Elements = append(level.Elements, p.Flange.Seen(e))
	}
	from, to := at(geometry.Point{}), at(p.Flange.Drawn(geometry.Point{}))
	var turned []xy
	for _, q := range wedgeShape(at, &level) {
		turned = append(turned, xy{to.x - (q.y - from.y), to.y + q.x - from.x})
	}
	return turned
}

// alongFlange is a ray from the outer face of a flange as far as it is drawn: a
// little beyond the volume to its sides. whole tells whether that is all.
func alongFlange(all, volume []xy, beyond float64) (points []xy, whole bool) {
	reach := around(volume)
	for i, q := range all {
		if i > 0 {
			p, limit := all[i-1], reach.bottom+beyond
			if q.y < p.y {
				limit = reach.top - beyond
			}
			if (q.y-limit)*(q.y-p.y) > 0 && (p.y-limit)*(q.y-p.y) < 0 {
				return append(points, xy{p.x + (q.x-p.x)*(limit-p.y)/(q.y-p.y), limit}), false
			}
		}
		points = append(points, q)
	}
	return points, true
}

// besideFlange draws the distance of a wedge front on the outer face from the
// middle of the web, and that middle.
func (d *sectionDraft) besideFlange(front xy, f *geometry.Flange, text string) {
	middle := d.view.at(f.Drawn(geometry.Point{}))
	x := d.beyond + 5
	end := x
	if math.Abs(front.y-middle.y) > 0.01 {
		d.vertical(middle.y, front.y, x, middle.x, front.x, text)
		if d.beyond = x; math.Abs(front.y-middle.y) < d.fonts.width(text, regular, d.size)+1 {
			d.beyond += 1.5 + d.fonts.width(text, regular, d.size) // the text lies beside its dimension
		}
	}
	d.line(centreLine(), xy{middle.x - 4, middle.y}, xy{end + 1, middle.y})
}
