package render

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

// block returns the reference block of the job.
func (a artist) block() (*schema.Block, bool) {
	blocks := a.Job.Equipment.Blocks
	for i := range blocks {
		if blocks[i].Name == a.Job.Reference.Block {
			return &blocks[i], true
		}
	}
	return nil, false
}

// referenceBlock draws the reference block with its reflectors. Depths,
// diameters and the thickness are to scale; where the job says where along the
// block the reflectors lie, these distances are too, and else they are chosen for
// the drawing.
func (a artist) referenceBlock() (Figure, bool) {
	b, ok := a.block()
	if !ok || !si.Known(b.Thickness) || b.Reflectors() == 0 {
		return Figure{}, false
	}
	largest := 2.0
	if b.Thickness > 25*si.Millimetre {
		largest = 1 // a drawing twice as high shows no more
	}
	drawing, scaleName := fitted(largest, func(s scale) *draft { return a.blockAt(s, b) })
	alt := fmt.Sprintf("Reference block %s, %s thick, with %d side-drilled holes", b.Name, a.length(b.Thickness), len(b.HoleDepths))
	if b.Notched() {
		alt += " and a notch in each surface"
	}
	return Figure{
		Name:    "block",
		Caption: fmt.Sprintf("Reference block %s, scale %s", b.Name, scaleName),
		Alt:     alt + ".",
		Drawing: drawing,
	}, true
}

// reflector is one in the drawing of a block.
type reflector struct {
	at    float64   // along the block, on the paper
	place si.Length // along the block; NaN where the job does not say
	depth si.Length // of a hole's centre
	notch bool
	far   bool // of a notch: in the far surface
	shown bool // with its dimensions
}

// marks lays the reflectors of a block out along it, and says how long it is on
// the paper.
func (a artist) marks(d *draft, v view, b *schema.Block) (marks []reflector, length float64) {
	unknown := si.Unknown[si.Length]()
	for _, depth := range b.HoleDepths {
		marks = append(marks, reflector{depth: depth})
	}
	if b.Notched() {
		marks = append(marks, reflector{notch: true}, reflector{notch: true, far: true})
	}
	if si.Known(b.Length) && len(b.Places) == len(marks) {
		for i := range marks {
			marks[i].place, marks[i].at, marks[i].shown = b.Places[i], v.length(b.Places[i]), true
		}
		slices.SortStableFunc(marks, func(m, n reflector) int { return cmp.Compare(m.at, n.at) })
		last := math.Inf(-1)
		for i := range marks {
			if marks[i].shown = marks[i].at >= last+marksApart(v, b); marks[i].shown {
				last = marks[i].at
			}
		}
		return marks, v.length(b.Length)
	}
	// Each reflector has a column of its own, wide enough for its dimension.
	slices.SortStableFunc(marks[:len(b.HoleDepths)], func(m, n reflector) int { return cmp.Compare(m.depth, n.depth) })
	column := marksApart(v, b)
	// Of many reflectors, all are drawn and every n-th is dimensioned.
	every := 1
	if most := (figureWidth - 30) / (float64(len(marks)) + 0.6); column > most {
		every = int(math.Ceil(column / most))
		column = most
	}
	for i := range marks {
		marks[i].place, marks[i].at, marks[i].shown = unknown, column*(float64(i)+0.9), i%every == 0
	}
	length = (float64(len(marks)) + 0.6) * column
	return marks, max(60, length, min(length+4+d.fonts.width(a.holes(b), regular, d.size), figureWidth-40))
}

// marksApart is the distance of two reflectors that leaves room for the depth of
// each, in millimetres of the paper.
func marksApart(v view, b *schema.Block) float64 {
	if wide := v.length(b.HoleDiameter); wide > 0 {
		return wide + 8
	}
	return 9
}

// holes says how many holes a block has, and how wide they are.
func (a artist) holes(b *schema.Block) string {
	return fmt.Sprintf("%d × ⌀ %s%s", len(b.HoleDepths), a.length(b.HoleDiameter), a.deviation("reference.hole_tolerance"))
}

func (a artist) blockAt(s scale, b *schema.Block) *draft {
	d := a.draft()
	v := a.viewAt(s)
	thick := v.length(b.Thickness)
	marks, length := a.marks(d, v, b)
	d.area(outline(), white(), xy{0, 0}, xy{length, 0}, xy{length, thick}, xy{0, thick})
	radius := v.length(b.HoleDiameter) / 2
	missing, placed := 0, false
	for _, m := range marks {
		tip := 0.0
		if !m.notch {
			y := v.length(m.depth)
			d.circle(outline(), white(), xy{m.at, y}, radius)
			side := radius + 3 // from the hole to the line of its depth
			if !m.shown {
				side = 1.5
			}
			d.line(centreLine(), xy{m.at - radius - 1.5, y}, xy{m.at + radius + 1.5, y})
			d.line(centreLine(), xy{m.at, y - radius - 1.5}, xy{m.at, y + radius + 1.5})
			if m.shown {
				d.line(narrow(), xy{m.at - radius - extensionGap, y}, xy{m.at - side - extensionOver, y})
				d.depth(m.at-side, y, a.length(m.depth))
			}
			tip = y + radius
		} else {
			tip = a.notch(d, v, b, m, thick)
		}
		if !m.shown {
			missing++
		} else if si.Known(m.place) {
			placed = true
			d.line(narrow(), xy{m.at, max(tip+extensionGap, thick+extensionGap)}, xy{m.at, thick + 3})
			d.float(a.length(m.place), spot{x: m.at + d.capital()/2, y: thick + 4, anchor: alignRight, angle: 90})
		}
	}
	a.nameHoles(d, b, marks, radius, v, length)
	d.vertical(0, thick, length+7, length, length, a.length(b.Thickness))
	if si.Known(b.Length) && placed {
		y := d.extent().bottom + 5
		d.horizontal(0, length, y, thick, thick, 1, a.length(b.Length))
	}
	a.blockEnd(d, v, b, length, thick)

	y := d.note(0, d.extent().bottom+5, a.blockNotes(b), figureWidth-3)
	note := "Depths, diameters and thickness to scale " + s.text + " when printed at full size; distances along the block are not."
	if placed {
		note = "To scale " + s.text + " when printed at full size; distances under the block are from its left end."
	}
	if missing > 0 {
		note += fmt.Sprintf(" Of %d reflectors the dimensions are left out.", missing)
	}
	d.note(0, y, note, figureWidth-3)
	return d
}

// nameHoles writes number and diameter of the holes, with a leader to the last of
// them, where there is room inside the block: under it they are said again.
func (a artist) nameHoles(d *draft, b *schema.Block, marks []reflector, radius float64, v view, length float64) {
	last := -1
	for i, m := range marks {
		if !m.notch {
			last = i
		}
	}
	if last < 0 {
		return
	}
	at := xy{marks[last].at, v.length(marks[last].depth)}
	const slant = math.Sqrt2 / 2
	var spots []spot
	for _, up := range []float64{-1, 1} {
		for _, out := range []float64{4, 6, 9, 12} {
			elbow := xy{at.x + radius + out, at.y + up*out}
			if elbow.x+0.8+d.fonts.width(a.holes(b), regular, d.size) > length {
				continue
			}
			end := xy{at.x + radius*slant, at.y + up*radius*slant}
			spots = append(spots, spot{x: elbow.x + 0.8, y: elbow.y + d.capital()/2, anchor: alignLeft, line: []xy{elbow, end}})
		}
	}
	for _, out := range []float64{4, 6, 9} { // to the left of it, where holes fall to the right
		elbow, end := xy{at.x - radius - out, at.y + out}, xy{at.x - radius*slant, at.y + radius*slant}
		spots = append(spots, spot{x: elbow.x - 0.8, y: elbow.y + d.capital()/2, anchor: alignRight, line: []xy{elbow, end}})
	}
	d.float(a.holes(b), spots...).spare = true
}

// notch draws a notch and returns how far down it reaches.
func (a artist) notch(d *draft, v view, b *schema.Block, m reflector, thick float64) float64 {
	wide, deep := 0.5, v.length(b.NotchDepth)
	if si.Known(b.NotchWidth) {
		wide = max(0.4, v.length(b.NotchWidth))
	}
	from, to := 0.0, deep
	if m.far {
		from, to = thick, thick-deep
	}
	d.area(outline(), solid(black()), xy{m.at - wide/2, from}, xy{m.at + wide/2, from}, xy{m.at + wide/2, to}, xy{m.at - wide/2, to})
	return max(from, to)
}

// blockEnd draws the block seen from its end where its width is known or its
// surface curved: beside the other view, or under it where there is no room.
func (a artist) blockEnd(d *draft, v view, b *schema.Block, length, thick float64) {
	curved := si.Known(b.Diameter)
	if !curved && !si.Known(b.Width) {
		return
	}
	wide := v.length(b.Width)
	outer, half := 0.0, 0.0
	if curved {
		outer = v.length(b.Diameter) / 2
		if half = 0.35; si.Known(b.Width) {
			half = min(math.Pi, wide/2/outer)
		}
		wide = 2 * outer * math.Sin(min(half, math.Pi/2))
	}
	gap := 12 + d.fonts.width(a.length(b.Thickness), regular, d.size)
	x, y := length+gap+wide/2, 0.0
	if x+wide/2 > figureWidth-2 {
		x, y = wide/2, d.extent().bottom+14
	}
	text := "arc not stated"
	if si.Known(b.Width) {
		text = a.length(b.Width)
	}
	if !curved {
		d.area(outline(), white(), xy{x - wide/2, y}, xy{x + wide/2, y}, xy{x + wide/2, y + thick}, xy{x - wide/2, y + thick})
		d.horizontal(x-wide/2, x+wide/2, y-4, y, y, 1, text)
		return
	}
	var ring []xy
	const steps = 40
	for i := range steps + 1 {
		sin, cos := math.Sincos(half * (2*float64(i)/steps - 1))
		ring = append(ring, xy{x + outer*sin, y + outer*(1-cos)})
	}
	inner := max(0, outer-thick)
	for i := range steps + 1 {
		sin, cos := math.Sincos(half * (1 - 2*float64(i)/steps))
		ring = append(ring, xy{x + inner*sin, y + outer - inner*cos})
	}
	d.area(outline(), white(), ring...)
	d.line(centreLine(), xy{x, y - 2}, xy{x, y + thick + 2})
	if si.Known(b.Width) {
		text = "arc " + text
	}
	d.write(x, y-3.5, "⌀ "+a.length(b.Diameter)+", "+text, alignCentre)
}

// blockNotes says what the lines of the drawing do not.
func (a artist) blockNotes(b *schema.Block) string {
	var reflectors []string
	if n := len(b.HoleDepths); n > 0 {
		reflectors = append(reflectors, fmt.Sprintf("%d holes ⌀ %s%s, depth to the centre%s", n, a.length(b.HoleDiameter), a.deviation("reference.hole_tolerance"), a.deviation("reference.depth_tolerance")))
	}
	if b.Notched() {
		notch := "a notch in each surface"
		for _, size := range []struct {
			l    si.Length
			word string
		}{{b.NotchDepth, " deep"}, {b.NotchLength, " long"}, {b.NotchWidth, " wide"}} {
			if si.Known(size.l) {
				notch += ", " + a.length(size.l) + size.word
			}
		}
		reflectors = append(reflectors, notch)
	}
	line := fmt.Sprintf("Block %s", b.Name)
	if b.Material != "" {
		line += ", " + b.Material
	}
	line += ": " + strings.Join(reflectors, "; ") + "."
	if sources := a.deviationSources(); sources != "" {
		line += " Permitted deviations: " + sources + "."
	}
	return line
}

// deviation is what a code permits a dimension to be off, to stand behind it;
// empty where none is known.
func (a artist) deviation(id string) string {
	v, ok := a.Value(id)
	if !ok {
		return ""
	}
	return " ± " + v.Text()
}

// deviationSources names where the permitted deviations come from.
func (a artist) deviationSources() string {
	var sources []string
	for _, id := range []string{"reference.hole_tolerance", "reference.depth_tolerance"} {
		if v, ok := a.Value(id); ok && !slices.Contains(sources, v.Source) {
			sources = append(sources, v.Source)
		}
	}
	return strings.Join(sources, "; ")
}

// depth draws how deep a hole lies, from the surface at 0: the text along the
// line where there is room, else over the surface.
func (d *draft) depth(x, y float64, text string) {
	width := d.fonts.width(say(d.tongue, text), regular, d.size)
	over := spot{x: x + d.capital()/2, y: -1.2, anchor: alignLeft, angle: 90}
	if y < 2*arrowLength+1 {
		d.line(narrow(), xy{x, -4.5}, xy{x, y + 4.5})
		d.arrow(black(), xy{x, -4.5}, xy{x, 0})
		d.arrow(black(), xy{x, y + 4.5}, xy{x, y})
		over.y = -5.5
		d.float(text, over)
		return
	}
	d.line(narrow(), xy{x, 0}, xy{x, y})
	d.arrow(black(), xy{x, y}, xy{x, 0})
	d.arrow(black(), xy{x, 0}, xy{x, y})
	if width+2 > y {
		d.float(text, over)
		return
	}
	d.float(text, spot{x: x - textGap, y: y / 2, anchor: alignCentre, angle: 90}, over)
}
