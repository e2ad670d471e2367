package render

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

const (
	extensionGap  = 0.8 // between a feature and its extension line
	extensionOver = 1.2 // of the extension line beyond the dimension line
)

// textGap is between a dimension line and its text.
const textGap = 1.1

// horizontal draws a dimension between x1 and x2 on a line at y. Extension lines
// come from the features at from1 and from2. The text stands over the line, or
// beside it where it is wider than the distance: to the left if outward is
// negative, to the right if not, and on the other side where that is not free.
func (d *draft) horizontal(x1, x2, y, from1, from2, outward float64, text string) {
	if x1 > x2 {
		x1, x2, from1, from2 = x2, x1, from2, from1
	}
	for _, e := range []struct{ x, from float64 }{{x1, from1}, {x2, from2}} {
		side := math.Copysign(1, y-e.from)
		d.line(narrow(), xy{e.x, e.from + side*extensionGap}, xy{e.x, y + side*extensionOver})
	}
	width := d.fonts.width(say(d.tongue, text), regular, d.size)
	base := y - textGap
	begin, tail := 1.5, 0.0 // of text beside the line, and of an arrow outside
	if x2-x1 >= 2*arrowLength+1 {
		d.line(narrow(), xy{x1, y}, xy{x2, y})
		d.arrow(black(), xy{x2, y}, xy{x1, y})
		d.arrow(black(), xy{x1, y}, xy{x2, y})
		if width+2 <= x2-x1 {
			d.float(text, spot{x: (x1 + x2) / 2, y: base, anchor: alignCentre})
			return
		}
	} else {
		tail = 4.5
		d.line(narrow(), xy{x1 - tail, y}, xy{x2 + tail, y})
		d.arrow(black(), xy{x1 - tail, y}, xy{x1, y})
		d.arrow(black(), xy{x2 + tail, y}, xy{x2, y})
	}
	left := spot{x: x1 - begin, y: base, anchor: alignRight, line: []xy{{x1 - tail, y}, {x1 - begin - width, y}}}
	right := spot{x: x2 + begin, y: base, anchor: alignLeft, line: []xy{{x2 + tail, y}, {x2 + begin + width, y}}}
	if outward < 0 {
		left, right = right, left
	}
	d.float(text, right, left)
}

// vertical draws a dimension between y1 and y2 on a line at x, the text along it
// or, where it is longer than the distance, beside it, away from the features.
func (d *draft) vertical(y1, y2, x, from1, from2 float64, text string) {
	if y1 > y2 {
		y1, y2, from1, from2 = y2, y1, from2, from1
	}
	for _, e := range []struct{ y, from float64 }{{y1, from1}, {y2, from2}} {
		side := math.Copysign(1, x-e.from)
		d.line(narrow(), xy{e.from + side*extensionGap, e.y}, xy{x + side*extensionOver, e.y})
	}
	width := d.fonts.width(say(d.tongue, text), regular, d.size)
	if y2-y1 >= 2*arrowLength+1 {
		d.line(narrow(), xy{x, y1}, xy{x, y2})
		d.arrow(black(), xy{x, y2}, xy{x, y1})
		d.arrow(black(), xy{x, y1}, xy{x, y2})
	} else {
		d.line(narrow(), xy{x, y1 - 5}, xy{x, y2 + 5})
		d.arrow(black(), xy{x, y1 - 5}, xy{x, y1})
		d.arrow(black(), xy{x, y2 + 5}, xy{x, y2})
	}
	middle := (y1 + y2) / 2
	if width+2 <= y2-y1 {
		d.float(text, spot{x: x - textGap, y: middle, anchor: alignCentre, angle: 90})
		return
	}
	// A second unit stands under the first: side by side they are wide.
	rows := strings.Split(strings.Replace(text, " (", "\n(", 1), "\n")
	for i, row := range rows {
		y := middle + d.capital()/2 + noteRow*(float64(i)-float64(len(rows)-1)/2)
		right := spot{x: x + 1.5, y: y, anchor: alignLeft}
		left := spot{x: x - 1.5, y: y, anchor: alignRight}
		if x < from1 {
			left, right = right, left
		}
		d.float(row, right, left)
	}
}

// breakLine draws the freehand line at which a part is cut off, from y1 to y2.
func (d *draft) breakLine(x, y1, y2 float64) {
	var points []xy
	for _, w := range freehand(y1, y2) {
		points = append(points, xy{x + w.off, w.at})
	}
	d.line(narrow(), points...)
}

// breakAcross is breakLine from x1 to x2.
func (d *draft) breakAcross(y, x1, x2 float64) {
	var points []xy
	for _, w := range freehand(x1, x2) {
		points = append(points, xy{w.at, y + w.off})
	}
	d.line(narrow(), points...)
}

// wave is a point of a freehand line: how far along, and how far beside.
type wave struct{ at, off float64 }

// freehand is a line that looks drawn by hand: straight at both ends, and the
// same each time.
func freehand(from, to float64) []wave {
	length := math.Abs(to - from)
	if math.IsNaN(length) || math.IsInf(length, 0) {
		return []wave{{from, 0}, {to, 0}}
	}
	n := 8 + int(length)
	waves := max(1, math.Round(length/14))
	depth := min(0.7, length/12)
	out := make([]wave, n+1)
	for i := range out {
		u := float64(i) / float64(n)
		turn := 2 * math.Pi * waves * u
		out[i] = wave{from + (to-from)*u, depth * (math.Sin(turn) + 0.35*math.Sin(2*turn)*(1-u))}
	}
	return out
}

// cross marks the datum.
func (d *draft) cross(at xy, size float64) {
	d.line(outline(), xy{at.x - size, at.y}, xy{at.x + size, at.y})
	d.line(outline(), xy{at.x, at.y - size}, xy{at.x, at.y + size})
}

// hatch fills polygons that do not overlap with lines at 45 degrees, all on one
// grid, so that pieces that touch look like one area.
func (d *draft) hatch(p pen, spacing float64, pieces ...[]xy) {
	type stretch struct{ from, to float64 }
	lines := map[int][]stretch{}
	// u runs along a hatch line, v across.
	const r = math.Sqrt2 / 2
	uv := func(q xy) (u, v float64) { return (q.x - q.y) * r, (q.x + q.y) * r }
	for _, piece := range pieces {
		low, high := math.Inf(1), math.Inf(-1)
		for _, q := range piece {
			_, v := uv(q)
			low, high = min(low, v), max(high, v)
		}
		if math.IsInf(high-low, 0) || math.IsNaN(high-low) {
			continue
		}
		for k := int(math.Ceil(low / spacing)); float64(k)*spacing <= high; k++ {
			v := float64(k) * spacing
			var cuts []float64
			for i, q := range piece {
				u1, v1 := uv(q)
				u2, v2 := uv(piece[(i+1)%len(piece)])
				if (v1 <= v) != (v2 <= v) {
					cuts = append(cuts, u1+(u2-u1)*(v-v1)/(v2-v1))
				}
			}
			slices.Sort(cuts)
			for i := 0; i+1 < len(cuts); i += 2 {
				lines[k] = append(lines[k], stretch{cuts[i], cuts[i+1]})
			}
		}
	}
	var keys []int
	for k := range lines {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	for _, k := range keys {
		v := float64(k) * spacing
		at := func(u float64) xy { return xy{(u + v) * r, (v - u) * r} }
		ss := lines[k]
		slices.SortFunc(ss, func(a, b stretch) int { return cmp.Compare(a.from, b.from) })
		for i := 0; i < len(ss); {
			s := ss[i]
			for i++; i < len(ss) && ss[i].from <= s.to+0.05; i++ {
				s.to = max(s.to, ss[i].to)
			}
			d.line(p, at(s.from), at(s.to))
		}
	}
}
