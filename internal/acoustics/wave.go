// Package acoustics holds the closed formulas of the trade: wavelength, near
// field, beam spread, refraction, array limits, skips, reflection at a free
// surface, and the fidelity of an image grid. Each function is one formula with
// its range and its source. It takes quantities and returns quantities, knows
// no job and no code, and never guesses: outside its range a formula gives NaN.
package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// Wavelength returns the length of one period of a plane wave.
//
//	λ = c / f
//
// Valid: c > 0, f > 0, else NaN.
// Source: definition; check values in published_test.go, row P024.
func Wavelength(c si.Speed, f si.Frequency) si.Length {
	if !(c > 0 && f > 0) {
		return si.Unknown[si.Length]()
	}
	return si.Length(float64(c) / float64(f))
}

// Refract returns the angle behind a flat interface of a ray that meets it at
// the given angle from the normal. Going the other way, from part to wedge, it
// gives the angle in the wedge that a refracted angle needs.
//
//	sin β = (to / from) sin α
//
// Valid: |angle| < 90°, speeds > 0; NaN outside, and NaN beyond the critical
// angle, where no such ray exists.
// Source: Snell's law; check values in published_test.go, rows P058 to P083.
func Refract(angle si.Angle, from, to si.Speed) si.Angle {
	if !(math.Abs(float64(angle)) < math.Pi/2 && from > 0 && to > 0) {
		return si.Unknown[si.Angle]()
	}
	return si.Angle(math.Asin(float64(to) / float64(from) * angle.Sin()))
}

// CriticalAngle returns the angle of incidence at which the wave behind the
// interface runs along it. With the longitudinal speed of the part it is the
// first critical angle of a wedge, with the transverse speed the second.
//
//	α = asin(from / to)
//
// Valid: 0 < from < to; NaN otherwise, since every angle then has a refracted ray.
// Source: Snell's law; check values in published_test.go, rows P069 to P076.
func CriticalAngle(from, to si.Speed) si.Angle {
	if !(from > 0 && to > from) {
		return si.Unknown[si.Angle]()
	}
	return si.Angle(math.Asin(float64(from) / float64(to)))
}
