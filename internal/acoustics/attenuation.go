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

// BackWallAttenuation returns the attenuation that two back-wall echoes of a
// straight beam show.
//
//	a = (Δ − Δ_s) / (2 t)
//
// Δ is the drop from the first echo to the second, Δ_s what spreading and faces
// take of it: 6 dB beyond three near fields with dry faces, nothing where two
// pieces of one thickness are compared.
//
// Valid: flat parallel faces; Δ ≥ Δ_s ≥ 0, t > 0, else NaN.
// Source: definition of the attenuation; published_test.go, rows P152 and P153.
func BackWallAttenuation(drop, spreading si.Decibel, thickness si.Length) si.Attenuation {
	if !(spreading >= 0 && drop >= spreading && thickness > 0) {
		return si.Unknown[si.Attenuation]()
	}
	return si.Attenuation(float64(drop-spreading) / (2 * float64(thickness)))
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
