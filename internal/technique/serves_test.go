package technique

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// The scanner block of the study's case: 16 mm wants 12 to 20 mm (so 21 fails),
// 40 mm wants 34 to 46 mm; in inches 1/4 in holds in place of 6 mm.
func TestScannerBlock(t *testing.T) {
	for _, c := range []struct {
		thickness si.Length
		inch      bool
		from, to  si.Length
	}{
		{16 * si.Millimetre, false, 12 * si.Millimetre, 20 * si.Millimetre}, {40 * si.Millimetre, false, 34 * si.Millimetre, 46 * si.Millimetre},
		{2 * si.Inch, true, 1.75 * si.Inch, 2.25 * si.Inch}, {0.5 * si.Inch, true, 0.375 * si.Inch, 0.625 * si.Inch},
	} {
		within := scannerWithin(c.thickness, c.inch)
		if math.Abs(float64(c.thickness-within-c.from)) > 1e-12 || math.Abs(float64(c.thickness+within-c.to)) > 1e-12 {
			t.Errorf("%v: within %v, want %v to %v", c.thickness, within, c.from, c.to)
		}
	}
}

// Linearity by the study's case: with the larger echo at 80 %, 34 and 46 % fail,
// 36 and 44 % pass; 80 % less 6 dB reading 50 % fails.
func TestScreenHeights(t *testing.T) {
	l := ScreenHeights()
	if len(l.Height) != 9 || len(l.Control) != 4 {
		t.Fatalf("%d and %d steps", len(l.Height), len(l.Control))
	}
	step := l.Height[2]
	for reads, want := range map[si.Ratio]bool{0.34: false, 0.35: true, 0.36: true, 0.44: true, 0.45: true, 0.46: false} {
		if got := reads >= step.Low-1e-9 && reads <= step.High+1e-9; got != want || step.Set != "80 %" {
			t.Errorf("%s, %v: %v", step.Set, reads, got)
		}
	}
	if c := l.Control[0]; c.High >= 0.5 || c.Low != 0.32 {
		t.Errorf("%+v", c)
	}
}
