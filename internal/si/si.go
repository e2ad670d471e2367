// Package si holds the physical quantities of the program: one defined type
// for each kind that people mix up, the units a job file may use, and the only
// two conversions there are, from text and to text.
//
// Everything is held in SI units (angles in radians), so that a formula reads
// like the book it comes from. An unknown quantity is NaN, and stays NaN
// through every formula; nothing in this package turns one into a number.
package si

import "math"

// The quantities. Each is a float64 in the SI unit of its comment.
type (
	Length    float64 // metre
	Angle     float64 // radian
	Time      float64 // second
	Frequency float64 // hertz
	Speed     float64 // metre per second
	Decibel   float64 // dB, amplitude ratio: 20 log10
	Celsius   float64 // degree Celsius
	Kelvin    float64 // a difference of temperature, kelvin
	Ratio     float64 // a pure number; a percentage is held as its fraction
	Bytes     float64 // byte
	ByteRate  float64 // byte per second
	Area      float64 // square metre

	Density        float64 // kilogram per cubic metre
	Attenuation    float64 // dB of amplitude per metre, one way
	SpeedPerKelvin float64 // metre per second and kelvin: how a velocity changes with temperature
)

// Units in which code and tests write constants: 12.5 * si.Millimetre.
const (
	Metre      Length    = 1
	Millimetre Length    = 1e-3
	Micrometre Length    = 1e-6
	Inch       Length    = 25.4e-3
	Degree     Angle     = math.Pi / 180
	Second     Time      = 1
	Hour       Time      = 3600
	Hertz      Frequency = 1
	Megahertz  Frequency = 1e6
)

// Sin returns the sine of a: a formula uses an angle without converting it.
func (a Angle) Sin() float64 { return math.Sin(float64(a)) }

// Cos returns the cosine of a.
func (a Angle) Cos() float64 { return math.Cos(float64(a)) }

// Tan returns the tangent of a.
func (a Angle) Tan() float64 { return math.Tan(float64(a)) }

// Known reports whether x is a number at all: unknown quantities are NaN.
func Known[T ~float64](x T) bool { return !math.IsNaN(float64(x)) }

// Unknown is the value of a quantity that was not given or could not be read.
func Unknown[T ~float64]() T { return T(math.NaN()) }

// Kind names what a number measures.
type Kind uint8

// The kinds, in the order of the types above.
const (
	Number Kind = iota // a count, or a number without unit
	KindLength
	KindAngle
	KindTime
	KindFrequency
	KindSpeed
	KindDecibel
	KindCelsius
	KindKelvin
	KindRatio
	KindBytes
	KindByteRate
	KindArea
	KindRate // things per second that are no oscillation: points, A-scans
	KindDensity
	KindAttenuation
	KindSpeedPerKelvin
)

// lastKind is the last of the kinds.
const lastKind = KindSpeedPerKelvin

var kindNames = [...]string{
	Number: "number", KindLength: "length", KindAngle: "angle", KindTime: "time",
	KindFrequency: "frequency", KindSpeed: "speed", KindDecibel: "decibel value",
	KindCelsius: "temperature", KindKelvin: "temperature difference", KindRatio: "share",
	KindBytes: "amount of data", KindByteRate: "data rate", KindArea: "area", KindRate: "rate",
	KindDensity: "density", KindAttenuation: "attenuation", KindSpeedPerKelvin: "velocity change per kelvin",
}

// String returns the kind's name as a message uses it: "length", "frequency".
func (k Kind) String() string { return kindNames[k] }

// KindNamed returns the kind with the given name, as the rule books and the
// schema write it.
func KindNamed(name string) (Kind, bool) {
	for k, n := range kindNames {
		if n == name {
			return Kind(k), true
		}
	}
	return Number, false
}

// Quantity is a number together with what it measures: the form in which a
// value of any kind travels to a rule, a table or a listing.
type Quantity struct {
	SI   float64
	Kind Kind
}

// Known reports whether the quantity has a value.
func (q Quantity) Known() bool { return !math.IsNaN(q.SI) }
