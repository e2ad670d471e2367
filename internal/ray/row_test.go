package ray

import (
	"math"
	"math/rand/v2"
	"testing"

	"soundwrit/internal/si"
)

// hardRows are layers at which Newton's method on the angle or on the crossing
// fails, and ends of what is possible.
func hardRows() [][]Layer {
	return [][]Layer{
		{{0.008, 2330}, {0.05, 5900}},
		{{0.01, 2330}, {0.002, 5900}},
		{{0.02, 2330}, {1e-9, 5900}},
		{{1e-9, 1480}, {0.02, 5900}},
		{{0.002, 5900}, {0.01, 2330}},
		{{0.02, 3240}, {0.02, 3240.0001}},
		{{0, 2330}, {0.02, 3240}},
		{{0.012, 2330}, {0.016, 3240}, {0.009, 5920}},
		{{0.012, 2330}, {0.0003, 1480}, {0.016, 3240}, {0.009, 5920}, {0.016, 3240}},
	}
}

// Places in order, in any order and again and again are answered as by Between,
// which solves each from scratch.
func TestRowAgainstBetween(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for n, layers := range hardRows() {
		row := newRow(layers)
		fastest := si.Speed(0)
		for _, l := range layers {
			if l.Thickness > 0 {
				fastest = max(fastest, l.Speed)
			}
		}
		check := func(dx si.Length) {
			t.Helper()
			got, want := row.To(dx), Between(dx, layers)
			near(t, "time", float64(got.Time), float64(want.Time), 1e-9)
			fresh := newRow(layers)
			// Near grazing a spread turns faster than the ray.
			if one, other := float64(got.Spread), float64(fresh.To(dx).Spread); math.Abs(one-other) > 1e-4*other && math.Abs(want.Angle(fastest).Sin()) < 0.999 {
				t.Errorf("layers %d, %v m: spread %v, from scratch %v", n, dx, one, other)
			}
			if sine := want.Angle(fastest).Sin(); math.Abs(float64(got.Sine(fastest))-sine) > 1e-5 {
				t.Errorf("layers %d, %v m: sine %.9f, want %.9f", n, dx, got.Sine(fastest), sine)
			}
		}
		for dx := si.Length(-0.06); dx < 0.06; dx += 0.16e-3 {
			check(dx)
		}
		for range 1000 {
			check(si.Length(0.3 * (random.Float64() - 0.5)))
		}
		for _, dx := range []si.Length{0, 100, 0, -100, 1e-9, 2, 2, -2, 0} {
			check(dx)
		}
	}
}

// The spread against a tube of rays between four neighbours in space: a little
// square of directions at the point, and the section of the tube at the end.
func TestSpreadOfARow(t *testing.T) {
	for _, layers := range hardRows() {
		if layers[0].Thickness < 1e-6 || layers[0].Speed > layers[1].Speed {
			continue
		}
		row := newRow(layers)
		for _, degrees := range []float64{3, 15, 20} { // in the first layer
			angle := degrees * math.Pi / 180
			run := func(angle float64) (x, cosine float64, ok bool) {
				for _, l := range layers {
					sine := math.Sin(angle) * float64(l.Speed/layers[0].Speed)
					if sine >= 1 {
						return 0, 0, false
					}
					cosine = math.Sqrt(1 - sine*sine)
					x += float64(l.Thickness) * sine / cosine
				}
				return x, cosine, true
			}
			const d = 1e-5
			near1, _, _ := run(angle - d)
			far, _, ok := run(angle + d)
			x, cosine, _ := run(angle)
			if !ok {
				continue
			}
			// In the plane of the ray it opens by 2d; across, it is turned about the normal.
			section := (far - near1) * cosine * x * 2 * d
			solid := 2 * d * math.Sin(angle) * 2 * d
			near(t, "spread", float64(row.To(si.Length(x)).Spread), math.Sqrt(section/solid), 1e-4)
		}
	}
}

func TestRowUnknown(t *testing.T) {
	for _, layers := range [][]Layer{nil, {{0, 3240}}, {{0.01, si.Unknown[si.Speed]()}}, {{0.01, 1}, {1, 2}, {1, 3}, {1, 4}, {1, 5}, {1, 6}, {1, 7}, {1, 8}}} {
		row := newRow(layers)
		if p := row.To(0.01); si.Known(p.Time) || si.Known(p.Spread) || si.Known(p.Sine(3240)) {
			t.Errorf("%v: %v", layers, p)
		}
	}
	row := newRow([]Layer{{0.01, 2330}, {0.02, 3240}})
	row.To(0.01)
	if p := row.To(si.Unknown[si.Length]()); si.Known(p.Time) {
		t.Errorf("to nowhere: %v", p)
	}
	near(t, "time after a place that is not known", float64(row.To(0.011).Time), float64(Between(0.011, row.layers).Time), 1e-9)
}

func BenchmarkRow(b *testing.B) {
	b.ReportAllocs()
	rows := make([]Row, 64)
	for i := range rows {
		rows[i] = newRow([]Layer{{0.005 + 0.0003*si.Length(i), 2330}, {0.03, 3240}})
	}
	var sum si.Time
	for n := range b.N {
		dx := si.Length(0.02 + 0.16e-3*float64(n/64%300))
		sum += rows[n%64].To(dx).Time
	}
	if !(sum > 0) {
		b.Fatal("no time")
	}
}
