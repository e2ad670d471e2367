package technique

import (
	"math"

	"soundwrit/internal/coverage"
	"soundwrit/internal/field"
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// MapValues is a value at each place of the rows that is reached.
type MapValues struct {
	Reached coverage.Rows // for drawing: one or several for one of places
	rows    coverage.Rows // of places
	step    si.Length     // between columns
	columns int           // on each side of X = 0
	values  []si.Decibel  // row by row, from the smallest X; NaN where not reached
}

// Step is the distance between two places that are next to each other.
func (v *MapValues) Step() si.Length { return v.rows.Height }

// fineRows is how many rows for drawing there are to one of places of a
// reflector that answers alike in all directions.
const fineRows = 4

// newMapValues is a map over reached rows of places and for drawing, all
// unknown. Its columns stand as far apart as the rows in the section as drawn,
// where X is scale times what it is here.
func newMapValues(rows, fine coverage.Rows, scale si.Ratio) MapValues {
	v := MapValues{Reached: fine, rows: rows, step: rows.Height / si.Length(scale)}
	for _, row := range rows.Row {
		for _, r := range row {
			v.columns = max(v.columns, int(math.Ceil(math.Max(math.Abs(float64(r.From)), math.Abs(float64(r.To)))/float64(v.step))))
		}
	}
	v.values = make([]si.Decibel, len(rows.Row)*(2*v.columns+1))
	for i := range v.values {
		v.values[i] = si.Unknown[si.Decibel]()
	}
	return v
}

// at is the value of a row at a column, counted from X = 0; unknown off the map.
func (v *MapValues) at(row, column int) si.Decibel {
	if row < 0 || row >= len(v.rows.Row) || column < -v.columns || column > v.columns {
		return si.Unknown[si.Decibel]()
	}
	return v.values[row*(2*v.columns+1)+column+v.columns]
}

func (v *MapValues) set(row, column int, x si.Decibel) {
	v.values[row*(2*v.columns+1)+column+v.columns] = x
}

// places calls for every place that is reached.
func (v *MapValues) places(do func(row, column int)) {
	for j, row := range v.rows.Row {
		for _, r := range row {
			first, last := v.columnsIn(r)
			for k := first; k <= last; k++ {
				do(j, k)
			}
		}
	}
}

// columnsIn are the columns of an interval.
func (v *MapValues) columnsIn(r coverage.Interval) (first, last int) {
	return int(math.Ceil(float64(r.From / v.step))), int(math.Floor(float64(r.To / v.step)))
}

// place is where a row meets a column.
func (v *MapValues) place(row, column int) field.Point {
	return field.Point{X: v.step * si.Length(column), Z: v.rows.Top + v.rows.Height*(si.Length(row)+0.5)}
}

// onto maps values from the probe's frame to the section as drawn.
func (v *MapValues) onto(f frame) MapValues {
	drawn := newMapValues(f.rows(v.rows), f.rows(v.Reached), 1)
	last := len(v.rows.Row) - 1
	v.places(func(j, k int) {
		row, column := j, k
		if f.flipped {
			row = last - j
		}
		if f.mirrored {
			column = -k
		}
		drawn.set(row, column, v.at(j, k))
	})
	return drawn
}

// mixed is a value between two, of which one may be unknown.
func mixed(a, b si.Decibel, share float64) si.Decibel {
	switch {
	case !si.Known(a):
		return b
	case !si.Known(b) || share == 0:
		return a
	}
	return a + (b-a)*si.Decibel(share)
}

// best joins maps of one section, taking the largest value at each place.
func best(maps ...MapValues) MapValues {
	var rows, fine []coverage.Rows
	for _, m := range maps {
		rows, fine = append(rows, m.rows), append(fine, m.Reached)
	}
	all := newMapValues(coverage.Union(rows...), coverage.Union(fine...), 1)
	for _, m := range maps {
		m.places(func(j, k int) { all.set(j, k, larger(all.at(j, k), m.at(j, k))) })
	}
	return all
}

// Below returns the stretches where the values lie below a level, straight
// between the places and level beyond the last of them.
func (v *MapValues) Below(level si.Decibel) coverage.Rows {
	below := coverage.Rows{Top: v.Reached.Top, Height: v.Reached.Height, Row: make([][]coverage.Interval, len(v.Reached.Row))}
	for i, row := range v.Reached.Row {
		for _, r := range row {
			below.Row[i] = v.below(below.Row[i], i, r, level)
		}
	}
	return below
}

// below appends the stretches of an interval in a fine row.
func (v *MapValues) below(list []coverage.Interval, row int, r coverage.Interval, level si.Decibel) []coverage.Interval {
	h := v.step
	first, last := int(math.Floor(float64(r.From/h))), int(math.Ceil(float64(r.To/h)))
	from, open := r.From, false
	before, at := si.Unknown[si.Decibel](), r.From
	for k := first; k <= last; k++ {
		x := v.between(row, k)
		if !si.Known(x) {
			continue
		}
		where := min(max(h*si.Length(k), r.From), r.To)
		if low := x < level; low != open {
			edge := r.From
			if si.Known(before) {
				edge = at + (where-at)*si.Length((level-before)/(x-before))
			}
			if low {
				from = edge
			} else if edge > from {
				list = append(list, coverage.Interval{From: from, To: edge})
			}
			open = low
		}
		before, at = x, where
	}
	if open && r.To > from {
		list = append(list, coverage.Interval{From: from, To: r.To})
	}
	return list
}

// between is the value at a column in a fine row, between the rows of places
// above and below; that of one of them where the other is not reached.
func (v *MapValues) between(row, column int) si.Decibel {
	u := (float64(row)+0.5)*float64(len(v.rows.Row))/float64(len(v.Reached.Row)) - 0.5
	j := int(math.Floor(u))
	return mixed(v.at(j, column), v.at(j+1, column), u-float64(j))
}

// least returns the smallest value, where it is, and the share of the places
// that do not lie below a level.
func (v *MapValues) least(level si.Decibel) (least si.Decibel, at geometry.Point, above si.Ratio) {
	least = si.Unknown[si.Decibel]()
	all, good := 0, 0
	v.places(func(j, k int) {
		x := v.at(j, k)
		if all++; x >= level {
			good++
		}
		if !(x >= least) {
			least, at = x, geometry.Point(v.place(j, k))
		}
	})
	return least, at, si.Ratio(float64(good) / float64(all))
}
