package acquisition

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// Worked numbers: sums done by hand, beside each.
func TestData(t *testing.T) {
	if got := Samples(30e-6, 50*si.Megahertz); got != 1500 { // 30 µs × 50 a µs
		t.Errorf("samples: got %d, want 1500", got)
	}
	if got := Samples(2.24e-6, 50*si.Megahertz); got != 112 { // the product is 112.00000000000001 in float64
		t.Errorf("samples: got %d, want 112", got)
	}
	if got := Samples(30.001e-6, 50*si.Megahertz); got != 1501 { // the last one begun counts
		t.Errorf("samples: got %d, want 1501", got)
	}
	sectorial := Data(62, 600, 2) // 62 beams × 600 samples × 2 bytes
	if got := DataOver(1, 1*si.Millimetre, sectorial); got != 74.4e6 {
		t.Errorf("sectorial: got %v, want 74.4 MB a metre", got)
	}
	matrix := Data(64*64, 1500, 2)
	if got := DataOver(1, 1*si.Millimetre, matrix); math.Abs(float64(got)-12.288e9) > 1 { // 4096 × 1500 × 2 × 1000
		t.Errorf("matrix: got %v, want 12.288 GB a metre", got)
	}
	length := si.Length(1001)
	if got := DataOver(length*si.Millimetre, 1*si.Millimetre, 1); got != 1001 { // the ratio is over 1001 in float64
		t.Errorf("positions: got %v, want 1001", got)
	}
	if got := DataOver(0.6885, 1*si.Millimetre, 1); got != 689 { // positions are whole
		t.Errorf("positions: got %v, want 689", got)
	}
	if got := ScanTime(0.688, 0.025, 0.0713, 2); math.Abs(float64(got)-20) > 1e-9 { // 2 × 0.713 m at 71.3 mm/s
		t.Errorf("scan time: got %v, want 20 s", got)
	}
}

// Scans are laid one after the other until the weld is covered, each starting
// an overlap before the end of the last, and the last ending an overlap past the
// weld, as at the closure of a girth weld.
func TestStretchesAgainstLaying(t *testing.T) {
	for _, c := range []struct{ length, overlap, stretch si.Length }{
		{3.2, 0.025, 1.5}, {2.95, 0.025, 1.5}, {2.951, 0.025, 1.5}, {0.5, 0.025, 1.5}, {1.475, 0.025, 1.5}, {1.5, 0, 1.5}, {10, 0.1, 0.35},
	} {
		scans, covered := 0, si.Length(0)
		for covered < c.length-1e-9 {
			covered += c.stretch - c.overlap
			scans++
		}
		if got := Stretches(c.length, c.overlap, c.stretch); got != scans {
			t.Errorf("%v m in stretches of %v m that overlap by %v m: %d scans, laid out %d", c.length, c.stretch, c.overlap, got, scans)
		}
	}
	for _, bad := range [][3]si.Length{{0, 0, 1}, {1, -1, 1}, {1, 1, 1}, {1, 0, si.Unknown[si.Length]()}, {1e300, 0, 1}} {
		if got := Stretches(bad[0], bad[1], bad[2]); got != 0 {
			t.Errorf("%v: %d scans, want none", bad, got)
		}
	}
}

func TestDataUnknown(t *testing.T) {
	if a, b, c := Samples(0, 5e7), Samples(si.Unknown[si.Time](), 5e7), Samples(1e9, 5e7); a != 0 || b != 0 || c != 0 {
		t.Errorf("samples outside their range: got %d, %d, %d, want 0", a, b, c)
	}
	for name, got := range map[string]float64{
		"no A-scan":         float64(Data(0, 100, 2)),
		"increment unknown": float64(DataOver(1, si.Unknown[si.Length](), 1)),
		"no length":         float64(DataOver(0, 0.001, 1)),
		"no pass":           float64(ScanTime(1, 0, 0.05, 0)),
		"speed unknown":     float64(ScanTime(1, 0, si.Unknown[si.Speed](), 1)),
		"overlap unknown":   float64(ScanTime(1, si.Unknown[si.Length](), 0.05, 1)),
		"no pulses a turn":  float64(EncoderStep(0.02, 0)),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s: got %v, want unknown", name, got)
		}
	}
}
