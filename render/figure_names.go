package render

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// footing is a wedge as it stands, with the groups that use it there.
type footing struct {
	outline []xy // as far as it is drawn
	groups  []string
	below   bool
	flange  bool // it stands on the outer face of the flange
}

// wedges draws the wedges of all groups with their names; those that move in
// strokes at their nearest place, where they are wanted.
func (d *sectionDraft) wedges(strokes bool) {
	var all []footing
	for _, g := range d.Groups {
		for i := range g.Placements {
			p := &g.Placements[i]
			if !strokes && len(p.Far) > 0 {
				continue
			}
			d.wedge(p, false)
			shown := d.wedgeOutline(p)
			if p.Flange == nil {
				shown = clip(clip(shown, d.left, true), d.right, false)
			}
			same := slices.IndexFunc(all, func(s footing) bool {
				return slices.Equal(s.outline, shown) || p.Upright && around(s.outline) == around(shown) // from both sides over the middle
			})
			if same < 0 {
				all = append(all, footing{outline: shown, below: p.Front.Z > 0 && p.Flange == nil, flange: p.Flange != nil})
				same = len(all) - 1
			}
			name := g.Set.Name
			if !strokes {
				name = shortName(name)
			}
			if !slices.Contains(all[same].groups, name) {
				all[same].groups = append(all[same].groups, name)
			}
		}
	}
	d.wedgeNames(all)
}

// shortName is a name by its beginning and its end, for a small figure.
func shortName(name string) string {
	const most, kept = 14, 6
	if runes := []rune(name); len(runes) > most {
		return string(runes[:kept]) + "…" + string(runes[len(runes)-kept:])
	}
	return name
}

// nameRow is between the baselines of names over each other.
const nameRow = 3.6

// wedgeNames names each wedge: inside it, where the name stands in no other
// wedge, else beyond all of them with a leader to an edge that is its own. Room
// is made for as many rows as the names need.
func (d *sectionDraft) wedgeNames(all []footing) {
	wide := map[[2]bool]float64{} // of the names beyond the wedges, by surface and side
	count := map[[2]bool]float64{}
	room := map[[2]bool]box{}
	beyond := make([]bool, len(all))
	spots := make([][]spot, len(all))
	for i, s := range all {
		if s.flange {
			continue
		}
		b := around(s.outline)
		key := [2]bool{s.below, (b.left+b.right)/2 > 0}
		r, ok := room[key]
		if !ok {
			r = nowhere()
		}
		r.cover(b)
		room[key] = r
		text := strings.Join(s.groups, ", ")
		if spots[i] = d.insideWedge(all, i, text); len(spots[i]) == 0 {
			beyond[i] = true
			wide[key] += d.fonts.width(text, regular, d.size) + 3
			count[key]++
		}
	}
	above, below := d.above, d.below
	for key, w := range wide {
		b := room[key]
		need := nameRow*min(count[key], math.Ceil(w/max(10, b.right-b.left))) + 0.6
		if key[0] {
			d.below = max(d.below, below+need)
		} else {
			d.above = min(d.above, above-need)
		}
	}
	for i, s := range all {
		if s.flange {
			d.nameOnFlange(all, i)
			continue
		}
		y, step := above-1.4, -nameRow
		if s.below {
			y, step = below+1.4+d.capital(), nameRow
		}
		f := d.float(strings.Join(s.groups, ", "), append(spots[i], d.beyondWedge(all, i, y, step)...)...)
		f.dot = beyond[i]
	}
}

// nameOnFlange names a wedge on the outer face of a flange: inside it, or to the
// right of all that stand there, with a leader.
func (d *sectionDraft) nameOnFlange(all []footing, own int) {
	text := strings.Join(all[own].groups, ", ")
	spots := d.insideWedge(all, own, text)
	inside := len(spots) > 0
	right := 0.0
	for _, s := range all {
		if s.flange {
			right = max(right, around(s.outline).right)
		}
	}
	b := around(all[own].outline)
	for n := range 13 {
		y := (b.top+b.bottom)/2 + nameRow*alternate(n)
		spots = append(spots, spot{x: right + 4, y: y + d.capital()/2, anchor: alignLeft, line: []xy{{right + 3.4, y}, {b.right - 1.4, (b.top + b.bottom) / 2}}})
	}
	f := d.float(text, spots...)
	if f.dot = !inside; f.dot {
		d.beyond = max(d.beyond, right+4+f.width)
	}
}

// insideWedge are the places for a name inside its wedge and no other, those
// nearest to its middle first.
func (d *sectionDraft) insideWedge(all []footing, own int, text string) (spots []spot) {
	b, width := around(all[own].outline), d.fonts.width(text, regular, d.size)
	for _, down := range []float64{0.5, 0.65, 0.35} {
		for n := range 13 {
			x := (b.left+b.right)/2 + (b.right-b.left)/14*alternate(n)
			s := spot{x: x, y: b.top + down*(b.bottom-b.top) + d.capital()/2, anchor: alignCentre}
			t := label{x: s.x, y: s.y, width: width + 1.6, size: d.size, anchor: s.anchor}.bounds()
			alone := shape{points: all[own].outline, closed: true}.holds(t)
			for i, other := range all {
				edge := shape{points: other.outline, closed: true}
				alone = alone && (i == own || !edge.touches(t) && !edge.holds(t))
			}
			if alone {
				spots = append(spots, s)
			}
		}
	}
	return spots
}

// beyondWedge are the places for a name beyond all wedges, with leaders that end
// in a part of its own wedge that lies in no other, or as little as may be.
func (d *sectionDraft) beyondWedge(all []footing, own int, y, step float64) (spots []spot) {
	const deep = 1.4 // of a leader's end under the edge
	outline := all[own].outline
	b, up := around(outline), math.Copysign(1, step)
	alone := func(at xy, margin float64) bool {
		for i, other := range all {
			near := shape{points: other.outline, closed: true}
			if i != own && (near.touches(box{at.x - margin, at.y - margin, at.x + margin, at.y + margin}) || inside(other.outline, at)) {
				return false
			}
		}
		return inside(outline, at)
	}
	for _, margin := range []float64{0.5, 0.1, -1} {
		for n := range 39 {
			x := b.left + (b.right-b.left)*(0.5+0.025*alternate(n))
			end, ok := edgeAt(outline, x, up)
			if end.y -= up * deep; !ok || margin >= 0 && !alone(end, margin) {
				continue
			}
			for row := range len(all) + 2 {
				base := y + step*float64(row)
				foot := base + 0.7
				if up > 0 {
					foot = base - d.capital() - 0.7
				}
				for m := range 7 {
					at := x + 3*alternate(m)
					spots = append(spots, spot{x: at, y: base, anchor: alignCentre, line: []xy{{at, foot}, end}})
				}
			}
		}
		if len(spots) > 0 {
			break
		}
	}
	return spots
}

// edgeAt is where an outline is met first at x from above, or from below where up
// is positive.
func edgeAt(outline []xy, x, up float64) (at xy, ok bool) {
	for i, p := range outline {
		q := outline[(i+1)%len(outline)]
		if (p.x > x) != (q.x > x) {
			if y := p.y + (q.y-p.y)*(x-p.x)/(q.x-p.x); !ok || (y-at.y)*up > 0 {
				at, ok = xy{x, y}, true
			}
		}
	}
	return at, ok
}

// numbered is how many missed regions the document lists.
const numbered = 10

// numbers marks missed regions with their numbers in the list of them, those
// that a number has room in.
func (d *sectionDraft) numbers(regions [][][]xy) {
	for i, pieces := range regions[:min(len(regions), numbered)] {
		text := label{text: fmt.Sprint(i + 1), size: d.size, style: bold, anchor: alignCentre}
		text.width = d.fonts.width(text.text, bold, d.size)
		b := around(slices.Concat(pieces...))
		const steps = 16
		boxes := make([]box, len(pieces))
		for k, p := range pieces {
			boxes[k] = around(p)
		}
		var spots []spot
		for _, margin := range []float64{3, 1.5, 0.3} {
			for n := 1; n < steps; n++ {
				for m := 1; m < steps; m++ {
					text.x, text.y = b.left+(b.right-b.left)*float64(n)/steps, b.top+(b.bottom-b.top)*float64(m)/steps+d.capital()/2
					if filled(pieces, boxes, text.bounds(), margin) {
						spots = append(spots, spot{x: text.x, y: text.y, anchor: alignCentre})
					}
				}
			}
		}
		if len(spots) > 0 {
			f := d.float(text.text, spots...)
			f.style, f.width = bold, text.width
		}
	}
}

// filled reports whether pieces, each in the box around it, fill a box and a
// margin around it.
func filled(pieces [][]xy, boxes []box, b box, margin float64) bool {
	for _, x := range []float64{b.left - margin, (b.left + b.right) / 2, b.right + margin} {
		for _, y := range []float64{b.top - margin, (b.top + b.bottom) / 2, b.bottom + margin} {
			in := false
			for k, o := range boxes {
				in = in || o.left <= x && x <= o.right && o.top <= y && y <= o.bottom && inside(pieces[k], xy{x, y})
			}
			if !in {
				return false
			}
		}
	}
	return true
}
