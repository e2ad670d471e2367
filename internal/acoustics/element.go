package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// ElementDirectivity returns the field that one element of an array sends at an
// angle from its normal, over that on the normal, far from the element and for
// one frequency.
//
//	|sin x / x| cos θ, x = π e sin θ / λ
//
// The factor cos θ is that of an element with a soft surround, which weakens the
// field to the side; with a rigid one it would be 1, and with an elastic one
// between. So the loss is not understated.
//
// Valid: e > 0, λ > 0 (in the medium that the element touches), |θ| < 90°, else
// NaN.
// Source: strip in a soft baffle, as in A. R. Selfridge, G. S. Kino and
// B. T. Khuri-Yakub, Appl. Phys. Lett. 37 (1980) 35 (from memory); summed
// sources in element_test.go.
func ElementDirectivity(width, wavelength si.Length, angle si.Angle) si.Ratio {
	if !(width > 0 && wavelength > 0 && math.Abs(float64(angle)) < math.Pi/2) {
		return si.Unknown[si.Ratio]()
	}
	x := math.Pi * float64(width) / float64(wavelength) * angle.Sin()
	if x == 0 {
		return 1
	}
	return si.Ratio(math.Abs(math.Sin(x)/x) * angle.Cos())
}

// Spreading returns the distance over which the sound of one element would
// spread as much without an interface, at a sound path in the part: the
// amplitude falls as one over it. It is the square root of the area of a narrow
// tube of rays over the solid angle in which it left.
//
//	√((L cos β / cos α + s (c / cw) cos α / cos β) (L + s c / cw))
//
// The first factor is the spread in the plane of the section, the second across
// it; α is the angle in the wedge. A flat wall that reflects the ray changes
// nothing: s is counted on.
//
// Valid: a small source far away; every ray the wedge can send into the part;
// L ≥ 0, s ≥ 0, not both zero; NaN otherwise.
// Source: geometry of neighbouring rays; traced rays in element_test.go.
func (b Beam) Spreading(path si.Length) si.Length {
	incidence := Refract(b.Angle, b.PartSpeed, b.WedgeSpeed)
	if !(si.Known(incidence) && b.WedgePath >= 0 && path >= 0 && b.WedgePath+path > 0) {
		return si.Unknown[si.Length]()
	}
	squeeze := b.Angle.Cos() / incidence.Cos()
	l, s := float64(b.WedgePath), float64(path)*float64(b.PartSpeed/b.WedgeSpeed)
	return si.Length(math.Sqrt((l*squeeze + s/squeeze) * (l + s)))
}
