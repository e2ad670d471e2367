package render

import (
	"slices"

	"soundwrit/internal/coverage"
	"soundwrit/internal/technique"
)

// placements lists those of all groups.
func (a artist) placements() []technique.Placement {
	var all []technique.Placement
	for _, g := range a.Groups {
		all = append(all, g.Placements...)
	}
	return all
}

// allSection draws the joint with the wedges of all groups, and what they miss
// together.
func (a artist) allSection() (Figure, bool) {
	all := a.placements()
	if len(all) == 0 {
		return Figure{}, false
	}
	var told []technique.Placement
	for _, p := range all {
		told = append(told, stated(p))
	}
	drawing, scaleName := fitted(5, func(s scale) *draft {
		d := a.section(s, all, len(all))
		if s.factor <= 1 && d.right-d.left > figureWidth-45 {
			d = a.section(s, all, 0)
		}
		layers, entries := a.often()
		d.missed(a.Coverage, layers...)
		d.joint()
		d.wedges(true)
		d.centreline(told)
		d.belowPart()
		d.sides()
		d.legend(append(entries, missedEntry(missedText(a.Coverage, "by any group"))), s.text)
		return d.draft
	})
	return Figure{
		Name:    "section-all",
		Caption: "All groups, section across the weld, scale " + scaleName,
		Alt:     "Section across the weld with the wedges of all groups and how often each place is reached; " + missedText(a.Coverage, "by any group") + ".",
		Drawing: drawing,
	}, true
}

// layer is what is reached so often, with its tint.
type layer struct {
	rows coverage.Rows
	tint colour
}

// often are what is reached twice and more often, with what the legend says of
// the tints; nothing where there is one view of the weld.
func (a artist) often() (layers []layer, entries []entry) {
	if len(a.Views) < 2 {
		return nil, []entry{volumeEntry()}
	}
	texts := []string{"reached once, by one group from one side", "reached twice, by different groups or from different sides", "reached three times or more"}
	tints := []colour{tint().colour, stepTints()[2], stepTints()[3]}
	once := coverage.Measure(a.Section, coverage.AtLeast(2, a.Views...)).Reached < a.Coverage.Reached*(1-1e-9)
	for i := range texts {
		if i > 0 {
			rows := coverage.AtLeast(i+1, a.Views...)
			if !(coverage.Measure(a.Section, rows).Reached > 0) {
				break
			}
			layers = append(layers, layer{rows, tints[i]})
		}
		if i > 0 || once {
			entries = append(entries, entry{texts[i], narrow(), solid(tints[i]), false})
		}
	}
	return layers, append([]entry{{"volume to be examined", dashed(), white(), false}}, entries...)
}

// How large the small drawing on the crew's sheet may be, so that the key numbers
// have room beside it.
const positionsWidth, positionsHeight = 110.0, 47.0

// positions draws where the wedges stand and nothing else, small enough for the
// crew's sheet.
func (a artist) positions() (Figure, bool) {
	all := slices.DeleteFunc(a.placements(), func(p technique.Placement) bool { return len(p.Far) > 0 })
	if len(all) == 0 {
		return Figure{}, false // what moves in strokes stands nowhere
	}
	high := positionsHeight
	if slices.ContainsFunc(all, func(p technique.Placement) bool { return p.Flange != nil }) {
		high = positionsHeight + 20 // wedges stand upright on the flange
	}
	drawing, scaleName := fittedIn(2, positionsWidth, high, func(s scale) *draft {
		d := a.section(s, all, len(all))
		if a.tee() {
			d.shorten(all)
		}
		d.joint()
		d.wedges(false)
		d.centreline(all)
		d.sides()
		return d.draft
	})
	return Figure{
		Name:    "positions",
		Caption: "Where the wedges stand, scale " + scaleName,
		Alt:     "Section across the weld with the wedges of all groups and their distances from the weld centreline.",
		Drawing: drawing,
	}, true
}
