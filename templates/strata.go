package templates

import "fmt"

// pathLeg is one leg of a path on which waves change their kind.
type pathLeg struct{ Leg, Wave, Angle, Path, SentOn md }

// PathLegs is the table of the legs of such a path, counted from the probe.
func (g group) PathLegs() ([]pathLeg, error) {
	var rows []pathLeg
	number := map[string]int{}
	for _, leg := range g.pathLegs {
		number[leg.Way]++
		row := pathLeg{Leg: md(fmt.Sprintf("%s, %d", leg.Way, number[leg.Way])), Wave: md(leg.Wave)}
		for name, cell := range map[string]*md{"angle": &row.Angle, "path": &row.Path, "sent_on": &row.SentOn} {
			if err := g.cell(cell, leg.ID+name); err != nil {
				return nil, err
			}
		}
		rows = append(rows, row)
	}
	return rows, nil
}
