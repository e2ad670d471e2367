package render

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// jointHeight is how high the drawing of the edges may be.
const jointHeight = 85.0

// joint draws the edges as they are prepared, each face with the name that the
// tables give it, with angles, radii, root face and root gap.
func (a artist) joint() (Figure, bool) {
	drawing, scaleName := fittedIn(10, figureWidth, jointHeight, func(s scale) *draft { return a.jointAt(s) })
	return Figure{
		Name:    "joint",
		Caption: "Preparation of the edges, scale " + scaleName,
		Alt:     "Section across the edges before welding, " + a.Job.Part.Weld.Preparation + ", with the names of the faces, their angles and radii, root face and root gap.",
		Drawing: drawing,
	}, true
}

func (a artist) jointAt(s scale) *draft {
	const margin = 11.0 // of part beside the weld, for the names of the surfaces
	if a.bent() {
		return a.bentJointAt(s)
	}
	if a.tee() {
		return a.teeJointAt(s)
	}
	d, v := a.draft(), a.viewAt(s)
	bottom := v.length(a.Section.Thickness)
	weld := v.outline(a.Section.Weld)
	left, right := reachX(weld)
	left, right = left-margin, right+margin
	for _, t := range a.Section.Transitions { // a slope is for the section
		left, right = max(left, limit(v.at(t.Begins).x, -1)), min(right, limit(v.at(t.Begins).x, 1))
	}
	off := v.length(a.Job.Part.Weld.Misalignment) // of side B
	var part []xy
	for _, w := range freehand(0, bottom) {
		part = append(part, xy{left + w.off, w.at})
	}
	for _, w := range slices.Backward(freehand(off, off+bottom)) {
		part = append(part, xy{right + w.off, w.at})
	}
	d.area(noPen(), tint(), part...)
	d.area(noPen(), white(), weld...)
	var opening [2][2]xy // from A to B, at the top and at the bottom
	for i, bottom := range []bool{false, true} {
		from, to := a.Section.Edges(bottom)
		opening[i] = [2]xy{v.at(from), v.at(to)}
		d.line(outline(), xy{left, v.at(from).y}, v.at(from))
		d.line(outline(), v.at(to), xy{right, v.at(to).y})
	}
	upper, lower := opening[0], opening[1]
	same := func(p, q xy) bool { return near(p.x, q.x) && near(p.y, q.y) }
	d.edges(outline(), weld, func(p, q xy) bool {
		return same(p, upper[0]) && same(q, upper[1]) || same(p, lower[1]) && same(q, lower[0])
	})
	d.breakLine(left, 0, bottom)
	d.breakLine(right, off, off+bottom)

	d.line(centreLine(), xy{0, -2}, xy{0, bottom + 2})
	low := max(d.faceNames(a, v, "A", left, bottom), d.faceNames(a, v, "B", right, bottom), bottom)
	y := d.rootGap(a, v, min(0, off)-5)
	if w := upper[1].x - upper[0].x; w > 0.01 {
		d.horizontal(upper[0].x, upper[1].x, y, upper[0].y, upper[1].y, 1, a.opening(si.Length(w/v.k)))
	}
	if w := lower[1].x - lower[0].x; w > 0.01 {
		d.horizontal(lower[0].x, lower[1].x, max(low, bottom+off)+6, lower[0].y, lower[1].y, 1, a.opening(si.Length(w/v.k)))
	}
	d.rootFace(a, v)
	d.vertical(off, off+bottom, d.extent().right+7, right, right, a.length(a.Section.Thickness))
	d.faceDimensions(a, v)

	top, base := a.surfaces()
	d.write(left, -1.2, top, alignLeft)
	d.write(left, bottom+1.2+d.capital(), base, alignLeft)
	from := d.extent()
	notes := append(a.jointNotes(), "Angles from the centreline.", "Scale "+s.text+" when printed at full size.")
	d.note(from.left, from.bottom+4, strings.Join(notes, " "), figureWidth-12)
	return d
}

func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }

// limit is a place on one side, and nothing on the other.
func limit(x, sign float64) float64 {
	if x*sign > 0 {
		return x
	}
	return sign * math.Inf(1)
}

// jointNotes says what the drawing has no dimension for.
func (a artist) jointNotes() []string {
	w := &a.Job.Part.Weld
	var notes []string
	if w.Preparation == "compound-bevel" {
		notes = append(notes, "Bevel changes "+a.length(w.BreakHeight)+" from the surface at the root.")
	}
	if off := w.Misalignment; off != 0 {
		where := "deeper"
		if off < 0 {
			off, where = -off, "higher"
		}
		notes = append(notes, "Side B lies "+a.length(off)+" "+where+" than side A.")
	}
	return notes
}

// opening is the width of the groove at a surface; where that is the root gap, it
// is said to be.
func (a artist) opening(width si.Length) string {
	if near(float64(width), float64(a.Job.Part.Weld.RootGap)) {
		return "root gap " + a.length(a.Job.Part.Weld.RootGap)
	}
	return a.worked(width)
}

// faceNames writes the names of one side's faces beside the part, each with a
// leader to the middle of its face, and returns how far down they reach.
func (d *draft) faceNames(a artist, v view, side string, edge, bottom float64) (low float64) {
	const row = 3.8 // between baselines
	var faces []geometry.Face
	for _, f := range a.Section.Faces {
		if f.Side == side {
			faces = append(faces, f)
		}
	}
	sign, anchor := -1.0, alignRight
	if side == "B" {
		sign, anchor = 1, alignLeft
	}
	// A second unit stands under the first: side by side they are too wide.
	names, rows := make([][]string, len(faces)), 0
	for i, f := range faces {
		names[i] = strings.SplitAfterN(a.faceText(v, f), " mm ", 2)
		rows += len(names[i])
	}
	// Each name at the height of its face where there is room, otherwise under
	// the one before, and all of them high enough that the last still stands
	// beside the part if they can.
	y := d.capital()
	for i, f := range faces {
		p, _, _ := f.At(0.5)
		at := v.at(p)
		y = max(y, min(at.y, bottom-row*float64(rows)))
		d.line(narrow(), xy{edge + sign*3, y}, at)
		d.arrow(black(), xy{edge + sign*3, y}, at)
		for _, name := range names[i] {
			f := d.float(strings.TrimSpace(name), spot{x: edge + sign*4, y: y + d.capital()/2, anchor: anchor})
			low = max(low, f.at(f.spots[0]).bounds().bottom)
			y += row
			rows--
		}
	}
	return low
}

// faceText is a face's name, with its angle or radius where the drawing has no
// room for a dimension.
func (a artist) faceText(v view, f geometry.Face) string {
	switch {
	case v.dimensioned(f) || f.Inclination() == 0:
		return f.Name
	case f.Radius > 0:
		return f.Name + ", R " + a.length(f.Radius)
	}
	return f.Name + ", " + degrees(f.Inclination())
}
