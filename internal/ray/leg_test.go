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
					continue
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

// Around a pipe of 114.3 by 8.56 mm a transverse wave of 30° meets the bore at a
// sine of 57.15 / 48.59 · 0.5 = 0.588, and a longitudinal wave would leave it with
// 0.588 · 5920 / 3240 = 1.075: there is none. A fan up to 30° ends with the ray that
// leaves along the bore.
func TestLegOfWaveThatDoesNotExist(t *testing.T) {
	c := Course{Wedge: 2330, Part: Plate(0.00856, acoustics.Medium{Longitudinal: 5920, Transverse: 3240}), Legs: []acoustics.Wave{acoustics.Transverse, acoustics.Longitudinal}}
	c.Part.Radius = 0.05715
	e := Element{X: -0.03, Height: 0.01}
	l := c.Leave(e, 30*si.Degree).Leg(2)
	last := 48.59 / 57.15 * 3240 / 5920
	if got := c.Limit(e, 2, 0.00856).Sin(); math.Abs(got/last-1) > 1e-9 {
		t.Errorf("the last ray has a sine of %.6f, by hand %.6f", got, last)
	}
	for z := si.Length(0); z <= 0.0085; z += 0.0005 {
		if x := l.X(z); si.Known(x) {
			t.Errorf("at %v the leg that does not exist lies at %v", z, x)
		}
		want := c.Leave(e, si.Angle(math.Asin(last*(1-1e-12)))).X(2, z)
		if got := l.Bound(z); !(math.Abs(float64(got-want)) < 1e-7) {
			t.Errorf("at %v the fan ends at %v, its last ray lies at %v", z, got, want)
		}
	}
}
