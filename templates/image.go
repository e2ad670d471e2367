package templates

import (
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// image is how a tfm group shows a point.
type image struct {
	Side         md
	Points       []imaged
	Open         bool // the outline of some point is not closed
	Converted    bool // one kind of wave meets the point, the other is heard
	Beside, Away md   // largest responses outside the main lobe; empty where unknown
	Full         md   // the same with all elements firing, where not all do
}

type imaged struct{ Place, Across, Depth, Along, Wide, Area md }

var (
	lobeUnit     = unit{"mm", 2, "in", 3}
	decibelTenth = unit{metric: "dB", decimals: 1}
)

func seeImage(p *printer, s *technique.Study, thinned bool) *image {
	if s == nil {
		return nil
	}
	v := &image{Side: esc(s.Side), Converted: s.Converted}
	for _, point := range s.Points {
		one := imaged{
			Place: esc(capital(point.Place)), Across: p.signed(point.At.X, positionUnit, si.Nearest, same), Depth: p.computed(lengthOf(point.At.Z), positionUnit, si.Nearest),
			Along: "not closed", Wide: "not closed", Area: "not closed",
		}
		if finite(float64(point.Area)) {
			one.Along, one.Wide = p.computed(lengthOf(point.Along), lobeUnit, si.Up), p.computed(lengthOf(point.Spread.Across), lobeUnit, si.Up)
			one.Area = md(p.tongue.comma(si.Quantity{SI: float64(point.Area)}.Digits("", 2, si.Up)))
		} else {
			v.Open = true
		}
		v.Points = append(v.Points, one)
	}
	v.Beside, v.Away = response(p, s.Beside), response(p, s.Away)
	if thinned && finite(float64(s.Against.Beside+s.Against.Away)) {
		v.Full = response(p, s.Against.Beside) + " and " + response(p, s.Against.Away)
	}
	return v
}

// response prints what the image shows outside the main lobe, rounded up, or
// nothing where it is not known.
func response(p *printer, level si.Decibel) md {
	if !finite(float64(level)) {
		return ""
	}
	return p.computed(gainOf(level), decibelTenth, si.Up)
}

// known prints a computed length, rounded to a side, or nothing where it is not
// known.
func known(p *printer, q si.Quantity, u unit, side si.Side) md {
	if !finite(q.SI) {
		return ""
	}
	return p.computed(q, u, side)
}
