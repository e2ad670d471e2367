package technique

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"soundwrit/internal/si"
)

// Published values P254 and P255 of testdata/published/physics_cases.csv, and
// those that go with them in the reference they come from.
func TestDemonstrated(t *testing.T) {
	for _, c := range []struct {
		found, trials   int
		want, tolerance float64
		source          string
	}{
		{29, 29, 0.9019, 0.0005, "P254: the rule of 29 of 29, MIL-HDBK-1823A, from memory; 0.05^(1/29)"},
		{45, 46, 0.9006, 0.001, "P255: Clopper-Pearson, one miss needs 46"},
		{59, 61, 0.9004, 0.001, "two misses need 61, computed with P255"},
		{3, 3, 0.3684, 0.0001, "by hand: 0.05^(1/3)"},
		{1, 1, 0.05, 1e-9, "by hand: 0.05"},
		{1, 2, 0.025321, 1e-6, "by hand: 1 − √0.95"},
		{0, 10, 0, 1e-9, "nothing found shows nothing"},
	} {
		if got := float64(demonstrated(c.found, c.trials, 0.95)); math.Abs(got-c.want) > c.tolerance {
			t.Errorf("%d of %d show %.5f, want %v (%s)", c.found, c.trials, got, c.want, c.source)
		}
	}
	for _, bad := range [][2]int{{0, 0}, {-1, 3}, {4, 3}} {
		if si.Known(demonstrated(bad[0], bad[1], 0.95)) {
			t.Errorf("%d of %d show something", bad[0], bad[1])
		}
	}
	for _, c := range []struct {
		share, confidence si.Ratio
		want              int
	}{{0.9, 0.95, 29}, {0.5, 0.9, 4}, {0.8, 0.95, 14}} { // 0.5⁴ = 0.0625 ≤ 0.1 < 0.5³; 0.8¹⁴ = 0.044 ≤ 0.05 < 0.8¹³
		if got := flawless(c.share, c.confidence); got != c.want {
			t.Errorf("%v at %v takes %d, by hand %d", c.share, c.confidence, got, c.want)
		}
	}
}

// At the bound, trials that are drawn at random find as many or more in 5 % of
// cases. 100 000 draws scatter by 0.0007; four times that.
func TestDemonstratedAgainstDraws(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for _, c := range [][2]int{{29, 29}, {45, 46}, {7, 12}} {
		p, many := float64(demonstrated(c[0], c[1], 0.95)), 0
		const draws = 100_000
		for range draws {
			found := 0
			for range c[1] {
				if random.Float64() < p {
					found++
				}
			}
			if found >= c[0] {
				many++
			}
		}
		if got := float64(many) / draws; math.Abs(got-0.05) > 0.003 {
			t.Errorf("at %.4f, %d or more of %d are found in %.4f of cases, want 0.05", p, c[0], c[1], got)
		}
	}
}

func TestQualificationIsStated(t *testing.T) {
	tech, _ := read(t, "plate-seam", "\nqualification:", "\nqualification:\n  trials: 10\n  found: 9")
	// By hand: p¹⁰ + 10 p⁹ (1 − p) = 0.05 at p = 0.60584.
	v, ok := tech.Value("qualification.detection")
	if !ok || math.Abs(v.Q.SI-0.60584) > 1e-5 || !strings.HasPrefix(v.Text(), "60.5") {
		t.Errorf("9 of 10 show %v (%s), by hand 60.58 %%, rounded down", v.Q.SI, v.Text())
	}
	if tech, _ = read(t, "plate-seam"); len(tech.Values) > 0 {
		if _, ok := tech.Value("qualification.detection"); ok {
			t.Error("a share without a count of flaws")
		}
	}
}
