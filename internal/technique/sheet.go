package technique

import (
	"soundwrit/internal/si"
	"soundwrit/schema"
)

// sheet collects the values of a technique in the units of its job.
type sheet struct {
	*Technique
	inch   bool
	sketch bool // without what takes most of the time and decides no requirement
}

// how says where a value comes from. A value taken from the job has neither
// formula nor inputs.
type how struct {
	formula string
	inputs  []string // ids of values that exist already
	source  string
	side    si.Side
	of      string // which of the values of its name it is
}

// given is how a value of the job itself comes about.
func given() how { return how{source: "job"} }

// digits is how a kind of value is printed in each unit system.
type digits struct {
	mm       string
	mmPlaces int
	in       string
	inPlaces int
}

var (
	place     = digits{"mm", 1, "in", 3}     // positions and dimensions of part and wedge
	step      = digits{"mm", 2, "in", 3}     // along the weld
	fine      = digits{"mm", 3, "in", 4}     // wavelengths, pitches
	area      = digits{"mm²", 0, "in²", 3}   // of a section
	movement  = digits{"mm/s", 1, "in/s", 2} // of the probe
	sound     = digits{"m/s", 0, "in/us", 4}
	megahertz = digits{"MHz", 2, "MHz", 2}
	hertz     = digits{"Hz", 1, "Hz", 1}
	degrees   = digits{"deg", 1, "deg", 1}
	micros    = digits{"us", 2, "us", 2}
	nanos     = digits{"ns", 1, "ns", 1}
	millis    = digits{"ms", 2, "ms", 2}
	minutes   = digits{"min", 0, "min", 0}
	percent   = digits{"%", 1, "%", 1}
	decibels  = digits{"dB", 1, "dB", 1}
	whole     = digits{"", 0, "", 0}
	plain     = digits{"", 2, "", 2}
	megabytes = digits{"MB", 2, "MB", 2}
	gigabytes = digits{"GB", 2, "GB", 2}
	damping   = digits{"dB/m", 1, "dB/in", 3}
	densities = digits{"kg/m³", 0, "kg/m³", 0}
	celsius   = digits{"degC", 1, "degF", 1}
	changes   = digits{"m/s/K", 1, "m/s/K", 1} // of a velocity
)

// add puts a value on the sheet. The kind follows from the unit's use, so the
// callers below are the only ones.
func (s *sheet) add(id, symbol, name string, x float64, kind si.Kind, d digits, h how) {
	v := Value{
		ID: id, Symbol: symbol, Name: name, Of: h.of, Q: si.Quantity{SI: x, Kind: kind},
		Unit: d.mm, Decimals: d.mmPlaces, Side: h.side, Formula: h.formula, Source: h.source,
	}
	if s.inch {
		v.Unit, v.Decimals = d.in, d.inPlaces
	}
	for _, input := range h.inputs {
		// An input that does not exist is a fault that the tests find, since
		// every shipped job passes here.
		i, ok := s.Value(input)
		if !ok {
			panic("technique: " + id + " names the input " + input + ", which is not computed before it")
		}
		v.Inputs = append(v.Inputs, Input{Symbol: i.Symbol, ID: i.ID, Q: i.Q, Unit: i.Unit})
	}
	s.Add(v)
}

func (s *sheet) length(id, symbol, name string, x si.Length, h how) {
	s.add(id, symbol, name, float64(x), si.KindLength, place, h)
}

func (s *sheet) fine(id, symbol, name string, x si.Length, h how) {
	s.add(id, symbol, name, float64(x), si.KindLength, fine, h)
}

func (s *sheet) angle(id, symbol, name string, x si.Angle, h how) {
	s.add(id, symbol, name, float64(x), si.KindAngle, degrees, h)
}

func (s *sheet) sound(id, symbol, name string, x si.Speed, h how) {
	s.add(id, symbol, name, float64(x), si.KindSpeed, sound, h)
}

func (s *sheet) movement(id, symbol, name string, x si.Speed, h how) {
	s.add(id, symbol, name, float64(x), si.KindSpeed, movement, h)
}

func (s *sheet) time(id, symbol, name string, x si.Time, d digits, h how) {
	s.add(id, symbol, name, float64(x), si.KindTime, d, h)
}

func (s *sheet) frequency(id, symbol, name string, x si.Frequency, d digits, h how) {
	s.add(id, symbol, name, float64(x), si.KindFrequency, d, h)
}

func (s *sheet) share(id, symbol, name string, x si.Ratio, h how) {
	s.add(id, symbol, name, float64(x), si.KindRatio, percent, h)
}

func (s *sheet) gain(id, symbol, name string, x si.Decibel, h how) {
	s.add(id, symbol, name, float64(x), si.KindDecibel, decibels, h)
}

func (s *sheet) count(id, symbol, name string, n int, h how) {
	s.add(id, symbol, name, float64(n), si.Number, whole, h)
}

func (s *sheet) ratio(id, symbol, name string, x si.Ratio, h how) {
	s.add(id, symbol, name, float64(x), si.Number, plain, h)
}

func (s *sheet) bytes(id, symbol, name string, x si.Bytes, d digits, h how) {
	s.add(id, symbol, name, float64(x), si.KindBytes, d, h)
}

// inches reports whether the job is worked in inches. A document that prints
// both is worked in millimetres.
func inches(job *schema.Job) bool { return job.Document.Units == "in" }
