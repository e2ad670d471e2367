package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// NearFieldCircular returns the near-field length of a flat round source: the
// distance of the last pressure maximum on its axis, for one frequency.
//
//	N = D² / (4 λ)
//
// Valid: D well above λ (the exact (D² − λ²)/(4 λ) is shorter by λ/4); D > 0,
// λ > 0, else NaN.
// Source: any textbook on ultrasonic testing; check value in published_test.go,
// row P027.
func NearFieldCircular(diameter, wavelength si.Length) si.Length {
	if !(diameter > 0 && wavelength > 0) {
		return si.Unknown[si.Length]()
	}
	return si.Length(float64(diameter) * float64(diameter) / (4 * float64(wavelength)))
}

// rectangularFactors are k(0), k(0.1) … k(1) of NearFieldRectangular by the
// ratio of the short side to the long one.
var rectangularFactors = [...]float64{0.987, 0.987, 0.987, 0.991, 0.997, 1.012, 1.040, 1.085, 1.152, 1.246, 1.367}

// NearFieldRectangular returns the near-field length of a flat rectangular
// source: the distance of the last pressure maximum on its axis, for one
// frequency. With a side ratio of 0.6 and less that is no longer the highest
// maximum, since the short side focuses nearer.
//
//	N = k a² / (4 λ), a the longer side, k by the ratio of the sides, 0.99 … 1.37
//
// Valid: sides well above λ; sides and λ > 0, else NaN. Between the tabulated
// ratios k is interpolated, within 0.5 %.
// Source: factors from memory of the table in use with the European standards
// on array and probe equipment, confirmed to 0.006 by integrating the axial
// field; published_test.go, rows P047 to P056, and a second integration in
// nearfield_test.go.
func NearFieldRectangular(side, other, wavelength si.Length) si.Length {
	if !(side > 0 && other > 0 && wavelength > 0) {
		return si.Unknown[si.Length]()
	}
	long, short := math.Max(float64(side), float64(other)), math.Min(float64(side), float64(other))
	at := 10 * short / long
	i := min(int(at), len(rectangularFactors)-2)
	k := rectangularFactors[i] + (at-float64(i))*(rectangularFactors[i+1]-rectangularFactors[i])
	return si.Length(k * long * long / (4 * float64(wavelength)))
}
