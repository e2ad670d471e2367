package acquisition

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"soundwrit/internal/si"
)

// expect integrates what a function of the speed is on average, with the density
// of a lognormal speed of the given mean and deviation, by the trapezoid rule over
// ln v. The two parameters are found from mean and variance as a reference book
// gives them.
func expect(mean, deviation float64, f func(v float64) float64) float64 {
	sigma2 := math.Log(1 + deviation*deviation/(mean*mean))
	mu := math.Log(mean*mean) - math.Log(math.Sqrt(mean*mean+deviation*deviation))
	const n = 200000
	from, to := mu-12*math.Sqrt(sigma2), mu+12*math.Sqrt(sigma2)
	sum := 0.0
	for i := range n {
		y := from + (to-from)*(float64(i)+0.5)/n
		sum += f(math.Exp(y)) * math.Exp(-(y-mu)*(y-mu)/(2*sigma2))
	}
	return sum * (to - from) / n / math.Sqrt(2*math.Pi*sigma2)
}

// The step of the quadrature is 1e-4 σ; the jump of LostTogether may fall anywhere
// in one, which is worth 1e-4.
func TestPaceAgainstQuadrature(t *testing.T) {
	const limit = 0.05
	for _, mean := range []float64{0.02, 0.04, 0.05, 0.06, 0.15} {
		for _, spread := range []float64{0.05, 0.2, 0.5, 1} {
			p := Pace{si.Speed(mean), si.Ratio(spread)}
			want := expect(mean, spread*mean, func(v float64) float64 { return math.Max(0, 1-limit/v) })
			if got := float64(p.Lost(limit)); math.Abs(got-want) > 1e-8 {
				t.Errorf("mean %v, spread %v: lost %v, want %v", mean, spread, got, want)
			}
			want = expect(mean, spread*mean, func(v float64) float64 {
				if v > 2*limit {
					return 1
				}
				return 0
			})
			if got := float64(p.LostTogether(limit)); math.Abs(got-want) > 1e-4 {
				t.Errorf("mean %v, spread %v: lost together %v, want %v", mean, spread, got, want)
			}
		}
	}
}

// A probe is pulled over a million places at random speeds. The mean of a million
// shares below one is good to 1e-3.
func TestPaceAgainstRandomSpeeds(t *testing.T) {
	const limit, mean, spread, places = 0.05, 0.045, 0.3, 1_000_000
	random := rand.New(rand.NewPCG(7, 8))
	sigma := math.Sqrt(math.Log(1 + spread*spread))
	asked, delivered, sum, square := 0.0, 0.0, 0.0, 0.0
	for range places {
		v := mean / math.Sqrt(1+spread*spread) * math.Exp(sigma*random.NormFloat64())
		asked++
		delivered += math.Min(1, limit/v)
		sum, square = sum+v, square+v*v
	}
	if m := sum / places; math.Abs(m-mean) > 1e-3*mean || math.Abs(math.Sqrt(square/places-m*m)/m-spread) > 5e-3*spread {
		t.Fatalf("the drawn speeds have mean %v and deviation %v", m, math.Sqrt(square/places-m*m))
	}
	if got, want := float64(Pace{mean, spread}.Lost(limit)), 1-delivered/asked; math.Abs(got-want) > 1e-3 {
		t.Errorf("lost %v, drawn %v", got, want)
	}
}

func TestSteadyPace(t *testing.T) {
	for _, c := range []struct {
		mean           si.Speed
		lost, together si.Ratio
	}{{0.04, 0, 0}, {0.05, 0, 0}, {0.1, 0.5, 0}, {0.2, 0.75, 1}} {
		p := Pace{c.mean, 0}
		if p.Lost(0.05) != c.lost || p.LostTogether(0.05) != c.together || LostShare(c.mean, 0.05) != c.lost {
			t.Errorf("%v: lost %v, together %v", c.mean, p.Lost(0.05), p.LostTogether(0.05))
		}
	}
}

func TestFastestMean(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := si.Speed(rapid.Float64Range(0.001, 1).Draw(t, "limit"))
		spread := si.Ratio(rapid.Float64Range(0, 2).Draw(t, "spread"))
		allowed := si.Ratio(rapid.Float64Range(0.001, 0.9).Draw(t, "allowed"))
		mean := FastestMean(limit, spread, allowed)
		if lost := (Pace{mean, spread}).Lost(limit); lost > allowed {
			t.Fatalf("mean %v loses %v, over %v", mean, lost, allowed)
		}
		if lost := (Pace{mean * 1.001, spread}).Lost(limit); lost <= allowed {
			t.Fatalf("a thousandth faster than %v still loses only %v of %v", mean, lost, allowed)
		}
	})
	if got := FastestMean(0.05, 0.3, 0); got != 0 {
		t.Errorf("no loss allowed and a spread: got %v, want 0", got)
	}
	if got := FastestMean(0.05, 0, 0.05); math.Abs(float64(got)-0.05/0.95) > 1e-12 {
		t.Errorf("a steady motor and 5 %%: got %v, want %v", got, 0.05/0.95)
	}
}

func TestPaceUnknown(t *testing.T) {
	nan := math.NaN()
	for name, got := range map[string]float64{
		"limit zero":               float64(LostShare(0.05, 0)),
		"speed unknown":            float64(LostShare(si.Speed(nan), 0.05)),
		"mean unknown":             float64(Pace{si.Speed(nan), 0.3}.Lost(0.05)),
		"mean unknown, steady":     float64(Pace{si.Speed(nan), 0}.Lost(0.05)),
		"spread unknown":           float64(Pace{0.05, si.Ratio(nan)}.Lost(0.05)),
		"spread negative":          float64(Pace{0.05, -0.1}.Lost(0.05)),
		"limit unknown":            float64(Pace{0.05, 0.3}.Lost(si.Speed(nan))),
		"together, limit unknown":  float64(Pace{0.05, 0.3}.LostTogether(si.Speed(nan))),
		"together, mean unknown":   float64(Pace{si.Speed(nan), 0}.LostTogether(0.05)),
		"fastest, all lost":        float64(FastestMean(0.05, 0.3, 1)),
		"fastest, share unknown":   float64(FastestMean(0.05, 0.3, si.Ratio(nan))),
		"fastest, spread negative": float64(FastestMean(0.05, -0.3, 0.05)),
	} {
		if !math.IsNaN(got) {
			t.Errorf("%s: got %v, want unknown", name, got)
		}
	}
}
