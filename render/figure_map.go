package render

import (
	"fmt"

	"soundwrit/internal/coverage"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// mapPanel is one map over the section: values in steps, and what is said of
// it.
type mapPanel struct {
	values *technique.MapValues
	levels []si.Decibel // falling
	title  string
	worst  bool // marks the smallest value
}

// predicted draws the echoes that a group is predicted to receive: those of a
// small reflector, and beside them those of a flat one.
func (a artist) predicted(g *technique.Group) (Figure, bool) {
	m := g.Map
	if m == nil {
		return Figure{}, false
	}
	step := func(of ...float64) []si.Decibel {
		var levels []si.Decibel
		for _, x := range of {
			levels = append(levels, m.Allowance+si.Decibel(x))
		}
		return levels
	}
	// Of what stays below 0 dB three steps lie above the allowance; a flat flaw
	// may echo higher than the reflector.
	third := -float64(m.Allowance) / 3
	fine := step(2*third, third, 0, -6)
	if !(third > 0.5) {
		fine = step(0, -6)
	}
	panels := []mapPanel{{&m.Hole, fine, "Small or round reflector, best of the sides", true}}
	shown := "of a small or round reflector"
	if g.Pair != nil {
		panels[0].title, shown = "What diffracts alike in all directions", "of what diffracts alike in all directions"
	}
	grid := a.worked(m.Hole.Step())
	if m.Face != "" {
		flat := m.Facet()
		panels = append(panels, mapPanel{&flat, step(12, 6, 0, -6),
			fmt.Sprintf("Flat flaw of %s, tilted as face %s, from side %s", a.length(m.Height), m.Face, m.Side), false})
		shown, grid = shown+" and of a flat flaw", grid+" and "+a.length(flat.Step())
	}
	drawing, scaleName := fittedIn(5, figureWidth, mapHeight, func(s scale) *draft {
		// Beside each other; or over each other, each with its legend beside it,
		// where the scale is then larger.
		d := a.panels(s, g, panels, false)
		if b := d.extent(); b.right-b.left > figureWidth-1 {
			d = a.panels(s, g, panels, true)
		}
		return d
	})
	name := g.Set.Name
	return Figure{
		Name:    "map-" + name,
		Caption: fmt.Sprintf("Group %s, predicted echo %s, at places %s apart, scale %s", name, shown, grid, scaleName),
		Alt: fmt.Sprintf("Section across the weld in steps of the predicted echo %s; %s; lower than that is %s of the volume that group %s reaches.",
			shown, marked(m, g.Pair != nil), a.share(g), name),
		Drawing: drawing,
	}, true
}

// mapHeight is how high the maps of a group may be.
const mapHeight = 125.0

// panels draws the maps of a group.
func (a artist) panels(s scale, g *technique.Group, panels []mapPanel, stacked bool) *draft {
	all := a.draft()
	x, y := 0.0, 0.0
	for _, p := range panels {
		d := a.panel(s, g, p, stacked)
		box := d.extent()
		all.paste(d.draft, xy{x - box.left, y})
		if stacked {
			y += box.bottom - box.top + 6
		} else {
			x += box.right - box.left + 8
		}
	}
	return all
}

// share is how much of the volume reached lies below the allowance, never
// printed smaller than it is.
func (a artist) share(g *technique.Group) string {
	v, ok := a.Value("groups." + g.Set.Name + ".map.above")
	if !ok {
		return "an unknown share"
	}
	return shortest(100*(1-v.Q.SI), 0, si.Up) + " %"
}

func gain(x si.Decibel) string { return shortest(float64(x), 1, si.Nearest) + " dB" }

// stepTints are of one ink, light to dark.
func stepTints() []colour {
	return []colour{{0xEC, 0xF2, 0xF4}, {0xCB, 0xDB, 0xE2}, {0xA2, 0xBD, 0xC9}, {0x74, 0x9A, 0xAB}, {0x43, 0x72, 0x87}}
}

// panelWidth is what the words over and under a map may take in millimetres, at
// least.
const panelWidth = 62.0

// panel draws one map with its title and its legend, which stands under it or
// beside it.
func (a artist) panel(s scale, g *technique.Group, p mapPanel, beside bool) *sectionDraft {
	d := a.section(s, nil, 0)
	tints := stepTints()
	if len(p.levels) < len(tints)-1 {
		tints = []colour{tints[0], tints[2], tints[4]}
	}
	d.area(noPen(), white(), d.part()...)
	d.area(noPen(), solid(tints[0]), d.view.outline(d.Section.Volume)...)
	for i, level := range p.levels {
		c := tints[i+1]
		for _, piece := range p.values.Below(level).Outlines() {
			// Pieces that touch must not show a seam: so each has an edge.
			d.area(pen{0.15, nil, c}, solid(c), d.view.outline(piece)...)
		}
	}
	missed := coverage.Measure(d.Section, p.values.Reached).Missed
	d.blank(missed)
	d.joint()
	for _, level := range p.levels {
		d.level(p.values.Below(level), p.values.Reached, level)
	}
	if p.worst {
		at := d.view.at(g.Map.Worst)
		d.circle(pen{0.9, nil, grey(0xFF)}, paint{}, at, 1.1)
		d.circle(outline(), paint{}, at, 1.1)
	}
	d.sides()
	left, right := d.span()
	rows := d.wrap(p.title, max(panelWidth, right-left))
	for i, text := range rows {
		d.write(left, d.above-3-noteRow*float64(len(rows)-1-i), text, alignLeft)
	}
	if beside {
		d.steps(p, g.Map, g.Pair != nil, tints, len(missed) > 0, xy{right + 6, d.above + d.capital()})
	} else {
		d.steps(p, g.Map, g.Pair != nil, tints, len(missed) > 0, xy{left, d.below + 6})
	}
	return d
}

// blank hatches what is not reached.
func (d *sectionDraft) blank(missed []coverage.Missed) {
	var pieces [][]xy
	for _, m := range missed {
		for _, p := range m.Outline {
			piece := d.view.outline(p)
			pieces = append(pieces, piece)
			d.area(pen{0.15, nil, grey(0xFF)}, white(), piece...)
		}
	}
	d.hatch(hatching(), 1.6, pieces...)
}

// level writes a level on its contour, where that runs inside what is reached
// and no other level stands, as near to its middle row as may be.
func (d *sectionDraft) level(below, reached coverage.Rows, level si.Decibel) {
	const noise = 1e-9
	var crossings []geometry.Point
	for j, row := range below.Row {
		for _, r := range row {
			for _, whole := range reached.Row[j] {
				for _, x := range []si.Length{r.From, r.To} {
					if d.view.length(r.To-r.From) > 1 && x > whole.From+noise && x < whole.To-noise {
						crossings = append(crossings, geometry.Point{X: x, Z: below.Top + below.Height*(si.Length(j)+0.5)})
					}
				}
			}
		}
	}
	var spots []spot
	for n := range crossings {
		// From the middle of the list to both ends.
		at := d.view.at(crossings[(len(crossings)-1)/2+(n+1)/2*(2*(n%2)-1)])
		if y := at.y + d.capital()/2; y-d.capital() > 0.5 && y < d.bottom-0.5 {
			spots = append(spots, spot{x: at.x, y: y, anchor: alignCentre})
		}
	}
	f := d.float(shortest(float64(level), 1, si.Nearest), spots...)
	f.box, f.spare = true, true
}

// steps explains the tints of a map, from a place on.
func (d *sectionDraft) steps(p mapPanel, m *technique.Map, pair bool, tints []colour, missed bool, from xy) {
	left, y := from.x, from.y
	sample := func(text string) []xy {
		d.write(left+9, y, text, alignLeft)
		return []xy{{left, y - 2.4}, {left + 7, y - 2.4}, {left + 7, y}, {left, y}}
	}
	for i := range p.levels {
		text := gain(p.levels[i]) + " and above"
		if i > 0 {
			text = gain(p.levels[i]) + " to " + gain(p.levels[i-1])
		}
		if p.levels[i] == m.Allowance {
			text += "; " + marked(m, pair)
		}
		d.area(narrow(), solid(tints[i]), sample(text)...)
		y += 4
	}
	d.area(narrow(), solid(tints[len(p.levels)]), sample("below "+gain(p.levels[len(p.levels)-1]))...)
	if missed {
		y += 4
		box := sample("not reached")
		d.area(narrow(), white(), box...)
		d.hatch(hatching(), 1.6, box)
	}
	if p.worst {
		y += 4
		sample("smallest echo")
		d.circle(outline(), paint{}, xy{left + 3.5, y - 1.2}, 1.1)
	}
}

// marked says what level of a map matters.
func marked(m *technique.Map, pair bool) string {
	if pair {
		return "the edges of both beams lose " + gain(-m.Allowance)
	}
	return "the allowance is " + gain(m.Allowance)
}

// paste adds another draft, moved by so much.
func (d *draft) paste(other *draft, by xy) {
	other.settle()
	for _, s := range other.shapes {
		points := make([]xy, len(s.points))
		for i, p := range s.points {
			points[i] = xy{p.x + by.x, p.y + by.y}
		}
		s.points = points
		d.shapes = append(d.shapes, s)
	}
	for _, t := range other.labels {
		t.x, t.y = t.x+by.x, t.y+by.y
		d.labels = append(d.labels, t)
	}
}
