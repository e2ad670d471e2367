package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// EnvelopeGridLoss returns the largest loss of amplitude that an image of
// envelopes suffers because a reflector may lie between its grid points: half a
// step off in depth and across. Positive is a loss.
//
//	(30.92 b² + 17.4) (D / λ)² dB, b the −6 dB bandwidth over the centre frequency
//
// The first term is exact for a pulse of Gaussian shape: half a step of depth
// moves the echo by D / c. The second, across the beam, is fitted to a
// simulation of the narrowest lateral response that is met in practice (0.57 λ
// wide at −6 dB): 2.3 dB at λ/3.3, 1.6 at /4, 1.0 at /5, 0.69 at /6, 0.39 at /8,
// 0.25 at /10, 0.17 at /12, 0.06 at /20, all for b = 0.5.
//
// Valid: 0 < b ≤ 1.5; D ≤ λ/3, where the squares still hold; NaN outside. λ is
// the shortest of the wave modes of the image. It is an expectation, and no
// substitute for the measurement on a block.
// Source: own computation; table in grid_test.go, depth term in
// published_test.go, rows P198 and P200.
func EnvelopeGridLoss(grid, wavelength si.Length, bandwidth si.Ratio) si.Decibel {
	steps := float64(grid) / float64(wavelength)
	b := float64(bandwidth)
	if !(grid > 0 && wavelength > 0 && steps <= 1.0/3 && b > 0 && b <= 1.5) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel((30.92*b*b + 17.4) * steps * steps)
}

// OscillatingGridLoss returns the largest loss of amplitude that an image of
// oscillating signals suffers because a reflector may lie half a step of depth
// off the nearest grid point. Positive is a loss.
//
//	−20 log₁₀ |cos(2 π D / λ)|
//
// Valid: D > 0, λ > 0, else NaN. From D = λ/4 a reflector may fall on a zero of
// the signal, and the loss is infinite. The best of the points around would
// show a little more: 1.7 dB against 1.8 at λ/10.
// Source: own derivation, twice the path of half a step; published_test.go, rows
// P194 to P197.
func OscillatingGridLoss(grid, wavelength si.Length) si.Decibel {
	if !(grid > 0 && wavelength > 0) {
		return si.Unknown[si.Decibel]()
	}
	if grid >= wavelength/4 {
		return si.Decibel(math.Inf(1))
	}
	return si.Decibel(-20 * math.Log10(math.Cos(2*math.Pi*float64(grid/wavelength))))
}
