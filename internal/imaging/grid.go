package imaging

import (
	"math"
	"math/cmplx"

	"soundwrit/internal/si"
)

// parts is into how many a step of the grid is divided, to place a reflector
// between its points.
const parts = 4

// GridLoss returns the largest loss of amplitude that a reflector near q suffers
// because it lies between image points: that of the best image point around it,
// for the reflector's worst place between them. Positive is a loss.
//
//	δ = −20 log₁₀ min over places of max over image points of |E|, or of |Re E|
//	where the image shows oscillating signals
//
// An oscillating signal is taken to peak at the reflector itself; one of another
// phase may lose more or less.
// Valid: 0 < grid ≤ λ/2, q in the region imaged, a known image; NaN outside.
// Source: own computation; grid_test.go holds the table of another simulation.
func (im *Image) GridLoss(q Point, t Transmission, grid si.Length, oscillating bool) si.Decibel {
	g := float64(grid)
	if !im.shows(q, t) || !(g > 0 && g <= im.wavelength()/2) {
		return si.Unknown[si.Decibel]()
	}
	// How many grid points to each side may show the reflector best: where signs
	// alternate, one farther off may lie nearer to a crest.
	neighbour := 1
	if oscillating {
		neighbour = 2
	}
	reach := parts*neighbour + parts/2
	f := im.around(q, float64(reach+1)/parts*g/im.wavelength())
	size := 2*reach + 1
	shown := make([]float64, size*size)
	var value [1]complex128
	for k := range shown {
		x, z := f.place(g*float64(k%size-reach)/parts, g*float64(k/size-reach)/parts)
		f.goTo(z)
		f.show(value[:], x, []Transmission{t})
		if shown[k] = cmplx.Abs(value[0]); oscillating {
			shown[k] = math.Abs(real(value[0]))
		}
	}
	worst := 1.0
	for dz := -parts / 2; dz <= parts/2; dz++ {
		for dx := -parts / 2; dx <= parts/2; dx++ {
			best := 0.0
			for k := -neighbour; k <= neighbour; k++ {
				for i := -neighbour; i <= neighbour; i++ {
					best = math.Max(best, shown[(reach+dz+parts*k)*size+reach+dx+parts*i])
				}
			}
			worst = math.Min(worst, best)
		}
	}
	return si.Decibel(-20 * math.Log10(worst))
}
