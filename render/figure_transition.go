package render

import "slices"

// widen makes room for the transitions to thicker walls that begin within the
// drawing, and for the walls behind them.
func (d *sectionDraft) widen() {
	for _, t := range d.Section.Transitions {
		begins, ends := d.view.at(t.Begins), d.view.at(t.Ends)
		if begins.x < d.left || begins.x > d.right {
			continue
		}
		d.left, d.right = min(d.left, ends.x-6), max(d.right, ends.x+6)
		d.below = max(d.below, ends.y)
	}
}

// lower is the line of the lower surface from left to right, without the
// reinforcement.
func (d *sectionDraft) lower() []xy {
	line := []xy{{d.left, d.bottom}, {d.right, d.bottom}}
	for _, t := range d.Section.Transitions {
		begins, ends := d.view.at(t.Begins), d.view.at(t.Ends)
		switch {
		case begins.x < d.left || begins.x > d.right:
		case t.Side == "A":
			line[0].y = ends.y
			line = slices.Insert(line, 1, ends, begins)
		default:
			line[len(line)-1].y = ends.y
			line = slices.Insert(line, len(line)-1, begins, ends)
		}
	}
	return line
}

// even is how far to the right the lower surface keeps the depth that it has at
// the weld.
func (d *sectionDraft) even() float64 {
	end := d.right
	for _, t := range d.Section.Transitions {
		if t.Side == "B" {
			end = min(end, d.view.at(t.Begins).x)
		}
	}
	return end
}
