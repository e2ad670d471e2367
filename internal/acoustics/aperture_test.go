package acoustics_test

import (
	"math"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// The shared length is measured here from the edges of the elements, which lie
// at i p − e/2 and i p + e/2.
func TestApertureOverlap(t *testing.T) {
	const pitch, element = 0.5 * mm, 0.45 * mm
	for _, n := range []int{1, 2, 16, 33} {
		for step := 1; step <= 40; step++ {
			edge := func(i int, sign si.Length) si.Length { return si.Length(i)*pitch + sign*element/2 }
			height := edge(n-1, 1) - edge(0, -1)
			want := float64((edge(n-1, 1) - edge(step, -1)) / height)
			got := acoustics.ApertureOverlap(acoustics.ActiveAperture(n, pitch, element), pitch, step)
			if math.Abs(float64(got)-want) > 1e-12 { // float noise
				t.Errorf("%d elements, step %d: %v, from the edges %v", n, step, got, want)
			}
		}
	}
	// By hand: 16 elements are 7.95 mm high, 8 pitches are 4 mm.
	if got := acoustics.ApertureOverlap(7.95*mm, 0.5*mm, 8); math.Abs(float64(got)-0.49686) > 5e-6 {
		t.Errorf("half of the elements: %v", got)
	}
	for _, got := range []si.Ratio{acoustics.ApertureOverlap(0, 1, 1), acoustics.ApertureOverlap(1, 0, 1), acoustics.ApertureOverlap(1, 1, 0), acoustics.ApertureOverlap(si.Unknown[si.Length](), 1, 1)} {
		if si.Known(got) {
			t.Errorf("unknown becomes %v", got)
		}
	}
}
