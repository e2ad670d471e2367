package acquisition

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/si"
)

func TestGhostRate(t *testing.T) {
	// By hand: 100 µs there and back leaves one pulse in 300 µs.
	if got := GhostRate(100e-6); math.Abs(float64(got)-3333.333) > 0.001 {
		t.Errorf("after 100 µs at most %v pulses a second, want 3333.333", got)
	}
	for _, bad := range []si.Time{0, -1, si.Unknown[si.Time]()} {
		if si.Known(GhostRate(bad)) {
			t.Errorf("a pulse rate for a flight of %v", bad)
		}
	}
}

// TestSamplingLossAgainstSamples samples a sine at many phases and looks for the
// lowest reading of its crest.
func TestSamplingLossAgainstSamples(t *testing.T) {
	for _, perPeriod := range []float64{2.5, 4, 5, 6.3, 12.5} {
		least := 1.0
		for phase := 0.0; phase < 1; phase += 1e-4 {
			most := -1.0
			for i := range 3 * int(perPeriod+1) {
				// Only the samples of one crest: others would hide a low reading of it.
				if at := (float64(i)+phase)/perPeriod - 1; math.Abs(at) <= 0.5 {
					most = max(most, math.Cos(2*math.Pi*at))
				}
			}
			least = min(least, most)
		}
		want := -20 * math.Log10(least)
		// The phases are 1e-4 of a step apart.
		if got := float64(SamplingLoss(1, si.Frequency(perPeriod))); math.Abs(got-want) > 2e-3 {
			t.Errorf("%v samples a period lose %.4f dB, sampled %.4f dB", perPeriod, got, want)
		}
	}
	for _, bad := range [][2]si.Frequency{{0, 1}, {1, 2}, {-1, 5}, {1, si.Unknown[si.Frequency]()}} {
		if si.Known(SamplingLoss(bad[0], bad[1])) {
			t.Errorf("a loss at %v", bad)
		}
	}
}

func TestAveragingGainAgainstNoise(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	const trials = 40000
	for _, n := range []int{1, 4, 16} {
		power := 0.0
		for range trials {
			mean := 0.0
			for range n {
				mean += random.NormFloat64() / float64(n)
			}
			power += mean * mean / trials
		}
		// The power of 40000 trials scatters by 0.7 %, 0.03 dB; four times that.
		if got, want := float64(AveragingGain(n)), -10*math.Log10(power); math.Abs(got-want) > 0.12 {
			t.Errorf("%d averages gain %.3f dB, random noise %.3f dB", n, got, want)
		}
	}
	if si.Known(AveragingGain(0)) {
		t.Error("a gain of no average")
	}
}

func TestCountErrorByHand(t *testing.T) {
	const mm = si.Millimetre
	for _, c := range []struct {
		increment, resolution si.Length
		want                  float64
	}{
		{1 * mm, 0.05 * mm, 0},        // 20 counts
		{1 * mm, 0.3 * mm, 0.1},       // 3 counts make 0.9 mm
		{1 * mm, 0.4 * mm, 0.2},       // 2.5 counts: 3 make 1.2 mm
		{1 * mm, 0.0305 * mm, 6.5e-3}, // 33 counts make 1.0065 mm
		{0.5 * mm, 1 * mm, 1},         // one count is twice the increment
	} {
		if got := float64(CountError(c.increment, c.resolution)); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v in counts of %v: error %v, want %v", c.increment, c.resolution, got, c.want)
		}
	}
	for _, bad := range [][2]si.Length{{0, 1}, {1, 0}, {si.Unknown[si.Length](), 1}} {
		if si.Known(CountError(bad[0], bad[1])) {
			t.Errorf("an error of %v", bad)
		}
	}
}
