package acquisition

import (
	"math"

	"soundwrit/internal/si"
)

// Scheme is what is sent, and which A-scans are kept, for one full record of an
// array. The words are those of a job file.
type Scheme string

// The schemes. A half matrix fires every element too, but keeps one A-scan of
// each pair, since sender and receiver may be exchanged. A plane wave is sent by
// all elements together.
const (
	FullMatrix Scheme = "full-matrix"
	HalfMatrix Scheme = "half-matrix"
	EveryNth   Scheme = "every-nth"
	PlaneWave  Scheme = "plane-wave"
)

// Firings returns how often an array of n elements fires for one record; k is
// that of every k-th element or the number of plane waves, and has no part in
// the other schemes.
//
//	full and half matrix n; every k-th element ⌈n / k⌉, the first element
//	included; plane waves k
//
// Valid: elements ≥ 1, k ≥ 1 where it is used, a known scheme; 0 otherwise,
// which means unknown.
// Source: definition; C. Holmes, B. Drinkwater, P. Wilcox, NDT&E International
// 38 (2005) 701, for the matrix.
func Firings(elements int, scheme Scheme, k int) int {
	switch {
	case elements < 1:
		return 0
	case scheme == FullMatrix || scheme == HalfMatrix:
		return elements
	case scheme == EveryNth && k >= 1:
		return (elements + k - 1) / k
	case scheme == PlaneWave && k >= 1:
		return k
	}
	return 0
}

// AScans returns how many A-scans one record holds.
//
//	full matrix n²; half matrix n (n + 1) / 2; every k-th element n ⌈n / k⌉;
//	plane waves n k
//
// Valid: as Firings; 0 means unknown.
// Source: as Firings; published cases P177 to P180 in package acoustics.
func AScans(elements int, scheme Scheme, k int) int {
	n := Firings(elements, scheme, k)
	if scheme == HalfMatrix {
		return n * (n + 1) / 2
	}
	return n * elements
}

// SparseNoise returns the change of the signal-to-noise ratio when only some
// elements fire, against all of them: zero or negative. It holds for electronic
// noise, which differs from firing to firing; the echoes of the grain do not,
// and their level stays.
//
//	10 log₁₀(fired / elements) dB
//
// Valid: 1 ≤ fired ≤ elements, else NaN.
// Source: sum of independent noise; published case P183 in package acoustics.
func SparseNoise(fired, elements int) si.Decibel {
	if !(fired >= 1 && fired <= elements) {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(10 * math.Log10(float64(fired)/float64(elements)))
}

// HalfMatrixNoise returns the change of the signal-to-noise ratio of a half
// matrix, whose A-scans of pairs are counted twice, against a full matrix: zero
// or negative. It holds for electronic noise only.
//
//	−10 log₁₀(2 − 1/n) dB
//
// Valid: n ≥ 1, else NaN.
// Source: sum of independent noise; published case P184 in package acoustics.
func HalfMatrixNoise(elements int) si.Decibel {
	if elements < 1 {
		return si.Unknown[si.Decibel]()
	}
	return si.Decibel(-10 * math.Log10(2-1/float64(elements)))
}
