package coverage

import (
	"cmp"
	"fmt"
	"slices"

	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// DefaultRows is into how many rows a section is cut unless more are asked for.
const DefaultRows = 400

// Rows are the reached stretches of the section, row by row.
type Rows struct {
	Top, Height si.Length    // depth of the first row's upper edge, height of each
	Row         [][]Interval // sorted, disjoint
}

// Interval is a stretch along X.
type Interval struct{ From, To si.Length }

func newRows(section *geometry.Section, rows int) Rows {
	top, bottom := section.Volume[0].Z, section.Volume[0].Z
	for _, p := range section.Volume {
		top, bottom = min(top, p.Z), max(bottom, p.Z)
	}
	return Rows{Top: top, Height: (bottom - top) / si.Length(rows), Row: make([][]Interval, rows)}
}

// middle is the depth of row i at which its stretches are computed, and edge
// the depth of its upper edge.
func (r Rows) middle(i int) si.Length { return r.Top + r.Height*(si.Length(i)+0.5) }
func (r Rows) edge(i int) si.Length   { return r.Top + r.Height*si.Length(i) }

// within reports whether row i lies in full between two depths.
func (r Rows) within(i int, top, bottom si.Length) bool {
	return r.edge(i) >= top-floatNoise && r.edge(i+1) <= bottom+floatNoise
}

// Between returns the rows without the stretches of those whose middle does not
// lie between two depths.
func (r Rows) Between(top, bottom si.Length) Rows {
	b := Rows{Top: r.Top, Height: r.Height, Row: slices.Clone(r.Row)}
	for i := range b.Row {
		if z := r.middle(i); z < top || z > bottom {
			b.Row[i] = nil
		}
	}
	return b
}

// Mirror maps the rows of a mirrored section back.
func (r Rows) Mirror() Rows {
	m := Rows{Top: r.Top, Height: r.Height, Row: make([][]Interval, len(r.Row))}
	for i, row := range r.Row {
		for j := len(row) - 1; j >= 0; j-- {
			m.Row[i] = append(m.Row[i], Interval{-row[j].To, -row[j].From})
		}
	}
	return m
}

// Flip maps the rows of a flipped section of the given thickness back. The scale
// is what X of the section is of that of the flipped one: 1 unless it is bent.
func (r Rows) Flip(thickness si.Length, scale si.Ratio) Rows {
	f := Rows{Top: thickness - r.edge(len(r.Row)), Height: r.Height, Row: slices.Clone(r.Row)}
	slices.Reverse(f.Row)
	if scale == 1 {
		return f
	}
	for i, row := range f.Row {
		f.Row[i] = slices.Clone(row)
		for j := range row {
			f.Row[i][j] = Interval{row[j].From * si.Length(scale), row[j].To * si.Length(scale)}
		}
	}
	return f
}

// FromFlange maps the rows of a section that is seen from the outer face of its
// flange back to those of the section itself, as many. There they are columns: a
// place counts as the middle of its column does.
func (r Rows) FromFlange(section *geometry.Section) Rows {
	m := newRows(section, len(r.Row))
	for i := range m.Row {
		x := section.Flange.Seen(geometry.Point{Z: m.middle(i)}).X
		for k := len(r.Row) - 1; k >= 0; k-- {
			left := section.Flange.Drawn(geometry.Point{Z: r.edge(k + 1)}).X
			right := section.Flange.Drawn(geometry.Point{Z: r.edge(k)}).X
			if slices.ContainsFunc(r.Row[k], func(s Interval) bool { return s.From <= x && x <= s.To }) {
				m.Row[i] = append(m.Row[i], Interval{left, right})
			}
		}
		m.Row[i] = merged(m.Row[i])
	}
	return m
}

// Union returns what any of the rows reach. All must come from sections of one
// thickness cut into the same number of rows; rows without any, such as those
// of a section that is not known, add nothing.
func Union(rows ...Rows) Rows {
	var u Rows
	for _, r := range rows {
		if len(r.Row) == 0 {
			continue
		}
		if len(u.Row) == 0 {
			u = Rows{Top: r.Top, Height: r.Height, Row: make([][]Interval, len(r.Row))}
		}
		if len(r.Row) != len(u.Row) {
			panic(fmt.Sprintf("coverage: union of %d and %d rows", len(u.Row), len(r.Row)))
		}
		for i := range r.Row {
			u.Row[i] = append(u.Row[i], r.Row[i]...)
		}
	}
	for i := range u.Row {
		u.Row[i] = merged(u.Row[i])
	}
	return u
}

// AtLeast returns what at least so many of the rows reach, under the conditions of
// Union; nothing for a number below 1.
func AtLeast(number int, rows ...Rows) Rows {
	all := Union(rows...)
	out := Rows{Top: all.Top, Height: all.Height, Row: make([][]Interval, len(all.Row))}
	if number < 1 {
		return out
	}
	type end struct {
		x    si.Length
		step int
	}
	for i := range out.Row {
		var ends []end
		for _, r := range rows {
			if len(r.Row) > 0 {
				for _, s := range r.Row[i] {
					ends = append(ends, end{s.From, 1}, end{s.To, -1})
				}
			}
		}
		// Where one stretch ends and another begins, the place belongs to both.
		slices.SortFunc(ends, func(a, b end) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(b.step, a.step)) })
		over := 0
		for _, e := range ends {
			over += e.step
			switch {
			case e.step > 0 && over == number:
				out.Row[i] = append(out.Row[i], Interval{From: e.x})
			case e.step < 0 && over == number-1:
				out.Row[i][len(out.Row[i])-1].To = e.x
			}
		}
		out.Row[i] = slices.DeleteFunc(merged(out.Row[i]), func(s Interval) bool { return !(s.From < s.To) })
	}
	return out
}

// merged sorts the intervals in place and joins those that touch.
func merged(row []Interval) []Interval {
	slices.SortFunc(row, func(a, b Interval) int { return cmp.Compare(a.From, b.From) })
	kept := row[:0]
	for _, s := range row {
		if n := len(kept); n > 0 && s.From <= kept[n-1].To {
			kept[n-1].To = max(kept[n-1].To, s.To)
		} else {
			kept = append(kept, s)
		}
	}
	return kept
}

// common appends to dst what the sorted rows a and b share.
func common(dst, a, b []Interval) []Interval {
	for i, j := 0, 0; i < len(a) && j < len(b); {
		if from, to := max(a[i].From, b[j].From), min(a[i].To, b[j].To); from < to {
			dst = append(dst, Interval{from, to})
		}
		if a[i].To < b[j].To {
			i++
		} else {
			j++
		}
	}
	return dst
}

// without returns what is left of the whole when the sorted row is taken away.
func without(whole Interval, row []Interval) []Interval {
	var left []Interval
	for _, s := range row {
		if s.From > whole.From {
			left = append(left, Interval{whole.From, min(s.From, whole.To)})
		}
		if whole.From = max(whole.From, s.To); whole.From >= whole.To {
			return left
		}
	}
	return append(left, whole)
}
