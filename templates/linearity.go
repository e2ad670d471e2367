package templates

import (
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// linearity is the form for the linearity of the instrument, with the limits
// of both checks side by side.
type linearity struct {
	Height bool
	Source md
	Rows   []linearityRow
}

type linearityRow struct{ Set, Low, High, Echo, From, To md }

func seeLinearity(l technique.Linearity) linearity {
	percent := func(x si.Ratio, side si.Side) md {
		return esc(si.Quantity{SI: float64(x), Kind: si.KindRatio}.Text("%", 0, side))
	}
	v := linearity{Height: l.Height != nil, Source: esc(l.Source)}
	for i, s := range l.Height {
		r := linearityRow{Set: esc(s.Set), Low: percent(s.Low, si.Up), High: percent(s.High, si.Down)}
		if i < len(l.Control) {
			c := l.Control[i]
			r.Echo, r.From, r.To = esc(c.Set), percent(c.Low, si.Up), percent(c.High, si.Down)
		}
		v.Rows = append(v.Rows, r)
	}
	return v
}
