package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// ActiveAperture returns the length of a run of elements, from the outer edge
// of the first to that of the last.
//
//	A = (n − 1) p + e
//
// Valid: n ≥ 1, 0 < e ≤ p, else NaN.
// Source: definition; published_test.go, row P167. The common n·p is longer by
// one gap.
func ActiveAperture(elements int, pitch, width si.Length) si.Length {
	if !(elements >= 1 && width > 0 && width <= pitch) {
		return si.Unknown[si.Length]()
	}
	return si.Length(float64(elements-1))*pitch + width
}

// GratingLobe returns the direction of the grating lobe that enters first when
// the beam of an array is steered, and whether there is one. Both angles are
// from the array's normal, in the medium that the array touches: with a wedge,
// its wavelength and the steering inside it.
//
//	sin θ_g = sin θ − λ/p for θ ≥ 0, sin θ + λ/p for θ < 0
//
// Valid: continuous waves, point-like elements, an endless array: a short pulse
// and the element's own directivity weaken the lobe. p > 0, λ > 0, |θ| < 90°,
// else NaN and false.
// Source: the grating equation; published_test.go, rows P158 to P165.
func GratingLobe(pitch, wavelength si.Length, steering si.Angle) (si.Angle, bool) {
	if !(pitch > 0 && wavelength > 0 && math.Abs(float64(steering)) < math.Pi/2) {
		return si.Unknown[si.Angle](), false
	}
	sine := steering.Sin() - math.Copysign(float64(wavelength)/float64(pitch), float64(steering))
	if math.Abs(sine) > 1 {
		return si.Unknown[si.Angle](), false
	}
	return si.Angle(math.Asin(sine)), true
}

// PitchLimit returns the pitch below which no grating lobe exists at any
// steering up to the given angle from the array's normal.
//
//	p = λ / (1 + sin θ)
//
// Valid: as GratingLobe; at the limit itself the lobe lies at 90°.
// Source: the grating equation with the lobe at 90°; published_test.go, rows
// P160 and P161.
func PitchLimit(wavelength si.Length, steering si.Angle) si.Length {
	if !(wavelength > 0 && math.Abs(float64(steering)) <= math.Pi/2) {
		return si.Unknown[si.Length]()
	}
	return wavelength / si.Length(1+math.Abs(steering.Sin()))
}

// SteeringLimit returns the steering that training notes permit an element of
// the given width. It is no −6 dB angle of the element: where its field has
// really dropped by 6 dB is wider, RectangularHalfAngle(width, λ, FieldEdge(6)),
// k = 0.603.
//
//	sin θ = 0.514 λ / e
//
// Valid: e > 0, λ > 0, else NaN. Where 0.514 λ / e is over 1 nothing limits the
// steering, and the angle is 90°.
// Source: common practice, as training notes on phased arrays print it; value
// beside row P166 of the published cases.
func SteeringLimit(width, wavelength si.Length) si.Angle {
	if !(width > 0 && wavelength > 0) {
		return si.Unknown[si.Angle]()
	}
	return si.Angle(math.Asin(math.Min(1, 0.514*float64(wavelength)/float64(width))))
}

// Beam is the central beam of an active aperture behind a wedge.
type Beam struct {
	Aperture   si.Length // of the active elements, see ActiveAperture
	Tilt       si.Angle  // of the array against the contact face
	Angle      si.Angle  // refracted, in the part
	WedgePath  si.Length // along the central ray
	WedgeSpeed si.Speed
	PartSpeed  si.Speed // of the wave mode in use
	Frequency  si.Frequency
}

// known reports whether the beam is one, and gives its angle in the wedge.
func (b Beam) known() (incidence si.Angle, ok bool) {
	incidence = Refract(b.Angle, b.PartSpeed, b.WedgeSpeed)
	ok = si.Known(incidence) && b.Aperture > 0 && b.WedgePath >= 0 && b.Frequency > 0 &&
		math.Abs(float64(incidence-b.Tilt)) < math.Pi/2
	return incidence, ok
}

// Width returns the aperture as the part sees it: square to the refracted beam.
//
//	A' = A cos(α − tilt) cos β / cos α
//
// Valid: every beam the wedge can send into the part; NaN otherwise.
// Source: geometry of parallel rays through a flat interface; ray count in
// array_test.go.
func (b Beam) Width() si.Length {
	incidence, ok := b.known()
	if !ok {
		return si.Unknown[si.Length]()
	}
	return b.Aperture * si.Length((incidence-b.Tilt).Cos()*b.Angle.Cos()/incidence.Cos())
}

// NearField returns the near-field length that is left in the part, as sound
// path, by the formula in common use; zero where the near field ends in the
// wedge. It takes the round-source form and one power of cos β / cos α, as if
// the beam were as much narrowed across the section as in it, so it is an
// average. In the plane of the section, where the array focuses, the near field
// is shorter at steep refraction: see FocusLimit.
//
//	N = A² / (4 λ) · cos β / cos α − L cw / c, A taken along the beam, A cos(α − tilt)
//
// Valid: as Width. The factor k of NearFieldRectangular is taken as 1, its value
// for a long aperture, which is on the short side.
// Source: common practice; a published course prints 41.2 mm for row P170
// (velocities and k not stated), this gives 43.0 mm.
func (b Beam) NearField() si.Length {
	incidence, ok := b.known()
	if !ok {
		return si.Unknown[si.Length]()
	}
	return b.left(b.Angle.Cos() / incidence.Cos())
}

// FocusLimit returns the sound path in the part up to which the beam can be
// focused in the plane of the section: its near field in that plane, behind
// the wedge; zero where that ends in the wedge. Refraction narrows the beam
// and shortens the wedge path that it seems to come from, both by the curvature
// of the wavefront along the interface.
//
//	N = (cos β / cos α)² (A² / (4 λ) − L cw / c), A taken along the beam, A cos(α − tilt)
//
// Valid: as Width; for beams narrow against their length, within 5 % for 16 mm at
// 5 MHz behind 24 mm of wedge.
// Source: own derivation, matching the phase along a flat interface to second
// order; the last maximum of summed rays confirms it in array_test.go.
func (b Beam) FocusLimit() si.Length {
	incidence, ok := b.known()
	if !ok {
		return si.Unknown[si.Length]()
	}
	squeeze := b.Angle.Cos() / incidence.Cos()
	b.WedgePath *= si.Length(squeeze * squeeze)
	return b.left(squeeze * squeeze)
}

// left returns squeeze · A²/(4 λ) less the wedge path counted in the part, not
// below zero.
func (b Beam) left(squeeze float64) si.Length {
	incidence, _ := b.known()
	along := b.Aperture * si.Length((incidence - b.Tilt).Cos())
	n := si.Length(squeeze) * NearFieldCircular(along, Wavelength(b.PartSpeed, b.Frequency))
	return max(0, n-b.WedgePath*si.Length(b.WedgeSpeed/b.PartSpeed))
}

// Spread returns the full angle of the beam in the part between its echo −6 dB
// edges, in the plane of the section and far from the aperture. In the near
// field, and near a focus, a beam is narrower in millimetres than this says.
//
//	Δθ = 2 asin(0.442 λ / A'), A' as Width
//
// Valid: as Width. An echo −6 dB edge is a −3 dB edge of the field: the choice
// that gives the least overlap of neighbouring beams.
// Source: RectangularHalfAngle at EchoEdge(6).
func (b Beam) Spread() si.Angle {
	return 2 * RectangularHalfAngle(b.Width(), Wavelength(b.PartSpeed, b.Frequency), EchoEdge(6))
}

// BeamOverlap returns by how much of its width a beam overlaps its neighbour,
// negative where a gap is left between them.
//
//	1 − step / width
//
// Valid: step ≥ 0, width > 0, else NaN.
// Source: definition.
func BeamOverlap(step, width si.Angle) si.Ratio {
	if !(step >= 0 && width > 0) {
		return si.Unknown[si.Ratio]()
	}
	return 1 - si.Ratio(step/width)
}
