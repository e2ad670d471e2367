package render

import (
	"errors"
	"math"

	"soundwrit/templates"
)

// Figure is one drawing with what is said of it.
type Figure struct {
	Name    string // the Markdown refers to it as name.svg
	Caption string
	Alt     string // what it shows, for those who do not see it
	Drawing Drawing
}

// Drawing is a drawing as data, in millimetres of the paper: shapes, and texts
// over them. Line types follow the habits of ISO 128.
type Drawing struct {
	width, height float64
	shapes        []shape
	labels        []label
}

// xy is a place on the paper, y downwards.
type xy struct{ x, y float64 }

// shape is a line or an area.
type shape struct {
	points []xy
	closed bool
	pen    pen
	fill   paint
}

// pen is a line type: its width and dashes in millimetres.
type pen struct {
	width  float64 // 0 draws no line
	dash   []float64
	colour colour
}

// paint fills an area, where set.
type paint struct {
	set    bool
	colour colour
}

func noPen() pen      { return pen{} }
func outline() pen    { return pen{0.45, nil, black()} }                     // visible outlines
func narrow() pen     { return pen{0.18, nil, black()} }                     // dimensions, leaders
func thin() pen       { return pen{0.25, nil, black()} }                     // outlines of lesser weight
func centreLine() pen { return pen{0.18, []float64{6, 1, 0.6, 1}, black()} } // long dash, dot
func dashed() pen     { return pen{0.25, []float64{2, 1}, black()} }         // boundary of a zone, hidden edge
func phantom() pen    { return pen{0.25, []float64{5, 0.8, 0.5, 0.8, 0.5, 0.8}, accent()} }
func ray() pen        { return pen{0.3, nil, accent()} }
func hatching() pen   { return pen{0.22, nil, accent()} }

func solid(c colour) paint { return paint{true, c} }
func tint() paint          { return solid(grey(0xEE)) }
func white() paint         { return solid(grey(0xFF)) }

// check refuses a drawing that holds a number that is not one.
func (d Drawing) check() error {
	bad := math.IsNaN(d.width+d.height) || math.IsInf(d.width+d.height, 0)
	for _, s := range d.shapes {
		for _, p := range s.points {
			bad = bad || math.IsNaN(p.x+p.y) || math.IsInf(p.x+p.y, 0)
		}
	}
	for _, t := range d.labels {
		bad = bad || math.IsNaN(t.x+t.y+t.angle) || math.IsInf(t.x+t.y+t.angle, 0)
	}
	if bad {
		return errors.New("a quantity that it shows is unknown")
	}
	return nil
}

// draft is a drawing in the making. Coordinates may be anything; finish moves
// the whole to its place.
type draft struct {
	Drawing
	fonts *typeface
	size  float64 // of the text, points

	floats []*floating // texts that are still to find their places
	tongue *templates.Tongue
}

func (d *draft) line(p pen, points ...xy) {
	d.shapes = append(d.shapes, shape{points: points, pen: p})
}

func (d *draft) area(p pen, f paint, points ...xy) {
	d.shapes = append(d.shapes, shape{points: points, closed: true, pen: p, fill: f})
}

// circle draws a circle as a polygon that is nowhere off by more than a
// hundredth of a millimetre.
func (d *draft) circle(p pen, f paint, c xy, radius float64) {
	n := 16
	if radius > 0 {
		n += 4 * int(8*math.Sqrt(radius))
	}
	points := make([]xy, n)
	for i := range points {
		a := 2 * math.Pi * float64(i) / float64(n)
		points[i] = xy{c.x + radius*math.Cos(a), c.y + radius*math.Sin(a)}
	}
	d.area(p, f, points...)
}

// arrowLength and arrowWidth are of the arrowheads of dimensions and rays.
const arrowLength, arrowWidth = 2.2, 0.8

// arrow draws a filled arrowhead that points from one place to another and ends
// at the second.
func (d *draft) arrow(c colour, from, to xy) {
	dx, dy := to.x-from.x, to.y-from.y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return
	}
	dx, dy = dx/n, dy/n
	base := xy{to.x - arrowLength*dx, to.y - arrowLength*dy}
	d.area(noPen(), solid(c), to,
		xy{base.x - dy*arrowWidth/2, base.y + dx*arrowWidth/2},
		xy{base.x + dy*arrowWidth/2, base.y - dx*arrowWidth/2})
}

// extent is the rectangle that holds everything drawn, with texts that float at
// the first of their places.
func (d *draft) extent() box {
	b := nowhere()
	for _, s := range d.shapes {
		for _, p := range s.points {
			b.include(p)
		}
	}
	for _, t := range d.labels {
		b.cover(t.bounds())
	}
	for _, f := range d.floats {
		if len(f.spots) > 0 {
			b.cover(f.at(f.spots[0]).bounds())
		}
	}
	return b
}

// finish sets the texts that float, moves the drawing so that it begins at a
// small margin, and measures it.
func (d *draft) finish() Drawing {
	d.settle()
	const margin = 0.5
	b := d.extent()
	dx, dy := margin-b.left, margin-b.top
	for i := range d.shapes {
		for j := range d.shapes[i].points {
			d.shapes[i].points[j].x += dx
			d.shapes[i].points[j].y += dy
		}
	}
	for i := range d.labels {
		d.labels[i].x += dx
		d.labels[i].y += dy
	}
	d.width, d.height = b.right-b.left+2*margin, b.bottom-b.top+2*margin
	return d.Drawing
}
