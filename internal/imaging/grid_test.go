package imaging

import (
	"math"
	"testing"

	"soundwrit/internal/si"
)

// Own simulation, not by this program: 64 elements in contact, point at
// (0, 20) mm, the best image point of those around a reflector at its worst place.
func TestGridLossAgainstSimulation(t *testing.T) {
	im := contact()
	for _, c := range []struct{ part, oscillating, envelope, digit float64 }{
		{3.3, 17.8, 2.31, 0.1}, {4, 10.2, 1.6, 0.1}, {5, 3.3, 1.00, 0.1}, {6, 2.8, 0.69, 0.1},
		{8, 2.69, 0.39, 0.01}, {10, 1.67, 0.25, 0.01}, {12, 1.15, 0.17, 0.01}, {20, 0.40, 0.06, 0.01},
	} {
		grid := si.Length(im.wavelength() / c.part)
		for _, oscillating := range []bool{true, false} {
			want := c.envelope
			if oscillating {
				want = c.oscillating
			}
			got := float64(im.GridLoss(Point{0, 20e-3}, Every(1, 64), grid, oscillating))
			if math.Abs(got-want) > c.digit { // one unit of the last digit printed
				t.Errorf("λ/%v, oscillating %v: %.3f dB, simulated %v", c.part, oscillating, got, want)
			}
		}
	}
}

// A coarser grid loses more, and none is lost with none between its points.
func TestGridLossGrows(t *testing.T) {
	for _, p := range paths() {
		last := si.Decibel(0)
		for _, share := range []float64{0.01, 0.05, 0.1, 0.2, 0.3, 0.5} {
			loss := p.im.GridLoss(p.at, Every(1, 64), si.Length(share*p.im.wavelength()), false)
			if !(loss >= last) {
				t.Errorf("%s: %.3f dB at %g λ, %.3f at a finer grid", p.name, loss, share, last)
			}
			last = loss
		}
		if fine := p.im.GridLoss(p.at, Every(1, 64), si.Length(0.001*p.im.wavelength()), false); !(fine < 0.001) {
			t.Errorf("%s: %g dB on the finest grid", p.name, fine)
		}
		if coarse := p.im.GridLoss(p.at, Every(1, 64), si.Length(0.51*p.im.wavelength()), false); si.Known(coarse) {
			t.Errorf("%s: %g dB on a grid that is too coarse to say", p.name, coarse)
		}
	}
}
