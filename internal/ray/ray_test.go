package ray

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// least minimises a function with one minimum by golden section, after a dense
// sampling that finds the cell. It shares nothing with the code under test.
func least(f func(float64) float64, from, to float64) (x, value float64) {
	const cells = 200
	best, at := math.Inf(1), 0
	for i := range cells + 1 {
		if v := f(from + (to-from)*float64(i)/cells); v < best {
			best, at = v, i
		}
	}
	a := from + (to-from)*float64(max(at-1, 0))/cells
	b := from + (to-from)*float64(min(at+1, cells))/cells
	const golden = 0.6180339887498949
	for range 80 {
		x1, x2 := b-golden*(b-a), a+golden*(b-a)
		if f(x1) < f(x2) {
			b = x2
		} else {
			a = x1
		}
	}
	x = (a + b) / 2
	return x, f(x)
}

// flight is the time along straight pieces through the layers, crossing the
// interfaces at the given places.
func flight(dx float64, layers []Layer, crossings ...float64) float64 {
	time, from := 0.0, 0.0
	for i, l := range layers {
		to := dx
		if i < len(crossings) {
			to = crossings[i]
		}
		time += math.Hypot(to-from, float64(l.Thickness)) / float64(l.Speed)
		from = to
	}
	return time
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: got %.12g, want %.12g", what, got, want)
	}
}

// The tolerance in time is 1e-9: golden section finds a minimum's value to the
// precision of float64, its place only to about 1e-8 of the distances.
func TestBetweenAgainstMinimisation(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 1000 {
		layers := []Layer{
			{si.Length(0.001 + 0.05*random.Float64()), si.Speed(1000 + 5000*random.Float64())},
			{si.Length(0.001 + 0.2*random.Float64()), si.Speed(1000 + 5000*random.Float64())},
		}
		dx := 0.4 * (random.Float64() - 0.5)
		x, time := least(func(x float64) float64 { return flight(dx, layers, x) }, math.Min(0, dx), math.Max(0, dx))
		path := Between(si.Length(dx), layers)
		near(t, "time", float64(path.Time), time, 1e-9)
		size := float64(layers[0].Thickness+layers[1].Thickness) + math.Abs(dx)
		if got := float64(path.Across(layers[0])); math.Abs(got-x) > 1e-7*size {
			t.Errorf("crossing of %v over %g: got %.9g, want %.9g", layers, dx, got, x)
		}
	}
}

func TestBetweenHardCases(t *testing.T) {
	for _, c := range []struct {
		why            string
		dx, h1, h2     float64
		speed1, speed2 float64
	}{
		{"Newton on the angle diverges here", 0.03, 0.008, 0.05, 2330, 5900},
		{"grazing in the part", 2, 0.01, 0.002, 2330, 5900},
		{"grazing in the wedge", 2, 0.002, 0.01, 5900, 2330},
		{"a thousand times the height", 100, 0.05, 0.05, 2730, 3230},
		{"fast layer a nanometre thick", 0.01, 0.02, 1e-9, 2330, 5900},
		{"fast layer a nanometre thick, just out of direct reach", 0.008598, 0.02, 1e-9, 2330, 5900},
		{"slow layer a nanometre thick", 0.05, 1e-9, 0.02, 1480, 5900},
		{"almost one speed", 0.05, 0.02, 0.02, 3240, 3240.0001},
		{"straight down", 0, 0.02, 0.02, 2330, 3240},
	} {
		layers := []Layer{{si.Length(c.h1), si.Speed(c.speed1)}, {si.Length(c.h2), si.Speed(c.speed2)}}
		_, time := least(func(x float64) float64 { return flight(c.dx, layers, x) }, 0, c.dx)
		path := Between(si.Length(c.dx), layers)
		near(t, c.why+": time", float64(path.Time), time, 1e-9)
		sum := float64(path.Across(layers[0]) + path.Across(layers[1]))
		if math.Abs(sum-c.dx) > 1e-9*c.dx {
			t.Errorf("%s: the pieces add up to %.12g, want %.12g", c.why, sum, c.dx)
		}
	}
}

func TestBetweenThreeLayersAgainstMinimisation(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 20 {
		layers := make([]Layer, 3)
		for i := range layers {
			layers[i] = Layer{si.Length(0.001 + 0.03*random.Float64()), si.Speed(1400 + 4500*random.Float64())}
		}
		dx := 0.1 * random.Float64()
		_, time := least(func(first float64) float64 {
			_, v := least(func(second float64) float64 { return flight(dx, layers, first, second) }, 0, dx)
			return v
		}, 0, dx)
		near(t, "time", float64(Between(si.Length(dx), layers).Time), time, 1e-9)
	}
}

func TestBetweenProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		layers := make([]Layer, rapid.IntRange(1, 5).Draw(t, "layers"))
		back := make([]Layer, len(layers))
		for i := range layers {
			layers[i] = Layer{
				si.Length(rapid.Float64Range(1e-6, 0.3).Draw(t, "thickness")),
				si.Speed(rapid.Float64Range(300, 7000).Draw(t, "speed")),
			}
			back[len(layers)-1-i] = layers[i]
		}
		dx := si.Length(rapid.Float64Range(-1, 1).Draw(t, "dx"))
		path := Between(dx, layers)

		if there := Between(-dx, back).Time; math.Abs(float64(there-path.Time)) > 1e-13*float64(path.Time) {
			t.Fatalf("the way back takes %v, not %v", there, path.Time)
		}
		var run si.Length
		slowness := path.Angle(layers[0].Speed).Sin() / float64(layers[0].Speed)
		for _, l := range layers {
			run += path.Across(l)
			if s := path.Angle(l.Speed).Sin() / float64(l.Speed); math.Abs(s-slowness) > 1e-12*math.Abs(slowness) {
				t.Fatalf("Snell's law is off: %v and %v", s, slowness)
			}
		}
		if math.Abs(float64(run-dx)) > 1e-9*math.Abs(float64(dx)) {
			t.Fatalf("the pieces add up to %v, not %v", run, dx)
		}
		// A layer of no thickness changes nothing, however fast.
		if got := Between(dx, append([]Layer{{0, 9000}}, layers...)); got != path {
			t.Fatalf("an empty layer changes the ray: %v, not %v", got, path)
		}
	})
}

func TestBetweenUnknown(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	good := Layer{0.01, 3240}
	for name, path := range map[string]Path{
		"dx unknown":         Between(si.Length(nan), []Layer{good}),
		"dx infinite":        Between(si.Length(inf), []Layer{good}),
		"no layer":           Between(0.01, nil),
		"no thickness":       Between(0.01, []Layer{{0, 3240}}),
		"thickness unknown":  Between(0.01, []Layer{good, {si.Length(nan), 3240}}),
		"thickness negative": Between(0.01, []Layer{good, {-1, 3240}}),
		"thickness infinite": Between(0.01, []Layer{good, {si.Length(inf), 3240}}),
		"speed unknown":      Between(0.01, []Layer{good, {0.01, si.Speed(nan)}}),
		"speed zero":         Between(0.01, []Layer{good, {0.01, 0}}),
		"speed infinite":     Between(0.01, []Layer{good, {0.01, si.Speed(inf)}}),
	} {
		if si.Known(path.Time) || si.Known(path.Angle(3240)) || si.Known(path.Across(good)) {
			t.Errorf("%s: got %v, want unknown", name, path)
		}
	}
	if got := Between(0.01, []Layer{good}).Angle(9000); si.Known(got) {
		t.Errorf("a ray at 45° in 3240 m/s has no angle in 9000 m/s, got %v", got)
	}
	if got := Between(0.01, []Layer{good}).Angle(si.Speed(nan)); si.Known(got) {
		t.Errorf("angle at an unknown speed: got %v", got)
	}
}

// Each leg is drawn with its reflections, point by point, and compared with the
// straight line to the unfolded depth.
func TestUnfoldAgainstReflections(t *testing.T) {
	const thickness, depth = 0.025, 0.007
	tangent := math.Tan(55 * math.Pi / 180)
	for leg := 1; leg <= 5; leg++ {
		x, z, down := 0.0, 0.0, true
		for range leg - 1 {
			to := 0.0
			if down {
				to = thickness
			}
			x, z, down = x+math.Abs(to-z)*tangent, to, !down
		}
		x += math.Abs(depth-z) * tangent
		near(t, "unfolded depth", float64(Unfold(leg, depth, thickness)), x/tangent, 1e-12)
	}
	for _, got := range []si.Length{
		Unfold(0, depth, thickness), Unfold(1, -0.001, thickness), Unfold(2, 0.026, thickness),
		Unfold(1, depth, 0), Unfold(1, si.Unknown[si.Length](), thickness),
	} {
		if si.Known(got) {
			t.Errorf("outside its range: got %v, want unknown", got)
		}
	}
}

func BenchmarkBetween(b *testing.B) {
	b.ReportAllocs()
	var sum si.Time
	for i := range b.N {
		dx := si.Length(0.02 + 0.0005*float64(i%64))
		sum += Between(dx, []Layer{{0.012, 2330}, {0.03, 3240}}).Time
	}
	if !(sum > 0) {
		b.Fatal("no time")
	}
}
