package acoustics

import "soundwrit/internal/si"

// ApertureOverlap returns the share of an aperture's height that lies over the
// next one, where the aperture is stepped along the array; negative where a gap
// is left between them.
//
//	o = 1 − step p / A, A as ActiveAperture
//
// Valid: step ≥ 1, p > 0, A > 0, else NaN.
// Source: definition; the height runs to the outer edges of the outer elements,
// so that half of the elements shared is a little less than half of the height.
func ApertureOverlap(aperture, pitch si.Length, step int) si.Ratio {
	if !(aperture > 0 && pitch > 0 && step >= 1) {
		return si.Unknown[si.Ratio]()
	}
	return 1 - si.Ratio(si.Length(step)*pitch/aperture)
}
