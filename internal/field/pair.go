package field

import (
	"soundwrit/internal/acoustics"
	"soundwrit/internal/ray"
	"soundwrit/internal/si"
)

// Pair is two alike probes of one element each, mirrored at X = 0, of which one
// sends longitudinal waves and the other hears what is diffracted.
type Pair struct {
	sends     *Sources
	reference float64
}

// Pair returns the pair of a source in front of X = 0 and its mirror image, whose
// echoes are stated against that at a place.
func (m *Model) Pair(source ray.Element, reference Point) *Pair {
	p := &Pair{sends: m.Sources([]ray.Element{source}, acoustics.Longitudinal)}
	p.reference = p.both(reference)
	return p
}

// Tip returns the echo of a place that diffracts the sound alike in all
// directions, against that of the same at the reference.
//
//	20 log₁₀ (a(x) a(−x) / a_0²), a of the package's comment
//
// Tips of cracks do not diffract alike in all directions: what they do is left
// out, since it depends on the crack.
//
// Valid: places in the part, in the far field of the probes; NaN elsewhere, and
// of media that are not known.
// Source: directivity and spreading of both probes; pair_test.go.
func (p *Pair) Tip(at Point) si.Decibel { return decibels(p.both(at) / p.reference) }

// both is the product of the amplitudes of the probes.
func (p *Pair) both(at Point) float64 {
	if !p.sends.ok {
		return float64(si.Unknown[si.Length]())
	}
	there := p.sends.sum(at)
	return there * p.sends.sum(Point{-at.X, at.Z})
}
