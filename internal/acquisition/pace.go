package acquisition

import (
	"math"

	"soundwrit/internal/si"
)

// LostShare returns the share of scan lines that are lost at a steady speed.
//
//	1 − limit / speed above the limit, else 0
//
// Valid: speed ≥ 0, limit > 0, else NaN.
// Source: the instrument delivers limit / speed of the lines that are asked of it.
func LostShare(speed, limit si.Speed) si.Ratio {
	if !(speed >= 0 && limit > 0) {
		return si.Unknown[si.Ratio]()
	}
	if speed <= limit {
		return 0
	}
	return 1 - si.Ratio(limit/speed)
}

// Pace is how a hand pulls a scanner. Mean and Spread are of the speed read at
// each place of the way, so a fast stretch counts by its length. Length over time
// is the harmonic mean instead, which is lower: Mean / (1 + Spread²).
//
// The speed is taken as lognormal: it is never negative, its surges are larger
// than its lags, and the two numbers fix it. Nobody has published how hands
// pull, so what follows is an expectation and no promise.
type Pace struct {
	Mean   si.Speed
	Spread si.Ratio // standard deviation over mean; 0 is a steady motor
}

// steady reports whether the spread is none: less than a billionth would only
// divide zero by zero.
func (p Pace) steady() bool { return p.Spread >= 0 && p.Spread < 1e-9 }

// Lost returns the expected share of scan lines lost.
//
//	E[(1 − limit/V)⁺] = Φ(d) − (limit / mean) e^{σ²} Φ(d − σ),
//	σ² = ln(1 + spread²), d = (ln(mean / limit) − σ²/2) / σ
//
// Valid: mean > 0, spread ≥ 0, limit > 0, else NaN.
// Source: own derivation from LostShare; quadrature and random speeds in
// pace_test.go.
func (p Pace) Lost(limit si.Speed) si.Ratio {
	if p.steady() {
		if !(p.Mean > 0) {
			return si.Unknown[si.Ratio]()
		}
		return LostShare(p.Mean, limit)
	}
	d, sigma := p.standard(limit)
	lost := normal(d) - float64(limit)/float64(p.Mean)*math.Exp(sigma*sigma)*normal(d-sigma)
	// Far below the limit the two terms cancel to float noise.
	return si.Ratio(math.Max(0, lost))
}

// LostTogether returns the share of the way on which two neighbouring lines are
// lost: where the speed is over twice the limit.
//
//	P(V > 2 limit) = Φ((ln(mean / (2 limit)) − σ²/2) / σ)
//
// Valid: as Lost.
// Source: own derivation; quadrature in pace_test.go.
func (p Pace) LostTogether(limit si.Speed) si.Ratio {
	if p.steady() {
		switch {
		case !(p.Mean > 0 && limit > 0):
			return si.Unknown[si.Ratio]()
		case p.Mean > 2*limit:
			return 1
		}
		return 0
	}
	d, _ := p.standard(2 * limit)
	return si.Ratio(normal(d))
}

// standard returns how many standard deviations of ln V the limit lies under
// its mean, and that deviation.
func (p Pace) standard(limit si.Speed) (d, sigma float64) {
	if !(p.Mean > 0 && p.Spread > 0 && limit > 0) {
		return math.NaN(), math.NaN()
	}
	variance := math.Log1p(float64(p.Spread) * float64(p.Spread))
	sigma = math.Sqrt(variance)
	return (math.Log(float64(p.Mean)/float64(limit)) - variance/2) / sigma, sigma
}

// normal is the standard normal distribution function, by the complement so
// that small values keep their digits.
func normal(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }

// FastestMean returns the highest mean speed of a hand with the given spread at
// which the expected loss stays inside the share allowed.
//
//	largest mean with Pace{mean, spread}.Lost(limit) ≤ allowed
//
// Valid: limit > 0, spread ≥ 0, 0 ≤ allowed < 1, else NaN. With no loss allowed
// and any spread there is no such speed, and the answer is 0.
// Source: bisection of Lost, which grows with the mean; the lower end is
// returned, so it is never above the true value.
func FastestMean(limit si.Speed, spread, allowed si.Ratio) si.Speed {
	if !(limit > 0 && spread >= 0 && allowed >= 0 && allowed < 1) {
		return si.Unknown[si.Speed]()
	}
	if allowed == 0 && !(Pace{Spread: spread}).steady() {
		return 0
	}
	low, high := 0.0, 1.0 // in limits
	within := func(mean float64) bool {
		return Pace{si.Speed(mean) * limit, spread}.Lost(limit) <= allowed
	}
	for within(high) {
		low, high = high, 2*high
	}
	for range 80 {
		if middle := (low + high) / 2; within(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return si.Speed(low) * limit
}
