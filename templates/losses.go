package templates

import (
	"fmt"
	"strings"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

func densityOf(d si.Density) si.Quantity { return si.Quantity{SI: float64(d), Kind: si.KindDensity} }

func changeOf(k si.SpeedPerKelvin) si.Quantity {
	return si.Quantity{SI: float64(k), Kind: si.KindSpeedPerKelvin}
}

// attenuation prints an attenuation with the frequency it was measured at.
func (p *printer) attenuation(a si.Attenuation, at si.Frequency) md {
	if !finite(float64(a)) || !finite(float64(at)) {
		return notStated
	}
	return p.given(si.Quantity{SI: float64(a), Kind: si.KindAttenuation}, unit{"dB/m", 1, "dB/in", 3}, si.Nearest) +
		" at " + p.given(frequencyOf(at), megahertz, si.Nearest)
}

// lossRow is what one angle of a group loses on its way.
type lossRow struct {
	Angle, Path, Contact, Element, Wedge, Part, Walls, Bonds, Spread, Sum md
}

// losses is a table of them. Places says that each is of a place with an angle out
// and one back, Clad that a bond is crossed or might be.
type losses struct {
	Rows         []lossRow
	Places, Clad bool
}

// Losses is the table of what the first, the middle and the last angle lose; nil
// where nothing is stated. An angle that stands twice is listed once.
func (g group) Losses() (*losses, error) {
	t := losses{Clad: g.Clad}
	for _, end := range technique.LossEnds() {
		at := "losses." + end + "."
		if !g.Has(at + "angle") {
			continue
		}
		var row lossRow
		for name, cell := range map[string]*md{
			"angle": &row.Angle, "path": &row.Path, "contact": &row.Contact, "element": &row.Element, "wedge": &row.Wedge,
			"part": &row.Part, "walls": &row.Walls, "bonds": &row.Bonds, "spread": &row.Spread, "sum": &row.Sum,
		} {
			if err := g.cell(cell, at+name); err != nil {
				return nil, err
			}
		}
		if g.Has(at + "angle_back") {
			back, err := g.V(at + "angle_back")
			if err != nil {
				return nil, err
			}
			row.Angle, t.Places = row.Angle+" / "+back, true
		}
		if len(t.Rows) == 0 || t.Rows[len(t.Rows)-1] != row {
			t.Rows = append(t.Rows, row)
		}
	}
	if len(t.Rows) == 0 {
		return nil, nil
	}
	return &t, nil
}

// Tandem reports whether the sound goes out by other legs than it comes back.
func (g group) Tandem() bool {
	out, back, _ := strings.Cut(string(g.Path), "-")
	return g.TFM && len(out) != len(back)
}

// cell prints a value of the group into a table, or a dash.
func (g group) cell(to *md, id string) (err error) {
	*to = "–"
	if g.Has(id) {
		*to, err = g.V(id)
	}
	return err
}

// warm is what some groups do at one temperature.
type warm struct {
	Groups, Temperature, Wedge, Part, Angle, Steepest, Exit, Range md
}

// warmth is a table of temperatures; Steep says that it holds the largest angles, Axes
// that it holds axes of single-element probes, Arrays that it holds others.
type warmth struct {
	Rows                []warm
	Steep, Axes, Arrays bool
}

// Warmth is the table of temperatures, groups that stand alike together; nil
// where there is none.
func (v *view) Warmth() (*warmth, error) {
	var t warmth
	for _, g := range v.Groups {
		for _, name := range g.x.t.TemperatureNames() {
			at := "temperature." + name + "."
			if !g.Has(at + "wedge_velocity") {
				continue
			}
			row := warm{Groups: g.Name}
			temperature, err := g.x.text("part." + at[:len(at)-1])
			if err != nil {
				return nil, err
			}
			row.Temperature = temperature
			for id, cell := range map[string]*md{
				"wedge_velocity": &row.Wedge, "part_velocity": &row.Part, "angle": &row.Angle, "steepest": &row.Steepest, "exit": &row.Exit, "range_shift": &row.Range,
			} {
				if err := g.cell(cell, at+id); err != nil {
					return nil, err
				}
			}
			if !g.Has(at + "angle") {
				row.Angle = "no beam"
			}
			if g.Beams && !g.Has(at+"steepest") {
				row.Steepest = "no beam"
			}
			t.Rows = joinWarm(t.Rows, row)
			t.Steep, t.Axes = t.Steep || g.Has(at+"steepest"), t.Axes || g.Single
			t.Arrays = t.Arrays || !g.Single
		}
	}
	if len(t.Rows) == 0 {
		return nil, nil
	}
	return &t, nil
}

// joinWarm adds a row, or its group to a row that says the same.
func joinWarm(rows []warm, row warm) []warm {
	for i, r := range rows {
		r.Groups = row.Groups
		if r == row {
			rows[i].Groups += md(fmt.Sprintf(", %s", row.Groups))
			return rows
		}
	}
	return append(rows, row)
}
