package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// SkipHalf returns the surface distance from the exit point to where the beam
// meets the far surface of a plate.
//
//	t tan β
//
// Valid: t ≥ 0, 0 ≤ β < 90°, else NaN.
// Source: geometry; published_test.go, rows P135 to P139.
func SkipHalf(thickness si.Length, angle si.Angle) si.Length {
	return LegPath(thickness, angle) * si.Length(angle.Sin())
}

// SkipFull returns the surface distance from the exit point to where the beam
// is back at the scanning surface of a plate.
//
//	2 t tan β
//
// Valid: t ≥ 0, 0 ≤ β < 90°, else NaN.
// Source: geometry; published_test.go, rows P135 to P139.
func SkipFull(thickness si.Length, angle si.Angle) si.Length {
	return 2 * SkipHalf(thickness, angle)
}

// LegPath returns the sound path of one leg, from surface to surface of a plate.
//
//	t / cos β
//
// Valid: t ≥ 0, 0 ≤ β < 90°, else NaN.
// Source: geometry; published_test.go, rows P135 to P139.
func LegPath(thickness si.Length, angle si.Angle) si.Length {
	if !(thickness >= 0 && angle >= 0 && angle < math.Pi/2) {
		return si.Unknown[si.Length]()
	}
	return thickness / si.Length(angle.Cos())
}

// VPath returns the sound path of two legs, down and up again.
//
//	2 t / cos β
//
// Valid: t ≥ 0, 0 ≤ β < 90°, else NaN.
// Source: geometry; published_test.go, rows P135 to P139.
func VPath(thickness si.Length, angle si.Angle) si.Length {
	return 2 * LegPath(thickness, angle)
}

// PipeLargestAngle returns the largest refracted angle whose central ray still
// meets the bore, when the beam runs round the pipe. It is for flaws along the
// pipe; a girth weld's section holds the axis, and its walls are straight.
//
//	asin(ID / OD) = asin(1 − 2 t / OD)
//
// Valid: 0 < t < OD / 2, else NaN.
// Source: geometry of a ray tangent to the bore; published_test.go, rows P142
// to P146 and P151.
func PipeLargestAngle(outside, thickness si.Length) si.Angle {
	if !(thickness > 0 && thickness < outside/2) {
		return si.Unknown[si.Angle]()
	}
	return si.Angle(math.Asin(1 - 2*float64(thickness)/float64(outside)))
}

// PipeThickest returns the largest thickness of a pipe, over its outside diameter,
// at which the central ray of a refracted angle still meets the bore.
//
//	t / OD = (1 − sin β) / 2
//
// Valid: 0 ≤ β ≤ 90°, else NaN.
// Source: PipeLargestAngle turned round; published_test.go, rows P144 to P146.
func PipeThickest(angle si.Angle) si.Ratio {
	if !(angle >= 0 && angle <= math.Pi/2) {
		return si.Unknown[si.Ratio]()
	}
	return si.Ratio((1 - angle.Sin()) / 2)
}

// WedgeGap returns the gap at the edges of a flat wedge that stands on the
// crest of a convex surface.
//
//	g = D/2 − √((D/2)² − (w/2)²), nearly w² / (4 D)
//
// Valid: 0 ≤ w ≤ D, else NaN. w is the size of the contact face along the
// curvature: its width on a girth weld.
// Source: sagitta of a circle; w² / (4 D) is the form codes quote.
func WedgeGap(width, diameter si.Length) si.Length {
	if !(width >= 0 && width <= diameter && diameter > 0) {
		return si.Unknown[si.Length]()
	}
	r, half := float64(diameter)/2, float64(width)/2
	// The difference of roots written without cancellation.
	return si.Length(half * half / (r + math.Sqrt(r*r-half*half)))
}
