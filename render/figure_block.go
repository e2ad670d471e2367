package render

import (
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
// diameters and the thickness are to scale; a job does not say where along the
// block the reflectors lie, so their distances are chosen for the drawing.
func (a artist) referenceBlock() (Figure, bool) {
	b, ok := a.block()
	if !ok || !si.Known(b.Thickness) {
		return Figure{}, false
	}
	depths := slices.Clone(b.HoleDepths)
	slices.Sort(depths)
	notch := b.Kind == "notches" || b.Kind == "holes-and-notches"
	if len(depths) == 0 && !notch {
		return Figure{}, false
	}
	largest := 2.0
	if b.Thickness > 25*si.Millimetre {
		largest = 1 // a drawing twice as high shows no more
	}
	drawing, scaleName := fitted(largest, func(s scale) *draft { return a.blockAt(s, b, depths, notch) })
	return Figure{
		Name:    "block",
		Caption: fmt.Sprintf("Reference block %s, scale %s", b.Name, scaleName),
		Alt:     fmt.Sprintf("Reference block %s, %s thick, with %d side-drilled holes.", b.Name, a.length(b.Thickness), len(depths)),
		Drawing: drawing,
	}, true
}

func (a artist) blockAt(s scale, b *schema.Block, depths []si.Length, notch bool) *draft {
	d := a.draft()
	v := viewAt(s)
	thick := v.length(b.Thickness)
	// Each reflector has a column of its own, wide enough for its dimension.
	column := 9.0
	for _, depth := range depths {
		column = max(column, d.fonts.width(a.length(depth), regular, d.size)*0.62+4)
	}
	// Of many reflectors, all are drawn and every n-th is dimensioned.
	every := 1
	if most := (figureWidth - 30) / (float64(len(depths)) + 0.6); column > most {
		every = int(math.Ceil(column / most))
		column = most
	}
	length := (float64(len(depths)) + 0.6) * column
	notchAt, notchText := length, "notch "+a.length(b.NotchDepth)+" deep"
	notchColumn := d.fonts.width(notchText, regular, d.size) + 5
	if notch {
		length += 2 * notchColumn
	}
	length = max(60, length)
	d.area(outline(), white(), xy{0, 0}, xy{length, 0}, xy{length, thick}, xy{0, thick})
	radius := v.length(b.HoleDiameter) / 2
	for i, depth := range depths {
		x, y := column*(float64(i)+0.9), v.length(depth)
		d.circle(outline(), white(), xy{x, y}, radius)
		d.line(centreLine(), xy{x - radius - 1.5, y}, xy{x + radius + 1.5, y})
		d.line(centreLine(), xy{x, y - radius - 1.5}, xy{x, y + radius + 1.5})
		if i%every == 0 {
			d.depth(x, 0, y-radius, y, a.length(depth))
		}
	}
	if len(depths) > 0 {
		holes := fmt.Sprintf("%d holes ⌀ %s%s, depth to the centre%s", len(depths), a.length(b.HoleDiameter), a.deviation("reference.hole_tolerance"), a.deviation("reference.depth_tolerance"))
		d.write(0, thick+4.5, holes, alignLeft)
	}
	if notch {
		deep := v.length(b.NotchDepth)
		const wide = 0.5
		for i, y := range []float64{0, thick} {
			sign := 1 - 2*float64(i)
			at := notchAt + notchColumn*float64(i)
			d.area(outline(), solid(black()), xy{at, y}, xy{at + wide, y}, xy{at + wide, y + sign*deep}, xy{at, y + sign*deep})
			d.write(at+1.5, y+sign*2.6+d.capital()/2, notchText, alignLeft)
		}
	}
	d.vertical(0, thick, length+7, length, length, a.length(b.Thickness))
	bottom := d.extent().bottom
	line := fmt.Sprintf("Block %s", b.Name)
	if b.Material != "" {
		line += ", " + b.Material
	}
	if si.Known(b.Diameter) {
		line += ", scanning surface curved to " + a.length(b.Diameter)
	}
	if every > 1 {
		line += fmt.Sprintf("; one depth in %d is shown", every)
	}
	if sources := a.deviationSources(); sources != "" {
		line += ". Permitted deviations: " + sources
	}
	y := bottom + 5
	note := "Depths, diameters and thickness to scale " + s.text + " when printed at full size; distances along the block are not."
	for _, row := range append(d.wrap(line, figureWidth-3), d.wrap(note, figureWidth-3)...) {
		d.write(0, y, row, alignLeft)
		y += 3.6
	}
	return d
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

// depth draws the dimension of a reflector under a surface: an arrow from the
// surface, and the depth over it, turned where columns are narrow.
func (d *draft) depth(x, surface, tip, at float64, text string) {
	if math.Abs(at-surface) > 2*arrowLength+1 {
		d.line(narrow(), xy{x, surface}, xy{x, tip})
		d.arrow(black(), xy{x, surface}, xy{x, tip})
	}
	t := d.write(x, surface-1.6, text, alignLeft)
	t.angle = 40
}
