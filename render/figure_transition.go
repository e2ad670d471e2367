package render

import (
	"math"
	"slices"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// widen makes room for slopes of the walls that begin within the drawing, and
// for the walls behind them.
func (d *sectionDraft) widen() {
	if d.bent() {
		return
	}
	for _, t := range d.Section.Transitions {
		begins, ends := d.view.at(t.Begins), d.view.at(t.Ends)
		if begins.x < d.left || begins.x > d.right {
			continue
		}
		d.left, d.right = min(d.left, ends.x-6), max(d.right, ends.x+6)
	}
	for _, p := range slices.Concat(d.surfaceLine(false), d.surfaceLine(true)) {
		d.above, d.below = min(d.above, p.y), max(d.below, p.y)
	}
}

// surfaceLine is the line of a surface from left to right, without the reinforcement.
func (d *sectionDraft) surfaceLine(bottom bool) []xy {
	w := d.Section.Wall(bottom)
	at := func(x float64) xy { return xy{x, d.view.length(w.At(si.Length(x / d.view.k)))} }
	line := []xy{at(d.left)}
	for _, c := range w.Corners {
		if p := d.view.at(c); p.x > d.left && p.x < d.right {
			line = append(line, p)
		}
	}
	return append(line, at(d.right))
}

// onWall reports whether a place lies in a surface of the part.
func (d *sectionDraft) onWall(p xy, bottom bool) bool {
	w := d.Section.Wall(bottom)
	if math.Abs(d.view.length(w.At(si.Length(p.x/d.view.k)))-p.y) < 1e-6 {
		return true
	}
	return slices.ContainsFunc(w.Corners, func(c geometry.Point) bool {
		q := d.view.at(c)
		return math.Abs(q.x-p.x)+math.Abs(q.y-p.y) < 1e-6
	})
}

// besideB is the depth of a surface beside the weld on side B, and how far to
// the right it keeps that.
func (d *sectionDraft) besideB(bottom bool) (y, end float64) {
	for _, l := range d.Section.Wall(bottom).Levels {
		if l.To > 0 {
			return d.view.length(l.Z), math.Min(d.right, d.view.length(l.To))
		}
	}
	return math.NaN(), math.NaN()
}
