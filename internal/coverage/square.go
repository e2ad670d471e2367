package coverage

import (
	"soundwrit/internal/geometry"
	"soundwrit/internal/si"
)

// Square is a straight beam that is moved across the weld.
type Square struct {
	From, To    si.Length // places of its axis, along X
	Top, Bottom si.Length // depths that it shows
}

// Reach returns the stretches of the volume that lie under the axis, between both
// depths. Rows that the depths do not hold in full are left out. The section is
// cut into rows as by the Reach of views.
//
// Valid: all quantities known; nothing is reached otherwise.
// Source: geometry.
func (s Square) Reach(section *geometry.Section, rows int) Rows {
	if !section.Known() {
		return Rows{}
	}
	if rows <= 0 {
		rows = DefaultRows
	}
	reached := newRows(section, rows)
	for k := range reached.Row {
		from, to := section.VolumeRow(reached.middle(k))
		if !(reached.edge(k) >= s.Top-floatNoise && reached.edge(k+1) <= s.Bottom+floatNoise) || !(to > from) {
			continue
		}
		reached.Row[k] = common(nil, []Interval{{from, to}}, []Interval{{s.From, s.To}})
	}
	return reached
}
