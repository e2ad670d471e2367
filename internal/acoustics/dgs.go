package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// Distance is how far from its source the sound of a flat aperture seems to be,
// at a place in the part. Behind a wedge the two planes differ: refraction bends
// the rays of the plane of incidence only.
type Distance struct {
	Plane  si.Length // in the plane of incidence
	Across si.Length // in the plane across it
}

// DistanceAt returns the distances at a sound path in the part.
//
//	plane s + q² L_w c_w / c, across s + L_w c_w / c, q = cos α / cos β
//
// Valid: central ray of a flat interface, path ≥ 0; NaN where the wedge sends no
// such ray.
// Source: curvature of the refracted wavefront in both planes, geometry of
// neighbouring rays; dgs_test.go.
func (b Beam) DistanceAt(path si.Length) Distance {
	unknown := si.Unknown[si.Length]()
	in, ok := b.known()
	if !(ok && path >= 0) {
		return Distance{unknown, unknown}
	}
	wedge := float64(b.WedgePath) * float64(b.WedgeSpeed/b.PartSpeed)
	q := b.Angle.Cos() / in.Cos()
	return Distance{Plane: path + si.Length(wedge*q*q), Across: path + si.Length(wedge)}
}

// HoleGain returns the gain that brings the echo of a side-drilled hole, square
// to the plane of incidence, to the height of the echo of a like hole nearer by.
//
//	20 log₁₀ (plane₂ / plane₁) + 10 log₁₀ (across₂ / across₁)
//
// which is 30 log₁₀ of the distances where both planes are alike.
//
// Valid: flat source without focus, both holes beyond about three near-field
// lengths of either plane, within 0.8 dB, no attenuation. Nearer the echo falls
// more slowly, and the result is too large by as much. Distances > 0, else NaN.
// Source: row P238 of the published cases where the planes are alike; otherwise
// own derivation: the sound spreads anew from the hole in the plane of incidence, and
// is mirrored across it; dgs_test.go, by integration.
func HoleGain(first, second Distance) si.Decibel {
	if !(first.Plane > 0 && first.Across > 0 && second.Plane > 0 && second.Across > 0) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(20*math.Log10(float64(second.Plane/first.Plane)) + 10*math.Log10(float64(second.Across/first.Across)))
}

// WallGain returns the gain that brings the echo of a large mirror, such as a
// back wall or a corner as long as the beam is wide, to the height it has from
// nearer by.
//
//	10 log₁₀ (plane₂ / plane₁) + 10 log₁₀ (across₂ / across₁)
//
// Valid: as HoleGain; the paths are one way. Distances > 0, else NaN.
// Source: own derivation: a mirror sends the sound back as over twice the path,
// spreading in both planes; the law of the back wall in any textbook where the
// planes are alike; dgs_test.go, by integration.
func WallGain(first, second Distance) si.Decibel {
	if !(first.Plane > 0 && first.Across > 0 && second.Plane > 0 && second.Across > 0) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(10 * math.Log10(float64(second.Plane/first.Plane)*float64(second.Across/first.Across)))
}
