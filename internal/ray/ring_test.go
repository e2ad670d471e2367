package ray

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/acoustics"
	"soundwrit/internal/si"
)

// walled are courses through a pipe from outside and inside, with and without a
// cladding, and with a wave that changes its kind.
func walled() []Course {
	clad := Stratum{0.004, acoustics.Medium{Longitudinal: 5700, Transverse: 3100}}
	var list []Course
	for _, radius := range []si.Length{0.06, 0.3, -0.05, -0.3} {
		for _, legs := range [][]acoustics.Wave{{trans}, {long}, {trans, trans}, {trans, long}, {long, trans, trans}} {
			list = append(list,
				Course{Wedge: 2330, Part: Part{Radius: radius, Strata: []Stratum{{0.012, steel()}}}, Legs: legs},
				Course{Wedge: 2330, Coating: Layer{0.0003, 2400}, Part: Part{Radius: radius, Strata: []Stratum{{0.012, steel()}, clad}}, Legs: legs})
		}
	}
	return list
}

// Places in order and in any order are answered as by the course, which solves
// each from scratch to the last digit.
func TestRoundRowAgainstCourse(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	found := 0
	for _, c := range walled() {
		for _, z := range []si.Length{0, 0.003, 0.0117} {
			row := c.Row(tip, len(c.Legs), z)
			check := func(x si.Length) {
				t.Helper()
				r, time := c.To(tip, x, z)
				got := row.To(x - tip.X)
				if known := si.Known(time); known != si.Known(got.Time) || known != si.Known(got.Spread) {
					t.Fatalf("%v to %v, %v: course %v, row %v", c, x, z, time, got)
				} else if !known {
					return
				}
				found++
				isClose(t, "time", float64(got.Time/time), 1, 1e-9)
				isClose(t, "sine", got.slowness*3240, r.pace().sine*3240, 1e-8)
				ways := row.Ways(got)
				isClose(t, "way in the wedge", float64(ways.Wedge), float64(r.InWedge()), 1e-7)
				if len(c.Part.Strata) == 1 {
					isClose(t, "way in the metal", float64(ways.Longitudinal+ways.Transverse), float64(r.Path(len(c.Legs), z)), 1e-6)
				}
			}
			for x := si.Length(-0.06); x < 0.08; x += 0.7e-3 {
				check(x)
			}
			for range 100 {
				check(si.Length(0.1 * (random.Float64() - 0.5)))
			}
		}
	}
	if found < 5000 {
		t.Errorf("only %d places are reached", found)
	}
}

// The spread against four neighbours in space. In the section two rays leave a
// little apart, and how far apart they end is measured on true circles. Across it,
// a ray that leaves turned by d out of the section has the slowness d / c₁ there
// in every medium, and drifts by d c / c₁ of its length.
func TestSpreadOfARoundRow(t *testing.T) {
	for _, c := range walled() {
		const z, d = 0.009, 1e-5
		leg := len(c.Legs)
		radius := float64(c.Part.Radius)
		for _, x := range []si.Length{-0.02, -0.012, 0, 0.01} {
			r, time := c.To(tip, x, z)
			if !si.Known(time) || max(r.Refracted(), r.Angle(leg, z)) > 70*si.Degree {
				continue
			}
			low, high := c.Leave(tip, r.Refracted()-d), c.Leave(tip, r.Refracted()+d)
			a, b := round(radius, float64(low.X(leg, z)), z), round(radius, float64(high.X(leg, z)), z)
			slant := gap(a, b) // along the circle; square to the rays it is less
			opened := slant * r.Angle(leg, z).Cos() / float64(high.AtElement()-low.AtElement())
			drift, speed := 0.0, 0.0
			if c.Coating.Thickness > 0 {
				drift += float64(c.Coating.Speed) * float64(r.Time(1, 0)-si.Time(r.InWedge()/si.Length(c.Wedge))) * float64(c.Coating.Speed)
			}
			drift += float64(r.InWedge()) * float64(c.Wedge)
			before := r.Time(1, 0)
			for n := 1; n <= leg; n++ {
				depths := append([]si.Length{c.Wall(n - 1)}, c.Turns(n)...)
				for i, from := range depths[:len(depths)-1] {
					to := depths[i+1]
					speed = float64(c.At(n, (from+to)/2))
					if n == leg && (z-from)*(z-to) <= 0 {
						to = z
					}
					after := r.Time(n, to)
					drift += float64(after-before) * speed * speed
					before = after
					if to == z && n == leg {
						break
					}
				}
			}
			row := c.Row(tip, leg, z)
			isClose(t, "spread", float64(row.To(x-tip.X).Spread)/math.Sqrt(opened*drift/float64(c.Wedge)), 1, 3e-4)
		}
	}
}

// Without a bend a ring is a plate: at 10 km the sag over 60 mm is 0.05 μm.
func TestRoundRowBecomesFlat(t *testing.T) {
	flat := Course{Wedge: 2330, Part: Plate(0.02, steel()), Legs: []acoustics.Wave{trans, long}}
	for _, radius := range []si.Length{1e4, -1e4, 1e9} {
		bent := flat
		bent.Part.Radius = radius
		a, b := flat.Row(tip, 2, 0.013), bent.Row(tip, 2, 0.013)
		for x := si.Length(-0.03); x < 0.02; x += 1e-3 {
			one, other := a.To(x-tip.X), b.To(x-tip.X)
			isClose(t, "time", float64(other.Time), float64(one.Time), 1e-10)
			isClose(t, "spread", float64(other.Spread/one.Spread), 1, 1e-4)
			isClose(t, "sine", other.slowness*3240, one.slowness*3240, 2e-5)
		}
	}
}

func BenchmarkRoundRow(b *testing.B) {
	c := Course{Wedge: 2330, Part: Part{Radius: 0.3, Strata: []Stratum{{0.025, steel()}}}, Legs: []acoustics.Wave{trans, trans}}
	row := c.Row(tip, 2, 0.01)
	var sum si.Time
	for n := range b.N {
		sum += row.To(si.Length(0.02 + 0.5e-3*float64(n%64))).Time
	}
	if !(sum > 0) {
		b.Fatal("no time")
	}
}

// A straight line goes on past its lowest point: its time is that over the chord in
// the plane, the place of entry where it takes least. Before, the time is that of
// the ray, and open tells which of both it is.
func TestPastTheLastRay(t *testing.T) {
	for _, radius := range []float64{0.06, 0.254} {
		c := Course{Wedge: 2330, Part: Part{Radius: si.Length(radius), Strata: []Stratum{{0.016, steel()}}}, Legs: []acoustics.Wave{trans}}
		rays, chords := 0, 0
		for _, z := range []float64{0.5e-3, 3e-3, 9e-3, 15e-3} {
			for x := -25e-3; x < 50e-3; x += 3.7e-3 {
				time, open := c.Past(tip, si.Length(x), si.Length(z))
				if _, want := c.To(tip, si.Length(x), si.Length(z)); si.Known(want) {
					rays++
					isClose(t, "a ray's time", float64(time), float64(want), 1e-15)
				} else {
					chords++
				}
				_, own := c.To(tip, si.Length(x), si.Length(z))
				if si.Known(own) != (open > 0) {
					t.Errorf("to (%g, %g) the ray takes %g, and open is %g", x, z, own, open)
				}
				a, b := round(radius, float64(tip.X), -float64(tip.Height)), round(radius, x, z)
				least := descend(func(entry []float64) float64 {
					at := round(radius, entry[0], 0)
					return gap(a, at)/2330 + gap(at, b)/3240
				}, []float64{float64(tip.X) + 5e-3}, 30e-3, 12)
				isClose(t, "least time", float64(time), least, 1e-13)
			}
		}
		if rays == 0 || chords == 0 {
			t.Errorf("radius %g: %d rays, %d chords", radius, rays, chords)
		}
	}
}
