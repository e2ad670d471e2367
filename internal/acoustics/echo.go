package acoustics

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/si"
)

// Reflector is what an echo comes from, large across the beam (a wall), long
// across the plane of incidence (a hole), or small and square to the beam (a
// disc). A sphere falls with distance as a disc does.
type Reflector struct {
	Kind     ReflectorKind
	Diameter si.Length // of hole and disc
}

// ReflectorKind names the law that an echo follows.
type ReflectorKind int

// The kinds of reflector.
const (
	Wall ReflectorKind = iota
	Hole
	Disc
)

// FarEcho returns the height of an echo far from a flat source, against that of
// a wall at half a metre from the same source. Only differences mean anything.
//
//	wall 1 / (2 √(p r)), hole √(d/2) / (2 p √r), disc π D² / (4 λ p r)
//
// p and r are the distances in the plane of incidence and across it; 20 log₁₀
// of these over one metre is the result.
//
// Valid: flat source without focus, reflector beyond about three near-field
// lengths of either plane, within 0.8 dB; hole at least 1.5 λ thick; disc small
// against the beam and square to it; no attenuation. Distances, λ and diameter
// > 0, else NaN.
// Source: J. and H. Krautkramer, Ultrasonic Testing of Materials, far-field laws
// of reflectors; both planes apart by own derivation, as HoleGain and WallGain;
// published_test.go, rows P237, P241, P242 and P246.
func FarEcho(of Reflector, at Distance, wavelength si.Length) si.Decibel {
	p, r, d := float64(at.Plane), float64(at.Across), float64(of.Diameter)
	if !(p > 0 && r > 0 && wavelength > 0) || of.Kind != Wall && !(d > 0) || of.Kind == Hole && !(d >= 1.5*float64(wavelength)*(1-1e-9)) {
		return si.Unknown[si.Decibel]()
	}
	height := 1 / (2 * math.Sqrt(p*r))
	switch of.Kind {
	case Hole:
		height = math.Sqrt(d/2) / (2 * p * math.Sqrt(r))
	case Disc:
		height = math.Pi * d * d / (4 * float64(wavelength) * p * r)
	}
	return si.Decibel(20 * math.Log10(height))
}

// RoundEcho returns the height of the echo of a wall or a disc on the axis of a
// flat round source, from the end of its near field on, against a wall that
// touches the source.
//
//	wall |1 − e^(−iu) (J₀(u) + i J₁(u))|, u = π N / x
//	disc |∫ q² y dy · 8 / D²|, 0 ≤ y ≤ d/2, q the field of the source at y off its axis
//	q = 8 u / D² ∫ J₀(8 u s y / D²) exp(i 4 u (s² + y²) / D²) s ds, 0 ≤ s ≤ D/2
//
// N is the near-field length, D the source's diameter, d the disc's. Far away
// they become π N / (2 x) and (π d N / (D x))².
//
// Valid: N ≤ x, d ≤ D/2, source several λ wide, within 0.3 dB, no attenuation; NaN
// for nearer places, larger discs and holes, for which no such form is at hand.
// Source: wall: P. H. Rogers and A. L. Van Buren, J. Acoust. Soc. Am. 55 (1974)
// 724, diffraction loss between two equal round pistons at twice the distance
// (from memory); disc: Fresnel's integral, there and back by reciprocity. Both by
// summing spherical waves in echo_test.go.
func RoundEcho(of Reflector, source, distance, wavelength si.Length) si.Decibel {
	near := NearFieldCircular(source, wavelength)
	if !(distance >= near*(1-1e-9)) {
		return si.Unknown[si.Decibel]()
	}
	u := math.Pi * float64(near/distance)
	var height complex128
	switch {
	case of.Kind == Wall:
		height = 1 - cmplx.Exp(complex(0, -u))*complex(math.J0(u), math.J1(u))
	case of.Kind == Disc && of.Diameter > 0 && of.Diameter <= source/2*(1+1e-9):
		height = discReturn(float64(of.Diameter/source), u)
	default:
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(20 * math.Log10(cmplx.Abs(height)))
}

// discReturn sums the integrals of RoundEcho over places on source and disc, in
// radii of the source. Over each the phase turns by half a circle at most.
func discReturn(ratio, u float64) complex128 {
	const onDisc, onSource = 16, 64
	sum := complex128(0)
	for i := range onDisc {
		y := ratio * (float64(i) + 0.5) / onDisc
		field := complex128(0)
		for j := range onSource {
			s := (float64(j) + 0.5) / onSource
			field += complex(math.J0(2*u*s*y)*s, 0) * cmplx.Exp(complex(0, u*(s*s+y*y)))
		}
		field *= complex(2*u/onSource, 0)
		sum += field * field * complex(2*y*ratio/onDisc, 0)
	}
	return sum
}

// RectangularEcho returns the height of an echo on the axis of a flat rectangular
// source, against a wall that touches the source. Its sides are those that the part
// sees: behind a wedge Beam.Width in the plane of incidence.
//
//	wall M_p M_r, hole F_p² M_r √(λ d / 4) / w_p, disc (d / D_s)² of the square of its area, F_p² F_r²
//	F = |∫ exp(iπ y² / (λ x)) dy| / √(λ x), over a side w
//	M = |∫∫ exp(iπ (y − y')² / (2 λ x)) dy dy'| / (w √(2 λ x))
//
// x is the distance of each plane, p and r; D_s² = 4 w_p w_r / π; over the square
// F² is averaged. Far away all become FarEcho over the source's area and λ.
//
// Valid: from one near field w² / (4 λ) on in both planes, sides several λ, disc up
// to half of either side, hole at least 1.5 λ thick, within 0.5 dB, no attenuation;
// NaN outside.
// Source: Fresnel's integrals of a separable source, there and back by reciprocity;
// by summing spherical waves in echo_test.go; the distances of both planes by rays
// in dgs_test.go.
func RectangularEcho(of Reflector, plane, across si.Length, at Distance, wavelength si.Length) si.Decibel {
	wp, wr, p, r, l := float64(plane), float64(across), float64(at.Plane), float64(at.Across), float64(wavelength)
	if !(wp > 0 && wr > 0 && l > 0 && p >= wp*wp/(4*l)*(1-1e-9) && r >= wr*wr/(4*l)*(1-1e-9)) {
		return si.Unknown[si.Decibel]()
	}
	var height complex128
	switch d := float64(of.Diameter); {
	case of.Kind == Wall:
		height = mirroredStrip(wp, p, l) * mirroredStrip(wr, r, l)
	case of.Kind == Hole && d >= 1.5*l*(1-1e-9):
		f := stripField(wp, 0, p, l)
		height = f * f * mirroredStrip(wr, r, l) * complex(math.Sqrt(l*d/4)/wp, 0)
	case of.Kind == Disc && d > 0 && d <= min(wp, wr)/2*(1+1e-9):
		side := math.Sqrt(math.Pi) / 2 * d
		height = stripReturn(wp, side, p, l) * stripReturn(wr, side, r, l)
	default:
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(20 * math.Log10(cmplx.Abs(height)))
}

const stripSteps = 96 // over a side; the phase turns by a circle at most

// stripField is the field of a strip of width w, at a distance x and y off its axis.
func stripField(w, y, x, l float64) complex128 {
	sum := complex128(0)
	for i := range stripSteps {
		s := w*((float64(i)+0.5)/stripSteps-0.5) - y
		sum += cmplx.Exp(complex(0, math.Pi*s*s/(l*x)))
	}
	return sum * complex(w/stripSteps/math.Sqrt(l*x), 0)
}

// mirroredStrip is what a strip receives of its image in a wall at a distance x.
func mirroredStrip(w, x, l float64) complex128 {
	sum := complex128(0)
	for i := range stripSteps {
		u := (float64(i) + 0.5) / stripSteps
		sum += complex(2*(1-u), 0) * cmplx.Exp(complex(0, math.Pi*u*u*w*w/(2*l*x)))
	}
	return sum * complex(w/stripSteps/math.Sqrt(2*l*x), 0)
}

// stripReturn is what a strip of width w receives of one of width d before it.
func stripReturn(w, d, x, l float64) complex128 {
	const steps = 8
	sum := complex128(0)
	for i := range steps {
		f := stripField(w, d*((float64(i)+0.5)/steps-0.5), x, l)
		sum += f * f
	}
	return sum * complex(d/steps/w, 0)
}

// CurvedWall returns by how much the back-wall echo of a pipe, probed square to
// its axis, is higher than that of a flat wall at the same distance.
//
//	10 log₁₀ (r / R), r the radius of the wall that reflects, R that under the probe
//
// It is negative from the outside, whose back wall is convex to the beam.
//
// Valid: far from the source, wall as long along the axis as the beam is wide;
// 0 < t < OD/2, else NaN.
// Source: geometry of rays in a curved mirror, echo_test.go by ray tracing; the
// form is common in textbooks.
func CurvedWall(outside, thickness si.Length, fromInside bool) si.Decibel {
	if !(thickness > 0 && thickness < outside/2) {
		return si.Unknown[si.Decibel]()
	}
	gain := si.Decibel(10 * math.Log10(1-2*float64(thickness/outside)))
	if fromInside {
		return -gain
	}
	return gain
}

// PulseDepth returns the depth of which the echo comes while a pulse still
// lasts: how far a surface hides what lies behind it, and how far apart two
// echoes have to be.
//
//	c t_p / 2
//
// Valid: a pulse between the points where it has a tenth of its peak; the
// instrument's own pulse lasts longer on a probe without a delay line. c, t_p
// > 0, else NaN.
// Source: geometry of the path out and back.
func PulseDepth(speed si.Speed, pulse si.Time) si.Length {
	if !(speed > 0 && pulse > 0) {
		return si.Unknown[si.Length]()
	}
	return si.Length(float64(speed) * float64(pulse) / 2)
}

// Cycles returns how many periods of its frequency a pulse lasts: 1.5 of a short
// one, five and more of one that rings.
//
//	n = t_p f
//
// Valid: t_p, f > 0, else NaN.
// Source: definition; published_test.go, row P217.
func Cycles(pulse si.Time, frequency si.Frequency) si.Ratio {
	if !(pulse > 0 && frequency > 0) {
		return si.Unknown[si.Ratio]()
	}
	return si.Ratio(float64(pulse) * float64(frequency))
}
