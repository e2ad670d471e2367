package render

import (
	"math"
	"slices"
)

// label is one line of text; x and y are where its anchor stands, on the
// baseline.
type label struct {
	x, y   float64
	text   string
	style  style
	size   float64 // points
	anchor align
	angle  float64 // 0 or 90 degrees, counter-clockwise, about the anchor
	colour colour
	box    bool    // white behind the text, so that lines do not cross it
	width  float64 // millimetres
}

// spot is a place where a text may stand, how it is set there, and the line that
// leads from it to what it names, if any.
type spot struct {
	x, y   float64
	anchor align
	angle  float64
	line   []xy
}

// floating is a text that takes the best of its places when all else is drawn.
type floating struct {
	label
	spots []spot
	pen   pen  // of the line that leads to what it names
	dot   bool // at its end, inside what it names
	spare bool // left out where it would stand over what must be seen
}

// write sets text with its baseline at y.
func (d *draft) write(x, y float64, text string, a align) *label {
	text = d.fonts.clean(say(d.tongue, text), regular)
	d.labels = append(d.labels, label{x: x, y: y, text: text, size: d.size, anchor: a,
		colour: black(), width: d.fonts.width(text, regular, d.size)})
	return &d.labels[len(d.labels)-1]
}

// wrap breaks text into rows no wider than width.
func (d *draft) wrap(text string, width float64) []string {
	var rows []string
	for _, line := range d.fonts.measure([]span{{text: say(d.tongue, text)}}, d.size).lines(width) {
		rows = append(rows, line.text())
	}
	return rows
}

// noteRow is between the baselines of the rows of a note.
const noteRow = 3.6

// note sets text in rows no wider than width, the first with its baseline at y,
// and returns where the row after the last would stand.
func (d *draft) note(x, y float64, text string, width float64) float64 {
	for _, row := range d.wrap(text, width) {
		d.write(x, y, row, alignLeft)
		y += noteRow
	}
	return y
}

// capital is the height of the text's capitals in millimetres.
func (d *draft) capital() float64 { return 0.73 * d.size * point }

// box is a rectangle on the paper.
type box struct{ left, top, right, bottom float64 }

// upright is the rectangle the label covers before it is turned.
func (t label) upright() box {
	x := t.x
	switch t.anchor {
	case alignRight:
		x -= t.width
	case alignCentre:
		x -= t.width / 2
	}
	h := t.size * point
	return box{x, t.y - 0.76*h, x + t.width, t.y + 0.22*h}
}

// bounds is the rectangle a label covers as it is turned.
func (t label) bounds() box {
	b := t.upright()
	if t.angle == 0 {
		return b
	}
	sin, cos := math.Sincos(-t.angle * math.Pi / 180)
	out := nowhere()
	for _, c := range []xy{{b.left, b.top}, {b.right, b.top}, {b.left, b.bottom}, {b.right, b.bottom}} {
		dx, dy := c.x-t.x, c.y-t.y
		out.include(xy{t.x + dx*cos - dy*sin, t.y + dx*sin + dy*cos})
	}
	return out
}

// nowhere is the rectangle that holds nothing yet.
func nowhere() box { return box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

// around is the rectangle around places.
func around(points []xy) box {
	b := nowhere()
	for _, p := range points {
		b.include(p)
	}
	return b
}

func (b *box) include(p xy) {
	b.left, b.right = min(b.left, p.x), max(b.right, p.x)
	b.top, b.bottom = min(b.top, p.y), max(b.bottom, p.y)
}

// cover includes another rectangle.
func (b *box) cover(c box) {
	b.include(xy{c.left, c.top})
	b.include(xy{c.right, c.bottom})
}

func (b box) overlaps(c box) bool {
	return b.left < c.right && c.left < b.right && b.top < c.bottom && c.top < b.bottom
}

// float sets text at the best of the places given, once everything is drawn: the
// first where it covers no other text and no line runs through it, else the one
// with the least in its way.
func (d *draft) float(text string, spots ...spot) *floating {
	text = d.fonts.clean(say(d.tongue, text), regular)
	f := &floating{label: label{text: text, size: d.size, colour: black(), width: d.fonts.width(text, regular, d.size)}, spots: spots, pen: narrow()}
	d.floats = append(d.floats, f)
	return f
}

// alternate counts from a middle to both sides by turns: 0, −1, 1, −2, 2.
func alternate(n int) float64 { return float64((n+1)/2) * float64(1-2*(n%2)) }

// at is the label as it stands at a spot.
func (f *floating) at(s spot) label {
	t := f.label
	t.x, t.y, t.anchor, t.angle = s.x, s.y, s.anchor, s.angle
	return t
}

// settle gives each floating text its place, those first that have only one. What
// still runs through one is interrupted there.
func (d *draft) settle() {
	slices.SortStableFunc(d.floats, func(f, g *floating) int { return min(len(f.spots), 2) - min(len(g.spots), 2) })
	for _, f := range d.floats {
		best, least := 0, math.Inf(1)
		for i, s := range f.spots {
			t := f.at(s)
			cost := d.covers(t) + d.blocked(s.line)
			thick, thin := d.crossings(t)
			if cost += 100*float64(thick) + 10*float64(thin); cost < least {
				best, least = i, cost
			}
			if least == 0 {
				break
			}
		}
		if len(f.spots) == 0 || f.spare && least >= 100 {
			continue
		}
		s := f.spots[best]
		t := f.at(s)
		if _, thin := d.crossings(t); thin > 0 {
			t.box = true
		}
		d.labels = append(d.labels, t)
		if len(s.line) > 1 {
			d.line(f.pen, s.line...)
			if f.dot {
				d.circle(noPen(), solid(f.pen.colour), s.line[len(s.line)-1], 0.4)
			}
		}
	}
	d.floats = nil
}

// covers is how bad it is that a label stands over others.
func (d *draft) covers(t label) (cost float64) {
	b := t.bounds()
	b.left, b.right = b.left-labelGap, b.right+labelGap
	for _, other := range d.labels {
		if b.overlaps(other.bounds()) {
			cost += 1000
		}
	}
	return cost
}

// labelGap is between texts beside each other, so that two are not read as one.
const labelGap = 0.8

// blocked is how bad it is that a line runs through texts.
func (d *draft) blocked(line []xy) (cost float64) {
	for _, other := range d.labels {
		if (shape{points: line}).touches(other.bounds()) {
			cost += 300
		}
	}
	return cost
}

// crossings counts what runs through a label: what must stay visible, which are
// wide lines and arrowheads, and the thin lines that may be interrupted.
func (d *Drawing) crossings(t label) (thick, thin int) {
	b := t.bounds()
	hatched := false
	for _, s := range d.shapes {
		if s.closed && s.fill.set && s.holds(b) {
			thick, thin, hatched = 0, 0, false // what lies under this area is not seen
			if s.dark() {
				thick = 1
			}
			continue
		}
		drawn := s.pen.width > 0 && !(s.fill.set && s.fill.colour == s.pen.colour)
		switch {
		case s.dark() && s.touches(b):
			thick++
		case drawn && s.pen.width == hatching().width && s.pen.colour == hatching().colour && len(s.points) == 2:
			hatched = hatched || s.touches(b)
		case drawn && s.touches(b):
			if s.pen.width >= outline().width {
				thick++
			} else {
				thin++
			}
		}
	}
	if hatched {
		thin++
	}
	return thick, thin
}

// dark reports whether text cannot be read over the area.
func (s shape) dark() bool {
	return s.fill.set && (s.fill.colour == black() || s.fill.colour == accent())
}

// touches reports whether a line, or the edge of an area, runs through a box.
func (s shape) touches(b box) bool {
	for i := range s.points {
		next := i + 1
		if next == len(s.points) {
			if !s.closed {
				break
			}
			next = 0
		}
		if b.cutBy(s.points[i], s.points[next]) {
			return true
		}
	}
	return false
}

// cutBy reports whether a straight line runs through the inside of a box.
func (b box) cutBy(p, q xy) bool {
	const margin = 0.02 // touching is not cutting
	if max(p.x, q.x) < b.left || min(p.x, q.x) > b.right || max(p.y, q.y) < b.top || min(p.y, q.y) > b.bottom {
		return false
	}
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{
		{p.x - q.x, p.x - b.left - margin}, {q.x - p.x, b.right - margin - p.x},
		{p.y - q.y, p.y - b.top - margin}, {q.y - p.y, b.bottom - margin - p.y},
	} {
		step, room := side[0], side[1]
		switch {
		case step == 0:
			if room < 0 {
				return false
			}
		case step < 0:
			from = max(from, room/step)
		default:
			to = min(to, room/step)
		}
	}
	return from <= to
}

// holds reports whether a box lies wholly inside an area.
func (s shape) holds(b box) bool {
	return inside(s.points, xy{b.left, b.top}) && inside(s.points, xy{b.right, b.bottom}) &&
		inside(s.points, xy{b.right, b.top}) && inside(s.points, xy{b.left, b.bottom}) && !s.touches(b)
}

// inside reports whether a place lies inside a closed outline.
func inside(outline []xy, q xy) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a.y > q.y) != (b.y > q.y) && q.x < a.x+(b.x-a.x)*(q.y-a.y)/(b.y-a.y) {
			in = !in
		}
	}
	return in
}
