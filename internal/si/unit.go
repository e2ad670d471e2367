package si

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// A Unit is one way of writing a kind: value in SI = Offset + Factor × number.
type Unit struct {
	Name   string
	Kind   Kind
	Factor float64
	Offset float64
}

// toSI converts a number in unit u. Where the factor is one over a whole number
// (mm, us, %) it divides, since only then 18 mm is the float nearest to 0.018 m
// and comes back as 18.
func (u Unit) toSI(x float64) float64 {
	if per := u.per(); per != 0 {
		return x/per + u.Offset
	}
	return x*u.Factor + u.Offset
}

// fromSI is the inverse of toSI.
func (u Unit) fromSI(x float64) float64 {
	if per := u.per(); per != 0 {
		return (x - u.Offset) * per
	}
	return (x - u.Offset) / u.Factor
}

// per returns the whole number that the factor is one over, or 0.
func (u Unit) per() float64 {
	if per := math.Round(1 / u.Factor); per > 1 && math.Abs(per*u.Factor-1) < 1e-15 {
		return per
	}
	return 0
}

// units lists every spelling a job may use. The first of a kind is the one
// that messages and listings propose.
var units = []Unit{
	{"mm", KindLength, 1e-3, 0},
	{"cm", KindLength, 1e-2, 0},
	{"m", KindLength, 1, 0},
	{"um", KindLength, 1e-6, 0},
	{"µm", KindLength, 1e-6, 0},
	{"in", KindLength, 25.4e-3, 0},
	{"ft", KindLength, 0.3048, 0},
	{"deg", KindAngle, math.Pi / 180, 0},
	{"°", KindAngle, math.Pi / 180, 0},
	{"rad", KindAngle, 1, 0},
	{"s", KindTime, 1, 0},
	{"ms", KindTime, 1e-3, 0},
	{"us", KindTime, 1e-6, 0},
	{"µs", KindTime, 1e-6, 0},
	{"ns", KindTime, 1e-9, 0},
	{"min", KindTime, 60, 0},
	{"h", KindTime, 3600, 0},
	{"MHz", KindFrequency, 1e6, 0},
	{"kHz", KindFrequency, 1e3, 0},
	{"Hz", KindFrequency, 1, 0},
	{"m/s", KindSpeed, 1, 0},
	{"mm/s", KindSpeed, 1e-3, 0},
	{"km/s", KindSpeed, 1e3, 0},
	{"mm/us", KindSpeed, 1e3, 0},
	{"mm/µs", KindSpeed, 1e3, 0},
	{"in/s", KindSpeed, 25.4e-3, 0},
	{"in/us", KindSpeed, 25.4e3, 0},
	{"in/µs", KindSpeed, 25.4e3, 0},
	{"dB", KindDecibel, 1, 0},
	{"degC", KindCelsius, 1, 0},
	{"°C", KindCelsius, 1, 0},
	{"degF", KindCelsius, 5.0 / 9, -160.0 / 9},
	{"°F", KindCelsius, 5.0 / 9, -160.0 / 9},
	{"K", KindKelvin, 1, 0},
	{"degC", KindKelvin, 1, 0},
	{"degF", KindKelvin, 5.0 / 9, 0},
	{"%", KindRatio, 0.01, 0},
	{"MB", KindBytes, 1e6, 0},
	{"B", KindBytes, 1, 0},
	{"kB", KindBytes, 1e3, 0},
	{"GB", KindBytes, 1e9, 0},
	{"TB", KindBytes, 1e12, 0},
	{"MB/s", KindByteRate, 1e6, 0},
	{"GB/s", KindByteRate, 1e9, 0},
	{"kB/s", KindByteRate, 1e3, 0},
	{"mm²", KindArea, 1e-6, 0},
	{"in²", KindArea, 25.4e-3 * 25.4e-3, 0},
	{"1/s", KindRate, 1, 0},
	{"M/s", KindRate, 1e6, 0},
	{"G/s", KindRate, 1e9, 0},
	{"kg/m³", KindDensity, 1, 0},
	{"kg/m3", KindDensity, 1, 0},
	{"g/cm³", KindDensity, 1e3, 0},
	{"g/cm3", KindDensity, 1e3, 0},
	{"dB/m", KindAttenuation, 1, 0},
	{"dB/cm", KindAttenuation, 1e2, 0},
	{"dB/mm", KindAttenuation, 1e3, 0},
	{"dB/in", KindAttenuation, 1 / 25.4e-3, 0},
	{"m/s/K", KindSpeedPerKelvin, 1, 0},
	{"", Number, 1, 0},
}

// UnitNamed returns the unit with the given name for kind k.
func UnitNamed(name string, k Kind) (Unit, bool) {
	for _, u := range units {
		if u.Kind == k && u.Name == name {
			return u, true
		}
	}
	return Unit{}, false
}

// Units lists the spellings that fit kind k, without the µ variants that only
// repeat the plain ones: it is for messages.
func Units(k Kind) []string {
	var names []string
	for _, u := range units {
		if u.Kind == k && !strings.ContainsAny(u.Name, "µ°") {
			names = append(names, u.Name)
		}
	}
	return names
}

// Example is a value of kind k as a job writes it, for messages.
func Example(k Kind) string {
	switch k {
	case KindLength:
		return "12 mm"
	case KindAngle:
		return "60 deg"
	case KindTime:
		return "4 h"
	case KindFrequency:
		return "5 MHz"
	case KindSpeed:
		return "3240 m/s"
	case KindDecibel:
		return "14 dB"
	case KindCelsius:
		return "20 degC"
	case KindKelvin:
		return "10 K"
	case KindRatio:
		return "60 %"
	case KindBytes:
		return "20 MB"
	case KindByteRate:
		return "200 MB/s"
	case KindArea:
		return "20 mm²"
	case KindRate:
		return "500 M/s"
	case KindDensity:
		return "7850 kg/m³"
	case KindAttenuation:
		return "20 dB/m"
	case KindSpeedPerKelvin:
		return "-2.3 m/s/K"
	}
	return "12"
}

// A ParseError says why a text is no quantity of the wanted kind. Its parts
// let the caller write a sentence with the job's own field name in it.
type ParseError struct {
	Text string
	Want Kind
	Why  ParseFault
	Got  Kind // for WrongKind: what the unit measures
	Unit string
}

// ParseFault is what is wrong with the text of a quantity.
type ParseFault uint8

// The faults that Parse tells apart.
const (
	NotANumber ParseFault = iota
	NoUnit
	UnknownUnit
	WrongKind
	NotFinite
)

// Error returns a short sentence; package schema writes the full finding.
func (e *ParseError) Error() string {
	switch e.Why {
	case NoUnit:
		return fmt.Sprintf("%q has no unit", e.Text)
	case UnknownUnit:
		return fmt.Sprintf("%q is no unit of %s", e.Unit, e.Want)
	case WrongKind:
		return fmt.Sprintf("%q is a %s, not a %s", e.Text, e.Got, e.Want)
	case NotFinite:
		return fmt.Sprintf("%q is not a finite number", e.Text)
	}
	return fmt.Sprintf("%q is not a number with a unit", e.Text)
}

// Parse reads a number with its unit, such as "12.5 mm", and returns it in SI.
// The unit is required, and must fit the wanted kind; the number is a plain
// decimal, with an optional exponent and no thousands separator.
func Parse(text string, want Kind) (float64, error) {
	fail := func(why ParseFault) (float64, error) {
		return math.NaN(), &ParseError{Text: text, Want: want, Why: why}
	}
	s := strings.TrimSpace(text)
	end := 0
	for end < len(s) && strings.IndexByte("+-.0123456789eE", s[end]) >= 0 {
		// An exponent needs a digit or a sign behind it, so that "5 e" or "3ex" end here.
		if (s[end] == 'e' || s[end] == 'E') && !exponentFollows(s[end+1:]) {
			break
		}
		end++
	}
	number, unit := s[:end], strings.TrimSpace(s[end:])
	if number == "" {
		return fail(NotANumber)
	}
	x, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsInf(x, 0) {
		if x != 0 && math.IsInf(x, 0) {
			return fail(NotFinite)
		}
		return fail(NotANumber)
	}
	if unit == "" {
		if want == Number {
			return x, nil
		}
		return fail(NoUnit)
	}
	var other *Unit
	for i, u := range units {
		if u.Name != unit {
			continue
		}
		if u.Kind == want {
			if math.IsInf(u.toSI(x), 0) {
				return fail(NotFinite)
			}
			return u.toSI(x), nil
		}
		if other == nil {
			other = &units[i]
		}
	}
	e := &ParseError{Text: text, Want: want, Why: UnknownUnit, Unit: unit}
	if other != nil {
		e.Why, e.Got = WrongKind, other.Kind
	}
	return math.NaN(), e
}

func exponentFollows(rest string) bool {
	rest = strings.TrimLeft(rest, "+-")
	return rest != "" && rest[0] >= '0' && rest[0] <= '9'
}
