package acquisition

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/si"
)

// The A-scans are listed one by one.
func TestCountsAgainstEnumeration(t *testing.T) {
	for elements := 1; elements <= 70; elements++ {
		for every := 1; every <= 8; every++ {
			for _, scheme := range []Scheme{FullMatrix, HalfMatrix, EveryNth} {
				firings, ascans := 0, 0
				for sender := range elements {
					if scheme == EveryNth && sender%every != 0 {
						continue
					}
					firings++
					for receiver := range elements {
						if scheme != HalfMatrix || receiver >= sender {
							ascans++
						}
					}
				}
				if got := Firings(elements, scheme, every); got != firings {
					t.Errorf("%d elements, %s, %d: %d firings, want %d", elements, scheme, every, got, firings)
				}
				if got := AScans(elements, scheme, every); got != ascans {
					t.Errorf("%d elements, %s, %d: %d A-scans, want %d", elements, scheme, every, got, ascans)
				}
			}
			// Each wave is received by every element.
			if f, a := Firings(elements, PlaneWave, every), AScans(elements, PlaneWave, every); f != every || a != every*elements {
				t.Errorf("%d elements, %d waves: %d firings and %d A-scans", elements, every, f, a)
			}
		}
	}
}

func TestCountsUnknown(t *testing.T) {
	for _, c := range []struct {
		elements int
		scheme   Scheme
		every    int
	}{{0, FullMatrix, 1}, {-3, HalfMatrix, 1}, {64, EveryNth, 0}, {64, "", 1}, {64, PlaneWave, 0}, {64, "zone", 1}} {
		if f, a := Firings(c.elements, c.scheme, c.every), AScans(c.elements, c.scheme, c.every); f != 0 || a != 0 {
			t.Errorf("%v: %d firings and %d A-scans, want 0", c, f, a)
		}
	}
	for _, got := range []si.Decibel{SparseNoise(0, 64), SparseNoise(65, 64), HalfMatrixNoise(0)} {
		if si.Known(got) {
			t.Errorf("outside its range: got %v dB, want unknown", got)
		}
	}
}

// Noise of equal strength is drawn for each A-scan and summed as an image does.
// The noise of a sum of n comes out to about 1/√(2·trials), here 1 %; 0.2 dB is
// twice that.
func TestNoiseAgainstRandomSums(t *testing.T) {
	const elements, fired, trials = 16, 4, 5000
	random := rand.New(rand.NewPCG(5, 6))
	var full, sparse, half float64
	for range trials {
		var all, some, pairs float64
		for sender := range elements {
			for receiver := range elements {
				noise := random.NormFloat64()
				all += noise
				if sender%(elements/fired) == 0 {
					some += noise
				}
				if receiver == sender {
					pairs += noise
				} else if receiver > sender {
					pairs += 2 * noise
				}
			}
		}
		full, sparse, half = full+all*all, sparse+some*some, half+pairs*pairs
	}
	// The signal is the number of A-scans summed: all, a quarter, all.
	snr := func(signal, noise float64) float64 { return 20 * math.Log10(signal/math.Sqrt(noise)) }
	reference := snr(elements*elements, full)
	if got, want := float64(SparseNoise(fired, elements)), snr(fired*elements, sparse)-reference; math.Abs(got-want) > 0.2 {
		t.Errorf("sparse: got %v dB, drawn %v", got, want)
	}
	if got, want := float64(HalfMatrixNoise(elements)), snr(elements*elements, half)-reference; math.Abs(got-want) > 0.2 {
		t.Errorf("half matrix: got %v dB, drawn %v", got, want)
	}
}
