package si

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Conversions with the definition of each unit beside it. Tolerance: 1e-12 of
// the value, a few roundings of a float64.
func TestParse(t *testing.T) {
	for _, c := range []struct {
		text   string
		kind   Kind
		want   float64
		source string
	}{
		{"25 mm", KindLength, 0.025, "SI prefix"},
		{"25mm", KindLength, 0.025, "SI prefix; the space may be left out"},
		{" 25 mm ", KindLength, 0.025, "SI prefix"},
		{"2.5 cm", KindLength, 0.025, "SI prefix"},
		{"6.3 um", KindLength, 6.3e-6, "SI prefix"},
		{"6.3 µm", KindLength, 6.3e-6, "SI prefix"},
		{"1 in", KindLength, 0.0254, "international inch, 25.4 mm exactly (1959 agreement)"},
		{"1 ft", KindLength, 0.3048, "12 international inches"},
		{"180 deg", KindAngle, math.Pi, "definition of the degree"},
		{"2 h", KindTime, 7200, "definition of the hour"},
		{"3 min", KindTime, 180, "definition of the minute"},
		{"10 us", KindTime, 1e-5, "SI prefix"},
		{"5 MHz", KindFrequency, 5e6, "SI prefix"},
		{"3.24 mm/us", KindSpeed, 3240, "SI prefixes"},
		{"1 in/us", KindSpeed, 25400, "international inch"},
		{"-14 dB", KindDecibel, -14, "as written"},
		{"212 degF", KindCelsius, 100, "boiling point of water on both scales"},
		{"-40 degF", KindCelsius, -40, "where both scales meet"},
		{"32 °F", KindCelsius, 0, "freezing point of water on both scales"},
		{"18 degF", KindKelvin, 10, "9 degF are 5 K"},
		{"60 %", KindRatio, 0.6, "definition of the per cent"},
		{"200 MB/s", KindByteRate, 2e8, "SI prefix"},
		{"1e2 mm", KindLength, 0.1, "exponent"},
		{"+.5e+1 mm", KindLength, 0.005, "exponent"},
		{"800 M/s", KindRate, 8e8, "SI prefix"},
		{"1.05 g/cm³", KindDensity, 1050, "1 g/cm³ is 1000 kg/m³"},
		{"0.04 dB/mm", KindAttenuation, 40, "1 m is 1000 mm"},
		{"1 dB/in", KindAttenuation, 1000 / 25.4, "1 in is 25.4 mm"},
		{"-2.3 m/s/K", KindSpeedPerKelvin, -2.3, "SI"},
		{"12", Number, 12, "as written"},
	} {
		got, err := Parse(c.text, c.kind)
		if err != nil || math.Abs(got-c.want) > 1e-12*math.Max(1, math.Abs(c.want)) {
			t.Errorf("Parse(%q) = %v, %v, want %v (%s)", c.text, got, err, c.want, c.source)
		}
	}
}

// What a job writes in mm comes back in mm, digit for digit: 18 mm is not
// 18.000000000000002.
func TestParseGivesTheNearestFloat(t *testing.T) {
	for text, want := range map[string]float64{"18 mm": 0.018, "0.6 mm": 0.0006, "10 us": 1e-5, "15 %": 0.15, "7 um": 7e-6} {
		for _, kind := range []Kind{KindLength, KindTime, KindRatio} {
			if got, err := Parse(text, kind); err == nil && got != want {
				t.Errorf("Parse(%q) = %v", text, got)
			}
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text string
		why  ParseFault
	}{
		{"", NotANumber}, {"mm", NotANumber}, {"x mm", NotANumber}, {"- mm", NotANumber}, {"1-2 mm", NotANumber},
		{"1.2.3 mm", NotANumber}, {"NaN mm", NotANumber}, {"Inf mm", NotANumber}, {"0x10 mm", UnknownUnit}, {"1_0 mm", UnknownUnit},
		{"12", NoUnit}, {"12 ", NoUnit}, {"12 mmm", UnknownUnit}, {"12,5 mm", UnknownUnit}, {"12 MM", UnknownUnit}, {"12 mm mm", UnknownUnit},
		{"12 MHz", WrongKind}, {"12 %", WrongKind}, {"1e999 mm", NotFinite}, {"-1e999 mm", NotFinite},
	} {
		x, err := Parse(c.text, KindLength)
		var fault *ParseError
		if !errors.As(err, &fault) || fault.Why != c.why || !math.IsNaN(x) {
			t.Errorf("Parse(%q) = %v, %v, want fault %d", c.text, x, err, c.why)
		}
	}
}

func TestRound(t *testing.T) {
	for _, c := range []struct {
		x                 float64
		decimals          int
		nearest, down, up string
	}{
		{2.345, 1, "2.3", "2.3", "2.4"},
		{2.35, 1, "2.4", "2.3", "2.4"},
		{-2.35, 1, "-2.4", "-2.4", "-2.3"},
		{2, 0, "2", "2", "2"},
		{2.0000000001, 0, "2", "2", "2"},
		{1.9999999999, 0, "2", "2", "2"},
		{2.001, 2, "2.00", "2.00", "2.01"},
		{-0.001, 2, "0.00", "-0.01", "0.00"},
		{0, 1, "0.0", "0.0", "0.0"},
		{999.96, 1, "1000.0", "999.9", "1000.0"},
	} {
		for side, want := range map[Side]string{Nearest: c.nearest, Down: c.down, Up: c.up} {
			if got := Round(c.x, c.decimals, side); got != want {
				t.Errorf("Round(%v, %d, %d) = %s, want %s", c.x, c.decimals, side, got, want)
			}
		}
	}
	if got := Round(math.NaN(), 1, Up); got != "unknown" {
		t.Errorf("NaN prints as %q", got)
	}
}

func TestText(t *testing.T) {
	for _, c := range []struct {
		q        Quantity
		unit     string
		decimals int
		want     string
	}{
		{Quantity{0.0254, KindLength}, "in", 3, "1.000 in"},
		{Quantity{math.Pi / 3, KindAngle}, "deg", 1, "60.0°"},
		{Quantity{100, KindCelsius}, "degF", 0, "212 °F"},
		{Quantity{1e-5, KindTime}, "us", 1, "10.0 µs"},
		{Quantity{0.6, KindRatio}, "%", 0, "60 %"},
		{Quantity{7, Number}, "", 0, "7"},
		{Quantity{math.NaN(), KindLength}, "mm", 1, "unknown"},
	} {
		if got := c.q.Text(c.unit, c.decimals, Nearest); got != c.want {
			t.Errorf("%v in %s prints %q, want %q", c.q, c.unit, got, c.want)
		}
	}
}

// The first unit of a kind is what messages propose, so its example must parse.
func TestExamples(t *testing.T) {
	for k := Number; k <= lastKind; k++ {
		if _, err := Parse(Example(k), k); err != nil {
			t.Errorf("%v: %v", k, err)
		}
		if got, ok := KindNamed(k.String()); !ok || got != k {
			t.Errorf("kind %d is named %q, which names kind %d", k, k, got)
		}
		if len(Units(k)) == 0 {
			t.Errorf("%v has no unit", k)
		}
	}
}

// A quantity printed with all its digits and read again is the same, in every
// unit. Tolerance: 1e-12 of the value or of the unit's offset, float noise.
func TestParseInvertsPrinting(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		si := rapid.Float64Range(-1e9, 1e9).Draw(t, "si")
		text := strconv.FormatFloat(Quantity{si, u.Kind}.In(u), 'g', -1, 64) + " " + u.Name
		back, err := Parse(text, u.Kind)
		if err != nil || math.Abs(back-si) > 1e-12*(math.Abs(si)+math.Abs(u.Offset)) {
			t.Fatalf("%v printed %q and read %v, %v", si, text, back, err)
		}
	})
}

// A limit printed on its safe side is never looser than the limit, apart from
// float noise of 1e-9, and never further than one step of the last digit.
func TestRoundingIsSafe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(-1e6, 1e6).Draw(t, "x")
		decimals := rapid.IntRange(0, 4).Draw(t, "decimals")
		step, noise := math.Pow(10, -float64(decimals)), 2e-9*math.Abs(x)
		read := func(side Side) float64 {
			text := Round(x, decimals, side)
			if strings.HasPrefix(text, "-") && strings.Trim(text, "-0.") == "" {
				t.Fatalf("%v prints as %s", x, text)
			}
			y, err := strconv.ParseFloat(text, 64)
			if err != nil {
				t.Fatal(err)
			}
			return y
		}
		if d := read(Down); d > x+noise || d < x-step-noise {
			t.Fatalf("%v rounded down is %v", x, d)
		}
		if u := read(Up); u < x-noise || u > x+step+noise {
			t.Fatalf("%v rounded up is %v", x, u)
		}
		if n := read(Nearest); math.Abs(n-x) > step/2+noise {
			t.Fatalf("%v rounded to the nearest is %v", x, n)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"12 mm", "5 e", "3ex", "1e-999999999 mm", "1e999 mm", "+.5e+1in", "µm", "12\u00a0mm", "--1 mm", "60°"} {
		f.Add(s, uint8(KindLength))
	}
	f.Fuzz(func(t *testing.T, text string, kind uint8) {
		k := Kind(kind % uint8(lastKind+1))
		x, err := Parse(text, k)
		if (err == nil) == math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("Parse(%q, %v) = %v, %v", text, k, x, err)
		}
		if err != nil && err.Error() == "" {
			t.Fatal("an error without words")
		}
	})
}
