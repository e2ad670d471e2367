package templates

import (
	"fmt"
	"slices"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// radius is what is shown of a radius of a standard block.
type radius struct {
	Block, Wave, Echo, Path, Time, PartTime, Reading md
	Warm                                             []md // the time at the ends of the job's temperatures
}

// Radii is the table of radii on which the range can be checked.
func (v *view) Radii() ([]radius, error) {
	var rows []radius
	if len(v.Groups) == 0 {
		return nil, nil
	}
	x := v.Groups[0].x
	for _, wave := range x.t.Waves() {
		for _, r := range x.t.Radii(wave) {
			at := technique.RadiusID(wave, r)
			if !x.has(at + "reading") {
				continue
			}
			row := radius{Block: esc(r.Block), Wave: esc(wave), Echo: esc(r.Echo)}
			if err := x.cells(at, map[string]*md{"path": &row.Path, "time": &row.Time, "part_time": &row.PartTime, "reading": &row.Reading}); err != nil {
				return nil, err
			}
			for _, end := range v.Ends() {
				var cell md
				if err := x.cells(at, map[string]*md{"time_" + end: &cell}); err != nil {
					return nil, err
				}
				row.Warm = append(row.Warm, cell)
			}
			rows = append(rows, row)
		}
	}
	return rows, nil
}

// HoldsAt is the temperature at which the velocities of the document hold.
func (v *view) HoldsAt() md {
	return v.p.given(celsiusOf(technique.Reference), celsiusUnit, si.Nearest)
}

// Ends names the ends of the job's temperatures, of which there may be one.
func (v *view) Ends() (ends []string) {
	if len(v.Groups) == 0 {
		return nil
	}
	for _, name := range v.Groups[0].x.t.TemperatureNames() {
		if name != "middle" || len(v.Groups[0].x.t.TemperatureNames()) == 1 {
			ends = append(ends, name)
		}
	}
	return ends
}

// cells prints values into the cells of a table, or a dash where there is none.
func (x values) cells(prefix string, cells map[string]*md) (err error) {
	for id, cell := range cells {
		*cell = "–"
		if !x.has(prefix + id) {
			continue
		}
		if *cell, err = x.text(prefix + id); err != nil {
			return err
		}
	}
	return nil
}

// gainRow is one reflector of the curve as one group meets it.
type gainRow struct{ Group, Depth, Leg, Path, Gain, Disc md }

// Gains is the table of the gain expected at each reflector of the curve.
func (v *view) Gains() ([]gainRow, error) {
	var rows []gainRow
	for _, g := range v.Groups {
		first := true
		for i, c := range g.x.t.Curve {
			at := g.prefix + technique.CurveID(i)
			if !g.x.has(at + "path") {
				continue
			}
			row := gainRow{Group: g.Name, Depth: g.x.p.length(c.Depth), Leg: md(fmt.Sprint(c.Leg))}
			if err := g.x.cells(at, map[string]*md{"path": &row.Path, "gain": &row.Gain, "disc": &row.Disc}); err != nil {
				return nil, err
			}
			if first {
				row.Gain = g.x.p.computed(gainOf(0), unit{metric: "dB", decimals: 1}, si.Nearest)
			}
			first = false
			rows = append(rows, row)
		}
	}
	return rows, nil
}

// pulseRow is how a group pulses and how finely its A-scans are read.
type pulseRow struct{ Group, Rate, Ghosts, Least, Loss md }

// Pulses is the table of pulse rates and digitising.
func (v *view) Pulses() ([]pulseRow, error) {
	var rows []pulseRow
	for _, g := range v.Groups {
		if !g.Has("ghost_rate") {
			continue
		}
		row := pulseRow{Group: g.Name}
		if err := g.x.cells(g.prefix, map[string]*md{"pulse_rate": &row.Rate, "ghost_rate": &row.Ghosts, "sampling_least": &row.Least, "sampling_loss": &row.Loss}); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// ByDistance is the gain that the distance alone asks for in the form of the
// transfer correction; empty where it is not known.
func (g group) ByDistance() (md, error) {
	if !g.Has("transfer_distance") {
		return "", nil
	}
	return g.V("transfer_distance")
}

// Transferred are the groups whose gain has to be carried from a block to the
// part: not a pair, set by what it shows of the part itself, nor a beam set by
// the part's back wall. Where there are no others, all of them, so that the form
// can be filled in.
func (v *view) Transferred() []group {
	some := slices.DeleteFunc(slices.Clone(v.Groups), func(g group) bool { return g.TOFD || g.reflector == "back-wall" })
	if len(some) == 0 {
		return v.Groups
	}
	return some
}

// LacksDistance tells whether the gain that the distance asks for is not known of
// one of them.
func (v *view) LacksDistance() bool {
	return slices.ContainsFunc(v.Transferred(), func(g group) bool { return !g.Has("transfer_distance") })
}

// velocity is a line of the form in which velocities are measured.
type velocity struct{ Wave, Set, Interval md }

// Velocities are the kinds of wave whose velocity the form asks for.
func (v *view) Velocities() ([]velocity, error) {
	var rows []velocity
	if len(v.Groups) == 0 {
		return nil, nil
	}
	x := v.Groups[0].x
	for _, wave := range []string{"longitudinal", "transverse"} {
		row := velocity{Wave: esc(wave)}
		if err := x.cells("part.", map[string]*md{wave: &row.Set, "echo_interval." + wave: &row.Interval}); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	return rows, nil
}
