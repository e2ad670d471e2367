package templates

import (
	"strings"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// size is one row of the sizes that a technique covers.
type size struct {
	Diameter, Thickness, Coverage, Square, Speed, Time, Open md
}

// seeSizes prints the range of parts. A worst case and a limit are rounded
// down, a time up.
func seeSizes(p *printer, points []technique.RangePoint) []size {
	orDash := func(q si.Quantity, u unit, side si.Side) md {
		if !q.Known() {
			return "–"
		}
		return p.computed(q, u, side)
	}
	var list []size
	for _, point := range points {
		s := size{
			Diameter: orDash(lengthOf(point.Diameter), positionUnit, si.Nearest), Thickness: p.computed(lengthOf(point.Thickness), unit{"mm", 2, "in", 3}, si.Nearest),
			Coverage: orDash(ratioOf(point.Coverage), percentOne, si.Down), Square: orDash(ratioOf(point.Square), percentOne, si.Down),
			Speed: orDash(speedOf(point.SpeedLimit), speedUnit, si.Down), Time: "–", Open: "–",
		}
		if si.Known(point.Time) {
			s.Time = p.duration(point.Time)
		}
		if point.Nominal {
			s.Thickness = "**" + s.Thickness + "**"
		}
		var open []string
		for _, rule := range point.Open {
			open = append(open, string(esc(rule)))
		}
		if open != nil {
			s.Open = md(strings.Join(open, "; "))
		}
		list = append(list, s)
	}
	return list
}
