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
	Reached coverage.Rows
	columns int          // on each side of X = 0
	values  []si.Decibel // row by row, from the smallest X; NaN where not reached
}

// newMapValues is a map over reached rows, all unknown.
func newMapValues(reached coverage.Rows) MapValues {
	v := MapValues{Reached: reached}
	for _, row := range reached.Row {
		for _, r := range row {
			v.columns = max(v.columns, int(math.Ceil(math.Max(math.Abs(float64(r.From)), math.Abs(float64(r.To)))/float64(reached.Height))))
		}
	}
	v.values = make([]si.Decibel, len(reached.Row)*(2*v.columns+1))
	for i := range v.values {
		v.values[i] = si.Unknown[si.Decibel]()
	}
	return v
}

// at is the value of a row at a column, counted from X = 0; unknown off the map.
func (v *MapValues) at(row, column int) si.Decibel {
	if row < 0 || row >= len(v.Reached.Row) || column < -v.columns || column > v.columns {
		return si.Unknown[si.Decibel]()
	}
	return v.values[row*(2*v.columns+1)+column+v.columns]
}

func (v *MapValues) set(row, column int, x si.Decibel) {
	v.values[row*(2*v.columns+1)+column+v.columns] = x
}

// places calls for every place that is reached.
func (v *MapValues) places(do func(row, column int)) {
	for j, row := range v.Reached.Row {
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
	return int(math.Ceil(float64(r.From / v.Reached.Height))), int(math.Floor(float64(r.To / v.Reached.Height)))
}

// place is where a row meets a column.
func (v *MapValues) place(row, column int) field.Point {
	h := v.Reached.Height
	return field.Point{X: h * si.Length(column), Z: v.Reached.Top + h*(si.Length(row)+0.5)}
}

// onto maps values from the probe's frame to the section as drawn.
func (v *MapValues) onto(f frame) MapValues {
	drawn := newMapValues(f.rows(v.Reached))
	last := len(v.Reached.Row) - 1
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

// best joins maps of one section, taking the largest value at each place.
func best(maps ...MapValues) MapValues {
	var rows []coverage.Rows
	for _, m := range maps {
		rows = append(rows, m.Reached)
	}
	all := newMapValues(coverage.Union(rows...))
	for _, m := range maps {
		m.places(func(j, k int) { all.set(j, k, larger(all.at(j, k), m.at(j, k))) })
	}
	return all
}

// Below returns the stretches where the values lie below a level, straight
// between the places.
func (v *MapValues) Below(level si.Decibel) coverage.Rows {
	below := coverage.Rows{Top: v.Reached.Top, Height: v.Reached.Height, Row: make([][]coverage.Interval, len(v.Reached.Row))}
	for j, row := range v.Reached.Row {
		for _, r := range row {
			first, last := v.columnsIn(r)
			from, open := r.From, false
			for k := first; k <= last; k++ {
				low := v.at(j, k) < level
				x := r.From
				if k > first {
					a, b := v.at(j, k-1), v.at(j, k)
					x = v.Reached.Height * (si.Length(k) - si.Length((b-level)/(b-a)))
				}
				switch {
				case low && !open:
					from, open = x, true
				case !low && open:
					below.Row[j] = append(below.Row[j], coverage.Interval{From: from, To: x})
					open = false
				}
			}
			if open {
				below.Row[j] = append(below.Row[j], coverage.Interval{From: from, To: r.To})
			}
		}
	}
	return below
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
