package acoustics

import (
	"math"

	"soundwrit/internal/si"
)

// AttenuationLoss returns what a wave loses on a path by absorption and
// scattering, from an attenuation stated at one frequency.
//
//	δ = a (f / f_a) s
//
// Valid: attenuation that grows in proportion to the frequency, which holds for
// fine-grained steel and plastics over a factor of about two; with coarse grain
// it grows faster. a ≥ 0, frequencies > 0, s ≥ 0, else NaN. One way: an echo
// loses it twice.
// Source: definition of the attenuation; the proportion from memory of K. Ono,
// Appl. Sci. 10 (2020) 2230, whose summary says "mostly linear".
func AttenuationLoss(a si.Attenuation, stated, used si.Frequency, path si.Length) si.Decibel {
	if !(a >= 0 && stated > 0 && used > 0 && path >= 0) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(float64(a) * float64(used/stated) * float64(path))
}

// EquivalentDisc returns the diameter of the disc, square to the beam, whose
// echo is as high as that of a side-drilled hole at the same sound path.
//
//	D = √((√2 / π) λ √(d s)), the factor is 0.671²
//
// Valid: d ≥ 1.5 λ, path ≥ 1.5 near-field lengths, which the caller sees to;
// d, λ, path > 0; NaN outside.
// Source: far-field laws of both reflectors; the form of EN ISO 16811 (from
// memory, high); published_test.go, rows P242 to P244.
func EquivalentDisc(hole, wavelength, path si.Length) si.Length {
	if !(wavelength > 0 && path > 0 && hole >= 1.5*wavelength*(1-1e-9)) {
		return si.Unknown[si.Length]()
	}
	return si.Length(math.Sqrt(math.Sqrt2 / math.Pi * float64(wavelength) * math.Sqrt(float64(hole)*float64(path))))
}
