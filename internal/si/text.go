package si

import (
	"math"
	"strconv"
	"strings"
)

// Side says to which side a printed number may be rounded.
type Side uint8

// A largest permitted value is rounded down and a smallest up, so that no
// printed limit is looser than the computed one.
const (
	Nearest Side = iota
	Down
	Up
)

// In converts q to unit u.
func (q Quantity) In(u Unit) float64 { return u.fromSI(q.SI) }

// Text prints q in the unit named, with the given number of decimals, rounded
// to the side stated. An unknown quantity prints as "unknown", and a unit that
// does not fit the kind is a fault of the program.
func (q Quantity) Text(unit string, decimals int, side Side) string {
	number := q.Digits(unit, decimals, side)
	switch {
	case unit == "" || !q.Known():
		return number
	case unit == "deg":
		return number + "°"
	case unit == "degC":
		return number + " °C"
	case unit == "degF":
		return number + " °F"
	}
	return number + " " + strings.NewReplacer("us", "µs", "um", "µm").Replace(unit)
}

// Digits is Text without the unit, for a table that has it in its head.
func (q Quantity) Digits(unit string, decimals int, side Side) string {
	if !q.Known() {
		return "unknown"
	}
	u, ok := UnitNamed(unit, q.Kind)
	if !ok {
		panic("si: unit " + strconv.Quote(unit) + " does not measure a " + q.Kind.String())
	}
	return Round(q.In(u), decimals, side)
}

// Round prints x with the given decimals, rounded to the side stated. Float
// noise of 1e-9 relative does not push a limit a step further: 2.0000000001
// rounded down to no decimals is 2, and so is 1.9999999999.
func Round(x float64, decimals int, side Side) string {
	if math.IsNaN(x) {
		return "unknown"
	}
	scale := math.Pow(10, float64(decimals))
	noise := math.Abs(x*scale) * 1e-9
	var n float64
	switch side {
	case Down:
		n = math.Floor(x*scale + noise)
	case Up:
		n = math.Ceil(x*scale - noise)
	default:
		// Half away from zero, as people round.
		n = math.Copysign(math.Floor(math.Abs(x*scale)+0.5+noise), x)
	}
	text := strconv.FormatFloat(n/scale, 'f', decimals, 64)
	if n == 0 {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}
