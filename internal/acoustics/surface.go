package acoustics

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/si"
)

// FreeSurfaceReflection returns the amplitude of the wave of its own kind that a
// free flat surface reflects, over that of the wave that meets it, and the
// amplitude of the wave of the other kind, zero where there is none. Angles are
// from the normal; a is that of the longitudinal wave, b of the transverse one,
// polarised in the plane of incidence.
//
//	kept = |(sin 2a sin 2b − κ² cos² 2b) / D|, D = sin 2a sin 2b + κ² cos² 2b,
//	converted = |κ sin 4b / D| of a transverse, |2 κ sin 2a cos 2b / D| of a longitudinal wave,
//	sin a = κ sin b, κ = cL / cT; beyond the critical angle cos a is imaginary and kept is 1
//
// Valid: plane waves, 0 ≤ angle < 90°, cL > cT > 0, else NaN. It says nothing of
// the change of phase. Amplitudes are of displacement.
// Source: J. D. Achenbach, Wave Propagation in Elastic Solids, reflection at a
// free surface (from memory); energy balance in surface_test.go, values in
// published_test.go, rows P096 to P102.
func FreeSurfaceReflection(wave Wave, angle si.Angle, longitudinal, transverse si.Speed) (kept, converted si.Ratio) {
	if !(angle >= 0 && angle < math.Pi/2 && transverse > 0 && longitudinal > transverse) {
		return si.Unknown[si.Ratio](), si.Unknown[si.Ratio]()
	}
	k := float64(longitudinal) / float64(transverse)
	sine := angle.Sin() // of b
	if wave == Longitudinal {
		sine /= k
	}
	b := math.Asin(sine)
	sineA := complex(k*sine, 0)
	sin2a := 2 * sineA * cmplx.Sqrt(1-sineA*sineA)
	one := sin2a * complex(math.Sin(2*b), 0)
	two := complex(k*k*math.Cos(2*b)*math.Cos(2*b), 0)
	kept = si.Ratio(cmplx.Abs((one - two) / (one + two)))
	switch {
	case wave == Longitudinal:
		converted = si.Ratio(cmplx.Abs(2 * complex(k*math.Cos(2*b), 0) * sin2a / (one + two)))
	case k*sine < 1:
		converted = si.Ratio(math.Abs(k*math.Sin(4*b)) / cmplx.Abs(one+two))
	}
	return kept, converted
}

// FreeSurfaceShare returns the share of energy, of what meets an area of a free
// flat surface, that leaves it as a wave of the same kind or of the other.
//
//	kept² of the same kind; of the other converted² c' cos θ' / (c cos θ), sin θ' / c' = sin θ / c
//
// Both add up to one, and the share is the same if the ray is followed backwards.
//
// Valid: as FreeSurfaceReflection; zero where no such wave leaves.
// Source: flux of energy through the surface; surface_test.go.
func FreeSurfaceShare(in, out Wave, angle si.Angle, longitudinal, transverse si.Speed) si.Ratio {
	kept, converted := FreeSurfaceReflection(in, angle, longitudinal, transverse)
	if in == out || !si.Known(kept) {
		return kept * kept
	}
	from, to := longitudinal, transverse
	if in == Transverse {
		from, to = transverse, longitudinal
	}
	if leaves := Refract(angle, from, to); si.Known(leaves) {
		return converted * converted * si.Ratio(float64(to/from)*leaves.Cos()/angle.Cos())
	}
	return 0
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
	return TwoFacesLoss(angle, math.Pi/2-angle, longitudinal, transverse)
}

// TwoFacesLoss returns what a transverse wave loses by wave conversion at two free
// faces that it meets one after the other, each at its own angle from the normal.
//
//	−20 log₁₀(R(α) R(β)), R as FreeSurfaceReflection
//
// Valid: as CornerLoss, with both angles above 0.
// Source: as CornerLoss.
func TwoFacesLoss(first, second si.Angle, longitudinal, transverse si.Speed) si.Decibel {
	if !(first > 0 && second > 0) {
		return si.Unknown[si.Decibel]()
	}
	one, _ := FreeSurfaceReflection(Transverse, first, longitudinal, transverse)
	other, _ := FreeSurfaceReflection(Transverse, second, longitudinal, transverse)
	return si.Decibel(-20 * math.Log10(float64(one*other)))
}
