package coverage

import (
	"slices"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// Reach returns the stretches of the volume that at least one of the views
// reaches. The section is cut into the given number of rows, DefaultRows where
// that is zero; a section that is not known has no rows.
func Reach(section *geometry.Section, views []View, rows int) Rows {
	if !section.Known() {
		return Rows{}
	}
	if rows <= 0 {
		rows = DefaultRows
	}
	reached := newRows(section, rows)
	for i := range views {
		view := &views[i]
		transmit, receive := newSweep(&view.Transmit, section), (*sweep)(nil)
		if !view.Receive.equals(&view.Transmit) {
			receive = newSweep(&view.Receive, section)
		}
		var bounds, there, back, both []Interval
		for k := range reached.Row {
			middle := reached.middle(k)
			from, to := section.VolumeRow(middle)
			if !(to > from) {
				continue
			}
			bounds = append(bounds[:0], Interval{from, to})
			if view.Region != nil {
				if bounds = clipped(bounds, view.Region, reached.edge(k), reached.edge(k+1)); len(bounds) == 0 {
					continue
				}
			}
			there = transmit.stretches(there[:0], float64(middle), float64(from), float64(to))
			both = common(both[:0], bounds, there)
			if receive != nil {
				back = receive.stretches(back[:0], float64(middle), float64(from), float64(to))
				reached.Row[k] = common(reached.Row[k], both, back)
			} else {
				reached.Row[k] = append(reached.Row[k], both...)
			}
		}
	}
	for k := range reached.Row {
		reached.Row[k] = merged(reached.Row[k])
	}
	return reached
}

// clipped cuts a row's bounds to the region. A row that the region does not
// hold in full is left out, so that no more counts than is imaged.
func clipped(bounds []Interval, region *schema.Region, top, bottom si.Length) []Interval {
	if !(top >= region.Top-floatNoise && bottom <= region.Bottom+floatNoise) {
		return nil
	}
	return common(nil, bounds, []Interval{{-region.Near, region.Far}})
}

// sweep finds, row by row, where enough emitters of a way reach.
type sweep struct {
	*shine
	ends map[cell][]end
}

// end is where the rays of one emitter begin or stop to reach, seen along X.
type end struct {
	line line
	step int // +1 begins, -1 stops
	x    float64
}

func newSweep(way *Way, section *geometry.Section) *sweep {
	return &sweep{newShine(way, section), make(map[cell][]end)}
}

// stretches appends to dst the stretches at depth z, among those between from
// and to, that enough emitters reach.
func (s *sweep) stretches(dst []Interval, z, from, to float64) []Interval {
	for i := range len(s.zones.x) + 1 {
		low, high := s.zones.stretch(i)
		if !(low < to && high > from) {
			continue
		}
		place := cell{i, s.zones.cell(0, z).z}
		ends, ok := s.ends[place]
		if !ok {
			for _, fans := range s.at(within(max(low, from), min(high, to)), z) {
				for _, f := range fans {
					ends = append(ends, end{line: f.from, step: 1}, end{line: f.to, step: -1})
				}
			}
			s.ends[place] = ends
		}
		dst = s.zone(dst, ends, z, low, high)
	}
	return dst
}

// zone appends the stretches of one zone, cut where it ends.
func (s *sweep) zone(dst []Interval, ends []end, z, low, high float64) []Interval {
	for i := range ends {
		ends[i].x = ends[i].line.at(z)
	}
	inOrder(ends)
	need, count := s.way.needed(), 0
	var from float64
	for i := range ends {
		e := &ends[i]
		before := count
		count += e.step
		switch {
		case before < need && count >= need:
			from = max(e.x, low)
		case before >= need && count < need && min(e.x, high) > from:
			dst = append(dst, Interval{si.Length(from), si.Length(min(e.x, high))})
		}
	}
	return dst
}

// inOrder sorts the ends along X. From one row to the next the order hardly
// changes, so that sorting by insertion, which keeps last row's order, costs
// little more than one look at each.
func inOrder(ends []end) {
	less := func(a, b *end) bool { return a.x < b.x || (a.x == b.x && a.step > b.step) }
	for i := 1; i < len(ends); i++ {
		if !less(&ends[i], &ends[i-1]) {
			continue
		}
		e := ends[i]
		j, _ := slices.BinarySearchFunc(ends[:i], e, func(a, b end) int {
			if less(&b, &a) {
				return 1
			}
			return -1
		})
		copy(ends[j+1:i+1], ends[j:i])
		ends[j] = e
	}
}
