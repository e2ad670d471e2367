package templates

import "soundwrit/internal/technique"

// roundRow is how the beam of one angle goes around a pipe.
type roundRow struct {
	Angle, Wall, Path, Excess, Skip, Turn md
}

// Round is the table of how the first, the middle and the last angle go around a
// pipe; empty for any other part.
func (g group) Round() ([]roundRow, error) {
	var rows []roundRow
	for _, end := range technique.LossEnds() {
		at := "round." + end + "."
		if !g.Has(at + "angle") {
			continue
		}
		var row roundRow
		for name, cell := range map[string]*md{
			"angle": &row.Angle, "wall_angle": &row.Wall, "path": &row.Path, "excess": &row.Excess, "half_skip": &row.Skip, "turn": &row.Turn,
		} {
			if err := g.cell(cell, at+name); err != nil {
				return nil, err
			}
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// omitted is what is not computed of a group around a pipe.
type omitted struct{ Name, Why md }
