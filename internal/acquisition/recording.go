package acquisition

import (
	"math"

	"soundwrit/internal/si"
)

// ghostFlights is how many of the longest times of flight should pass between
// two pulses.
const ghostFlights = 3

// GhostRate returns the pulse rate above which the echo of an earlier pulse may
// stand among those of this one.
//
//	1 / (3 T)
//
// Valid: T, there and back over the longest path used, > 0, else NaN.
// Source: common practice, two to five times the time of flight; the number is a
// convention, and sound that travels far in fine grain asks for more.
func GhostRate(flight si.Time) si.Frequency {
	if !(flight > 0) {
		return si.Unknown[si.Frequency]()
	}
	return si.Frequency(1 / (ghostFlights * float64(flight)))
}

// SamplingLoss returns by how much a peak may be read too low, because it falls
// between two samples.
//
//	−20 log₁₀ cos(π f / f_s)
//
// Valid: a signal of one frequency, f > 0 and f_s > 2 f, else NaN. A short pulse
// loses about as much at its centre frequency.
// Source: the sample nearest the crest of a sine is at most half a step away.
func SamplingLoss(frequency, sampling si.Frequency) si.Decibel {
	if !(frequency > 0 && sampling > 2*frequency) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(-20 * math.Log10(math.Cos(math.Pi*float64(frequency/sampling))))
}

// AveragingGain returns what the signal-to-noise ratio gains where each A-scan
// is the mean of several. It holds for electronic noise only.
//
//	10 log₁₀ n
//
// Valid: n ≥ 1, else NaN.
// Source: sum of independent noise.
func AveragingGain(averages int) si.Decibel {
	if averages < 1 {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(10 * math.Log10(float64(averages)))
}

// CountError returns how far the way of whole encoder counts is from the
// increment it stands for, as a share of the increment. Each position adds as
// much again, so that it is the error over the whole weld too.
//
//	|n r / Δy − 1|, n the whole number nearest to Δy / r and at least 1
//
// Valid: increment > 0, resolution > 0, else NaN.
// Source: counting.
func CountError(increment, resolution si.Length) si.Ratio {
	if !(increment > 0 && resolution > 0) {
		return si.Unknown[si.Ratio]()
	}
	counts := math.Max(1, math.Round(float64(increment/resolution)))
	return si.Ratio(math.Abs(counts*float64(resolution/increment) - 1))
}
