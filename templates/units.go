package templates

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"soundwrit/internal/si"
)

// printer writes the quantities of a job in the document's units. Quantities
// that the text cannot do without, and that are not known, are remembered in
// refused.
type printer struct {
	system  string // mm, in, both
	tongue  *Tongue
	refused []string
}

// unit is how one kind is printed in the two systems: the unit, and how many
// decimals at most. Job values are printed as they were written, without
// trailing zeros; the decimals bound what a change of system adds.
type unit struct {
	metric   string
	decimals int
	inch     string
	inchDec  int
}

var (
	lengthUnit   = unit{"mm", 3, "in", 4}
	positionUnit = unit{"mm", 1, "in", 3}
	angleUnit    = unit{"deg", 2, "", 0}
	angleOne     = unit{"deg", 1, "", 0}
	megahertz    = unit{"MHz", 3, "", 0}
	velocityUnit = unit{"m/s", 0, "in/us", 4}
	speedUnit    = unit{"mm/s", 1, "in/s", 2}
	decibelUnit  = unit{"dB", 2, "", 0}
	celsiusUnit  = unit{"degC", 1, "degF", 1}
	kelvinUnit   = unit{"K", 1, "degF", 1}
	percentUnit  = unit{"%", 2, "", 0}
	percentOne   = unit{"%", 1, "", 0}
	micrometre   = unit{"um", 2, "", 0}
	microsecond  = unit{"us", 3, "", 0}
	millisecond  = unit{"ms", 2, "", 0}
	minuteUnit   = unit{"min", 1, "", 0}
	hourUnit     = unit{"h", 2, "", 0}
	densityUnit  = unit{"kg/m³", 0, "", 0}
	changeUnit   = unit{"m/s/K", 2, "", 0}
)

// given prints a quantity of the job, or that it is not stated.
func (p *printer) given(q si.Quantity, u unit, side si.Side) md {
	return p.text(q, u, side, trim)
}

// needed prints a quantity that the text cannot do without; path is its place
// in the job.
func (p *printer) needed(path string, q si.Quantity, u unit, side si.Side) md {
	if !finite(q.SI) {
		p.refused = append(p.refused, path)
	}
	return p.given(q, u, side)
}

// computed prints a quantity with a fixed number of decimals, so that columns
// compare; unknown ones say so by their caller's word.
func (p *printer) computed(q si.Quantity, u unit, side si.Side) md {
	return p.text(q, u, side, func(s string) string { return s })
}

func (p *printer) text(q si.Quantity, u unit, side si.Side, shape func(string) string) md {
	if !finite(q.SI) {
		return notStated
	}
	one := func(name string, decimals int) string {
		digits := q.Digits(name, decimals, side)
		return shape(digits) + strings.Replace(strings.TrimPrefix(q.Text(name, decimals, side), digits), " um", " µm", 1)
	}
	switch {
	case p.system == "in" && u.inch != "":
		return md(p.tongue.comma(minus(one(u.inch, u.inchDec))))
	case p.system == "both" && u.inch != "":
		return md(p.tongue.comma(minus(one(u.metric, u.decimals) + " (" + one(u.inch, u.inchDec) + ")")))
	}
	return md(p.tongue.comma(minus(one(u.metric, u.decimals))))
}

// signed prints a position across the weld with its sign: side A is negative.
func (p *printer) signed(x si.Length, u unit, side si.Side, shape func(string) string) md {
	return p.text(lengthOf(x), u, side, func(digits string) string {
		if s := shape(digits); x > 0 && strings.Trim(s, "0.") != "" {
			return "+" + s
		}
		return shape(digits)
	})
}

// length prints a length of the job that may be missing.
func (p *printer) length(l si.Length) md { return p.given(lengthOf(l), lengthUnit, si.Nearest) }

// span prints a range of positions, rounded outwards.
func (p *printer) span(from, to si.Length) md {
	return p.signed(from, positionUnit, si.Down, same) + " to " + p.signed(to, positionUnit, si.Up, same)
}

// relative says where a level lies from the reference. A level below it is
// rounded down: lower means that more is evaluated.
func (p *printer) relative(level si.Decibel) md {
	if !finite(float64(level)) {
		return notStated
	}
	amount := p.given(si.Quantity{SI: math.Abs(float64(level)), Kind: si.KindDecibel}, decibelUnit, si.Nearest)
	switch {
	case level < 0:
		amount = p.given(si.Quantity{SI: -float64(level), Kind: si.KindDecibel}, decibelUnit, si.Up)
		return "a level " + amount + " below reference"
	case level > 0:
		return "a level " + amount + " above reference"
	}
	return "the reference level"
}

// data prints an amount of data in the unit that fits its size.
func (p *printer) data(n si.Bytes) md {
	u := unit{metric: "kB", decimals: 1}
	switch {
	case n >= 1e12:
		u.metric = "TB"
	case n >= 1e9:
		u.metric = "GB"
	case n >= 1e6:
		u.metric = "MB"
	}
	return p.computed(si.Quantity{SI: float64(n), Kind: si.KindBytes}, u, si.Nearest)
}

// duration prints a time of work in hours or minutes.
func (p *printer) duration(t si.Time) md {
	u := minuteUnit
	if t >= 2*si.Hour {
		u = unit{metric: "h", decimals: 1}
	}
	return p.computed(timeOf(t), u, si.Nearest)
}

// significant prints a number that goes into a formula to six digits in the
// unit stated, which is enough to repeat the sum by hand.
func significant(q si.Quantity, name string) (md, error) {
	u, ok := si.UnitNamed(name, q.Kind)
	if !ok {
		return "", fmt.Errorf("unit %q does not measure a %s", name, q.Kind)
	}
	if !finite(q.SI) {
		return "", fmt.Errorf("it is not known")
	}
	x := q.In(u)
	format := byte('f')
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if a := math.Abs(rounded); a != 0 && (a < 1e-6 || a >= 1e12) {
		format = 'g'
	}
	number := strconv.FormatFloat(rounded, format, -1, 64)
	zero := q.Text(name, 0, si.Nearest)
	return md(minus(number) + strings.TrimPrefix(zero, q.Digits(name, 0, si.Nearest))), nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func same(s string) string { return s }

// trim drops the zeros that a fixed number of decimals leaves at the end.
func trim(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

func lengthOf(l si.Length) si.Quantity { return si.Quantity{SI: float64(l), Kind: si.KindLength} }
func angleOf(a si.Angle) si.Quantity   { return si.Quantity{SI: float64(a), Kind: si.KindAngle} }
func timeOf(t si.Time) si.Quantity     { return si.Quantity{SI: float64(t), Kind: si.KindTime} }
func ratioOf(r si.Ratio) si.Quantity   { return si.Quantity{SI: float64(r), Kind: si.KindRatio} }
func gainOf(g si.Decibel) si.Quantity  { return si.Quantity{SI: float64(g), Kind: si.KindDecibel} }
func speedOf(v si.Speed) si.Quantity   { return si.Quantity{SI: float64(v), Kind: si.KindSpeed} }

func frequencyOf(f si.Frequency) si.Quantity {
	return si.Quantity{SI: float64(f), Kind: si.KindFrequency}
}

func celsiusOf(c si.Celsius) si.Quantity { return si.Quantity{SI: float64(c), Kind: si.KindCelsius} }
