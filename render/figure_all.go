package render

import (
	"slices"

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
	drawing, scaleName := fitted(5, func(s scale) *draft {
		d := a.section(s, all, len(all))
		if s.factor <= 1 && d.right-d.left > figureWidth-45 {
			d = a.section(s, all, 0)
		}
		d.missed(a.Coverage)
		d.joint()
		d.wedges(true)
		d.centreline(all)
		d.belowPart()
		d.sides()
		d.legend([]string{"volume", missedText(a.Coverage, "by any group")}, s.text)
		return d.draft
	})
	return Figure{
		Name:    "section-all",
		Caption: "All groups, section across the weld, scale " + scaleName,
		Alt:     "Section across the weld with the wedges of all groups; " + missedText(a.Coverage, "by any group") + ".",
		Drawing: drawing,
	}, true
}

// positionsHeight is how high the small drawing on the crew's sheet may be.
const positionsHeight = 45.0

// positions draws where the wedges stand and nothing else, small enough for the
// crew's sheet.
func (a artist) positions() (Figure, bool) {
	all := slices.DeleteFunc(a.placements(), func(p technique.Placement) bool { return len(p.Far) > 0 })
	if len(all) == 0 {
		return Figure{}, false // what moves in strokes stands nowhere
	}
	drawing, scaleName := fittedIn(2, positionsHeight, func(s scale) *draft {
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
		Caption: "Where the wedges stand, section across the weld, scale " + scaleName,
		Alt:     "Section across the weld with the wedges of all groups and their distances from the weld centreline.",
		Drawing: drawing,
	}, true
}
