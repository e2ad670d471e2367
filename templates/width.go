package templates

import (
	"fmt"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// computed is the group as it was computed.
func (g group) computed() *technique.Group {
	for i := range g.x.t.Groups {
		if of := &g.x.t.Groups[i]; valuePrefix(of.Set.Name) == g.prefix {
			return of
		}
	}
	return &technique.Group{}
}

// widthRow is how wide one beam is at one place.
type widthRow struct{ Angle, Leg, Depth, Path, Width, Apart, Overlap md }

// Widths is the table of beam widths over the paths used.
func (g group) Widths() ([]widthRow, error) {
	var rows []widthRow
	p := g.x.p
	for _, w := range g.computed().Widths {
		row := widthRow{Angle: p.computed(angleOf(w.Angle), angleOne, si.Nearest), Leg: md(fmt.Sprint(w.Leg)), Depth: p.computed(lengthOf(w.Depth), positionUnit, si.Nearest)}
		if err := g.x.cells(w.ID, map[string]*md{"path": &row.Path, "width": &row.Width, "apart": &row.Apart, "overlap": &row.Overlap}); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// reachRow is where one beam can be focused, and where a focused one is highest.
type reachRow struct{ Angle, Limit, At, Width, From, To md }

// Reaches is the table of how far beams can be focused.
func (g group) Reaches() ([]reachRow, error) {
	var rows []reachRow
	for _, end := range technique.LossEnds() {
		at := g.prefix + "widths." + end + "."
		if !g.x.has(at + "focus_limit") {
			continue
		}
		var row reachRow
		if err := g.x.cells(at, map[string]*md{
			"angle": &row.Angle, "focus_limit": &row.Limit, "focus_at": &row.At, "focus_width": &row.Width, "focus_from": &row.From, "focus_to": &row.To,
		}); err != nil {
			return nil, err
		}
		if len(rows) == 0 || rows[len(rows)-1] != row {
			rows = append(rows, row)
		}
	}
	return rows, nil
}

// Focused reports whether the beams of the group have a focus.
func (g group) Focused() bool { return g.Has("focus_ratio") }
