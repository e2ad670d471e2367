package templates

import (
	"math"
	"testing"

	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// The expected texts are worked by hand from 1 in = 25.4 mm and
// °F = 32 + 9/5 °C.
func TestJobQuantitiesInTheDocumentsUnits(t *testing.T) {
	mm := func(x float64) si.Quantity { return lengthOf(si.Length(x) * si.Millimetre) }
	for _, c := range []struct {
		system string
		q      si.Quantity
		u      unit
		side   si.Side
		want   md
	}{
		{"mm", mm(25), lengthUnit, si.Nearest, "25 mm"},
		{"mm", mm(12.7), lengthUnit, si.Nearest, "12.7 mm"},
		{"in", mm(12.7), lengthUnit, si.Nearest, "0.5 in"},
		{"both", mm(12.7), lengthUnit, si.Nearest, "12.7 mm (0.5 in)"},
		{"in", mm(1), lengthUnit, si.Down, "0.0393 in"}, // 0.03937 in: a largest value is not rounded up
		{"in", mm(25), lengthUnit, si.Up, "0.9843 in"},  // 0.98425 in: a smallest is not rounded down
		{"both", celsiusOf(35), celsiusUnit, si.Down, "35 °C (95 °F)"},
		{"in", si.Quantity{SI: 10, Kind: si.KindKelvin}, kelvinUnit, si.Down, "18 °F"},
		{"in", speedOf(0.05), speedUnit, si.Down, "1.96 in/s"}, // 1.9685 in/s
		{"both", angleOf(30 * si.Degree), angleUnit, si.Nearest, "30°"},
		{"in", lengthOf(6.3 * si.Micrometre), micrometre, si.Down, "6.3 µm"},
		{"mm", timeOf(20e-6), microsecond, si.Up, "20 µs"},
		{"mm", mm(math.NaN()), lengthUnit, si.Nearest, notStated},
		{"mm", mm(math.Inf(1)), lengthUnit, si.Nearest, notStated},
		{"mm", mm(0), lengthUnit, si.Nearest, "0 mm"},
	} {
		p := &printer{system: c.system}
		if got := p.given(c.q, c.u, c.side); got != c.want {
			t.Errorf("%v in %s = %q, want %q", c.q, c.system, got, c.want)
		}
	}
}

func TestPositionsCarryTheirSign(t *testing.T) {
	p := &printer{system: "mm"}
	for x, want := range map[si.Length]md{40e-3: "+40 mm", -40e-3: "−40 mm", 0: "0 mm"} {
		if got := p.signed(x, lengthUnit, si.Nearest, trim); got != want {
			t.Errorf("signed(%v) = %q, want %q", x, got, want)
		}
	}
	if got := p.span(-2.31e-3, 1.44e-3); got != "−2.4 mm to +1.5 mm" {
		t.Errorf("a missed region is rounded inwards: %s", got)
	}
}

// An evaluation level rounds towards evaluating more.
func TestLevelsAgainstReference(t *testing.T) {
	p := &printer{system: "mm"}
	for level, want := range map[si.Decibel]md{-14: "a level 14 dB below reference", -13.9794: "a level 13.98 dB below reference", 0: "the reference level", 6: "a level 6 dB above reference"} {
		if got := p.relative(level); got != want {
			t.Errorf("relative(%v) = %q, want %q", level, got, want)
		}
	}
}

func TestNumbersPutIntoAFormula(t *testing.T) {
	for _, c := range []struct {
		q    si.Quantity
		unit string
		want md
	}{
		{lengthOf(0.0123456789), "mm", "12.3457 mm"},
		{frequencyOf(5e6), "MHz", "5 MHz"},
		{si.Quantity{SI: 150000}, "", "150000"},
		{angleOf(36.1 * si.Degree), "deg", "36.1°"},
		{ratioOf(0.05), "%", "5 %"},
		{lengthOf(0), "mm", "0 mm"},
	} {
		if got, err := significant(c.q, c.unit); err != nil || got != c.want {
			t.Errorf("significant(%v, %s) = %q, %v, want %q", c.q, c.unit, got, err, c.want)
		}
	}
	if _, err := significant(lengthOf(1), "MHz"); err == nil {
		t.Error("a length in megahertz is no error")
	}
}

func TestComputedValuesInBothSystems(t *testing.T) {
	tech := sample()
	tech.Add(technique.Value{ID: "x", Name: "largest", Q: lengthOf(1e-3), Unit: "mm", Decimals: 1, Side: si.Down})
	for system, want := range map[string]md{"mm": "| Largest | 1.0 mm |", "both": "| Largest | 1.0 mm (0.039 in) |"} {
		x := values{tech, &printer{system: system}}
		if got, err := x.row("x"); err != nil || got != want {
			t.Errorf("%s: %q, %v, want %q", system, got, err, want)
		}
	}
	x := values{tech, &printer{system: "mm"}}
	if got, err := x.optional("y"); got != "" || err != nil {
		t.Errorf("a value that is not there: %q, %v", got, err)
	}
}

// A beam that is shown wider than it is lets strokes lie too far apart: 2.997 mm and
// 3.846 mm are no 3.0 and no 3.9.
func TestWidthsOfABeamAreRoundedDown(t *testing.T) {
	tech := sample()
	g := &tech.Groups[0]
	g.Single = &technique.Single{Probe: &schema.SingleProbe{}, Widths: []technique.BeamWidth{{Path: 20e-3, Plane: 2.997e-3, Across: 3.846e-3}}}
	var v group
	v.x = values{tech, &printer{system: "mm"}}
	v.seeSingle(v.x.p, *g)
	if len(v.Spreads) != 1 || v.Spreads[0].Plane != "2.9 mm" || v.Spreads[0].Across != "3.8 mm" {
		t.Errorf("widths %+v, want 2.9 mm and 3.8 mm", v.Spreads)
	}
}
