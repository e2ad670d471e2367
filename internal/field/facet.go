package field

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// Facet is a flat reflector, long along the weld: a strip of the given height
// in the section. Its echo is stated against that of a hole.
type Facet struct {
	Height           si.Length
	NormalX, NormalZ si.Ratio  // unit vector square to it
	Hole             si.Length // diameter of the side-drilled hole
}

// FacetOverHole returns how much higher the echo of a strip met square is than
// that of a side-drilled hole at the same place.
//
//	20 log₁₀ (2 h / √(λ d))
//
// Valid: both long across the section, far field, strip narrow against the beam,
// d ≥ 1.5 λ; h, λ, d > 0, else NaN.
// Source: own derivation: strip h / √λ by Kirchhoff's integral, hole √(d/4) by
// ray tubes; it agrees with acoustics.EquivalentDisc, see facet_test.go.
func FacetOverHole(height, wavelength, hole si.Length) si.Decibel {
	if !(height > 0 && wavelength > 0 && hole > 0) {
		return si.Unknown[si.Decibel]()
	}
	return decibels(2 * float64(height) / math.Sqrt(float64(wavelength*hole)))
}

// nodes is at how many places of a strip the field is added up.
func (m *Model) nodes(f *Facet, wave acoustics.Wave) int {
	lambda := 2 * math.Pi * m.part[wave] / m.omega
	return 2 + int(math.Ceil(4*float64(f.Height)/lambda))
}

// along adds the field of weighted arrivals up at places along a strip, evenly
// spaced. Each wave is taken as plane over the strip.
func (s *Sources) along(sum []complex128, f *Facet, arrivals []arrival, weight []complex128) {
	clear(sum)
	n := len(sum)
	step := float64(f.Height) / float64(n)
	k := s.model.omega / float64(s.last)
	for i := range arrivals {
		a := &arrivals[i]
		turn := k * step * (s.away(a)*float64(f.NormalX) - a.sine*float64(f.NormalZ))
		at := weight[i] * cmplx.Rect(1, turn*float64(n-1)/2)
		by := cmplx.Rect(1, -turn)
		for j := range sum {
			sum[j] += at
			at *= by
		}
	}
}

// reflect is what the strip sends back of a wave that arrives along the mean of
// the waves that were last sent, other than by its phase: the reflection at a free face, for the
// wave used, and the obliquity.
func (s *Sources) reflect(f *Facet) (kept, oblique float64) {
	x, z := 0.0, 0.0
	for i := range s.arrivals {
		a := &s.arrivals[i]
		x += a.amplitude * a.sine
		z += a.amplitude * s.away(a)
	}
	oblique = math.Abs(x*float64(f.NormalX)+z*float64(f.NormalZ)) / math.Hypot(x, z)
	across := math.Sqrt(math.Max(0, 1-oblique*oblique))
	return s.model.wall[s.course.Legs[len(s.course.Legs)-1]].at(across), oblique
}

// answer is the echo of a strip over the amplitudes of the waves that reach its
// middle, on the scale on which a hole answers with √(d/4).
//
//	∫ F_out F_back ds / √λ · √(R_out R_back) · (cos ε_out + cos ε_back) / 2
func (m *Model) answer(f *Facet, out, back []complex128, send, hear *Sources) float64 {
	var sum complex128
	for j := range out {
		sum += out[j] * back[j]
	}
	keptOut, obliqueOut := send.reflect(f)
	keptBack, obliqueBack := hear.reflect(f)
	lambda := 2 * math.Pi * float64(send.last) / m.omega
	return cmplx.Abs(sum) * float64(f.Height) / float64(len(out)) / math.Sqrt(lambda) *
		math.Sqrt(keptOut*keptBack) * (obliqueOut + obliqueBack) / 2
}

// hole is the answer of a hole.
func (f *Facet) hole() float64 { return math.Sqrt(float64(f.Hole) / 4) }

// known reports whether the strip is one.
func (f *Facet) known() bool {
	return f.Height > 0 && f.Hole > 0 && math.Abs(math.Hypot(float64(f.NormalX), float64(f.NormalZ))-1) < 1e-6
}
