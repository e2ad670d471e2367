package ray

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/si"
)

// Both places are put on their circles in the plane, and the way between them is
// taken apart along the radius of the first and square to it.
func TestBesideInThePlane(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for _, radius := range []float64{0.06, 0.254, -0.06, -0.254} {
		p := Part{Radius: si.Length(radius)}
		for range 100 {
			x1, z1 := 0.02*(random.Float64()-0.5), 0.02*random.Float64()
			along, deeper := 0.02*(random.Float64()-0.5), 0.02*(random.Float64()-0.5)
			x2, z2 := p.Beside(si.Length(x1), si.Length(z1), si.Length(along), si.Length(deeper))
			a, b := round(radius, x1, z1), round(radius, float64(x2), float64(z2))
			sin, cos := math.Sincos(x1 / radius)
			across, up := b.x-a.x, b.y-a.y
			isClose(t, "along", across*cos-up*sin, along, 1e-15)
			isClose(t, "deeper", -across*sin-up*cos, deeper, 1e-15)
		}
	}
	if x, z := (&Part{Radius: 0.02}).Beside(0, 0.005, 0.001, 0.016); si.Known(x) || si.Known(z) {
		t.Errorf("beyond the axis lies (%g, %g)", x, z)
	}
}
