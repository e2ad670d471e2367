package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// Edge is where a beam is held to end: where the pressure has dropped by so
// much from its axis. The convention is part of it, since an echo drops by
// twice the decibels of the field that makes it.
type Edge struct{ oneWay si.Decibel }

// FieldEdge is the edge at which the field of one passage has dropped by the
// given decibels: 6 dB here is 12 dB of the echo.
func FieldEdge(drop si.Decibel) Edge { return Edge{drop} }

// EchoEdge is the edge at which the echo of a small reflector, sent and
// received by the same source, has dropped by the given decibels.
func EchoEdge(drop si.Decibel) Edge { return Edge{drop / 2} }

// NullEdge is the edge at the first zero of the field.
func NullEdge() Edge { return Edge{si.Decibel(math.Inf(1))} }

// CircularHalfAngle returns the angle from the axis to the edge of the far
// field of a round source.
//
//	sin γ = k λ / D, k from 2 J₁(πk)/(πk) = 10^(−drop/20)
//	k = 0.514 echo −6 dB, 0.705 field −6 dB, 0.870 echo −20 dB, 1.220 null
//
// Valid: beyond three near-field lengths; diameter, λ and drop > 0, else NaN.
// Where k λ / D is over 1 the drop is reached nowhere, and the angle is 90°.
// Source: J. and H. Krautkramer, Ultrasonic Testing of Materials, table 4.2;
// published_test.go, rows P028 to P046.
func CircularHalfAngle(diameter, wavelength si.Length, edge Edge) si.Angle {
	return halfAngle(diameter, wavelength, edge, 3.8317059702/math.Pi, jinc)
}

func jinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return 2 * math.J1(x) / x
}

// CircularDirectivity returns the field that a flat round source sends at an
// angle from its axis, over that on the axis, far from it and for one frequency.
//
//	|2 J₁(x) / x|, x = π D sin θ / λ
//
// Valid: beyond three near-field lengths; diameter and λ > 0, |θ| < 90°, else NaN.
// Source: as CircularHalfAngle, whose edges lie where this has dropped by the
// decibels of the edge.
func CircularDirectivity(diameter, wavelength si.Length, angle si.Angle) si.Ratio {
	if !(diameter > 0 && wavelength > 0 && math.Abs(float64(angle)) < math.Pi/2) {
		return si.Unknown[si.Ratio]()
	}
	return si.Ratio(math.Abs(jinc(math.Pi * float64(diameter/wavelength) * angle.Sin())))
}

// RectangularHalfAngle returns the angle from the axis to the edge of the far
// field of a rectangular source, in the plane of the given side. An element
// or an active aperture is such a source in the plane of the section.
//
//	sin γ = k λ / a, k from sin(πk)/(πk) = 10^(−drop/20)
//	k = 0.442 echo −6 dB, 0.603 field −6 dB, 0.738 echo −20 dB, 1 null
//
// Valid: beyond three near-field lengths; side, λ and drop > 0, else NaN.
// Where k λ / a is over 1 the drop is reached nowhere, and the angle is 90°.
// Source: Fourier transform of a uniform line source; published_test.go, rows
// P041, P043 and P166.
func RectangularHalfAngle(side, wavelength si.Length, edge Edge) si.Angle {
	return halfAngle(side, wavelength, edge, 1, func(x float64) float64 { return math.Sin(x) / x })
}

// halfAngle solves directivity(πk) = 10^(−drop/20) between the axis and the
// first null, where every directivity falls from one to zero, and applies k.
func halfAngle(size, wavelength si.Length, edge Edge, null float64, directivity func(float64) float64) si.Angle {
	if !(size > 0 && wavelength > 0 && edge.oneWay > 0) {
		return si.Unknown[si.Angle]()
	}
	level := math.Pow(10, -float64(edge.oneWay)/20)
	inside, outside := 0.0, null
	if level > 0 {
		for range 60 {
			k := (inside + outside) / 2
			if directivity(math.Pi*k) > level {
				inside = k
			} else {
				outside = k
			}
		}
	}
	return si.Angle(math.Asin(math.Min(1, outside*float64(wavelength)/float64(size))))
}
