package acoustics

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/si"
)

// FreeSurfaceReflection returns the amplitude of the transverse wave that a
// free flat surface reflects, over that of the transverse wave, polarised in
// the plane of incidence, that meets it. The rest goes into a longitudinal wave.
//
//	R = (sin 2a sin 2b − κ² cos² 2b) / (sin 2a sin 2b + κ² cos² 2b),
//	sin a = κ sin b, κ = cL / cT; beyond the critical angle cos a is imaginary and |R| = 1
//
// Valid: plane waves, 0 ≤ b < 90°, cL > cT > 0, else NaN. It says nothing of the
// change of phase.
// Source: J. D. Achenbach, Wave Propagation in Elastic Solids, reflection at a
// free surface (from memory); energy balance in surface_test.go, values in
// published_test.go, rows P096 to P102.
func FreeSurfaceReflection(angle si.Angle, longitudinal, transverse si.Speed) si.Ratio {
	if !(angle >= 0 && angle < math.Pi/2 && transverse > 0 && longitudinal > transverse) {
		return si.Unknown[si.Ratio]()
	}
	k := float64(longitudinal) / float64(transverse)
	b := float64(angle)
	sine := complex(k*math.Sin(b), 0)
	sin2a := 2 * sine * cmplx.Sqrt(1-sine*sine)
	one := sin2a * complex(math.Sin(2*b), 0)
	two := complex(k*k*math.Cos(2*b)*math.Cos(2*b), 0)
	return si.Ratio(cmplx.Abs((one - two) / (one + two)))
}

// CornerLoss returns what the echo of a right-angled corner of two free faces
// loses by wave conversion, over a perfect corner. A flaw that is open to the
// surface and square to it makes such a corner: at 60° in steel its echo is some
// 18 dB low, since the flaw is met at 30°.
//
//	−20 log₁₀(R(β) R(90° − β)), R as FreeSurfaceReflection
//
// Valid: plane waves, faces large against the beam, no diffraction; 0 < β < 90°,
// else NaN. Positive is a loss.
// Source: FreeSurfaceReflection at both faces; published_test.go, rows P103 to
// P107.
func CornerLoss(angle si.Angle, longitudinal, transverse si.Speed) si.Decibel {
	if !(angle > 0) {
		return si.Unknown[si.Decibel]()
	}
	r := FreeSurfaceReflection(angle, longitudinal, transverse) *
		FreeSurfaceReflection(math.Pi/2-angle, longitudinal, transverse)
	return si.Decibel(-20 * math.Log10(float64(r)))
}
