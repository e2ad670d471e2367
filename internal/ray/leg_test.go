package ray

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// A leg through flat strata, asked at many depths, is the ray asked at each.
func TestLegThroughStrataIsTheRay(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	compared := 0
	for range 300 {
		c := Course{Wedge: 2330, Part: Part{Strata: []Stratum{
			{si.Length(0.002 + 0.02*random.Float64()), acoustics.Medium{Longitudinal: 5920, Transverse: 3240}}, {si.Length(0.001 + 0.005*random.Float64()), acoustics.Medium{Longitudinal: 5750, Transverse: 3100}}, {0.001, acoustics.Medium{Longitudinal: 6100, Transverse: 3300}}}}}
		for range 1 + random.IntN(3) {
			c.Legs = append(c.Legs, []acoustics.Wave{acoustics.Transverse, acoustics.Longitudinal}[random.IntN(2)])
		}
		r := c.Leave(Element{X: -0.05, Height: 0.01}, si.Angle(random.Float64()*1.2))
		for leg := range c.Legs {
			l := r.Leg(leg + 1)
			for range 5 {
				z := si.Length(random.Float64()) * c.Part.Thickness()
				a, b := l.X(z), r.X(leg+1, z)
				if !si.Known(b) {
					continue // a leg stands for the last ray that comes there
				}
				compared++
				if math.Abs(float64(a-b)) > 1e-12 {
					t.Fatalf("leg %d at %v: %v, the ray is at %v", leg+1, z, a, b)
				}
			}
		}
	}
	if compared < 500 {
		t.Errorf("only %d places were compared", compared)
	}
}
