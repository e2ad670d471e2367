package rules

import (
	"math"
	"strconv"
	"strings"

	"soundwrit/internal/si"
)

// amount is a limit as a book writes it: a quantity, "2 mm", or an expression.
type amount struct {
	text     string
	quantity float64     // where there is no expression
	compute  *expression // else
}

// bound is a limit that may depend on another quantity. A plain limit is a
// bound of one step without an end.
type bound struct {
	by    *expression // nil where there is only one step
	steps []step
}

// step is one row of a limit table: it holds up to its end, which belongs to
// it (up_to) or does not (below). Codes print metric and inch values as
// separate rounded sets, so both ends and both limits are kept.
type step struct {
	end, endInch string // as written; empty: no end
	to, toInch   float64
	including    bool
	limit        *amount
	limitInch    *amount // nil: as limit
}

func (s step) limitIn(inch bool) *amount {
	if inch && s.limitInch != nil {
		return s.limitInch
	}
	return s.limit
}

func (s step) covers(x float64, inch bool) bool {
	to := s.to
	if inch {
		to = s.toInch
	}
	switch {
	case s.end == "":
		return true
	case s.including:
		return atMost(x, to)
	}
	return !atMost(to, x)
}

// resolve returns the limit in SI for these facts, or the names of the facts
// that it needs and that are not known. A quantity beyond the last row has no
// limit here: NaN.
func (b *bound) resolve(f *facts, l *language, inch bool) (float64, []string) {
	s := &b.steps[0]
	if b.by != nil {
		x, missing := b.by.run(f, l)
		if missing != nil {
			return math.NaN(), missing
		}
		s = nil
		for i := range b.steps {
			if b.steps[i].covers(x.(float64), inch) {
				s = &b.steps[i]
				break
			}
		}
		if s == nil {
			return math.NaN(), nil
		}
	}
	a := s.limitIn(inch)
	if a.compute == nil {
		return a.quantity, nil
	}
	x, missing := a.compute.run(f, l)
	if missing != nil {
		return math.NaN(), missing
	}
	return x.(float64), nil
}

// facts lists what the limit depends on.
func (b *bound) facts() []string {
	var names []string
	add := func(e *expression) {
		if e != nil {
			names = append(names, e.facts...)
		}
	}
	add(b.by)
	for _, s := range b.steps {
		add(s.limit.compute)
		if s.limitInch != nil {
			add(s.limitInch.compute)
		}
	}
	return names
}

// String describes the limit as the book states it, for a listing.
func (b *bound) String() string {
	var parts []string
	for i, s := range b.steps {
		text := s.limitText()
		end := s.end
		if s.endInch != "" {
			end += " (" + s.endInch + ")"
		}
		switch {
		case end != "" && s.including:
			text += " up to " + end
		case end != "":
			text += " below " + end
		case i > 0:
			text += " beyond"
		}
		parts = append(parts, text)
	}
	text := strings.Join(parts, ", ")
	if b.by != nil {
		text += ", by " + b.by.text
	}
	return text
}

// measure is how a value is printed.
type measure struct {
	kind     si.Kind
	unit     string
	inch     string
	decimals int
}

// shownIn is the unit in which a document gives it.
func (m measure) shownIn(inch bool) string {
	if inch && m.inch != "" {
		return m.inch
	}
	return m.unit
}

// printed is x as it is printed, in the unit of the document.
func (m measure) printed(x float64, side si.Side, inch bool) float64 {
	y, err := strconv.ParseFloat(si.Quantity{SI: x, Kind: m.kind}.Digits(m.shownIn(inch), m.decimals, side), 64)
	if err != nil {
		return math.NaN() // it is not known
	}
	return y
}

// text prints x rounded to the side stated, without zeros that say nothing.
func (m measure) text(x float64, side si.Side, inch bool) string {
	unit := m.shownIn(inch)
	q := si.Quantity{SI: x, Kind: m.kind}
	digits := q.Digits(unit, m.decimals, side)
	short := digits
	if strings.Contains(short, ".") {
		short = strings.TrimRight(strings.TrimRight(short, "0"), ".")
	}
	if short == "-0" {
		short = "0"
	}
	return strings.Replace(strings.Replace(q.Text(unit, m.decimals, side), digits, short, 1), " um", " µm", 1)
}
