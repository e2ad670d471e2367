package technique

import (
	"math"

	"soundwrit/internal/si"
)

// confidence is that with which the share of flaws found is stated, and
// shown the share that a demonstration is usually asked to show.
const (
	confidence si.Ratio = 0.95
	shown      si.Ratio = 0.90
)

// qualification states what a demonstration on so many flaws shows.
func (s *sheet) qualification() {
	q := &s.Job.Qualification
	lower := demonstrated(q.Found, q.Trials, confidence)
	if !si.Known(lower) {
		return
	}
	const source = "binomial distribution, C. Clopper, E. Pearson, Biometrika 26 (1934) 404; flaws alike, each looked for by itself"
	s.count("qualification.trials", "n_q", "flaws that were looked for in the demonstration", q.Trials, given())
	s.count("qualification.found", "k_q", "of these found", q.Found, given())
	s.share("qualification.detection", "p_95", "share of such flaws that is found, at least, with 95 % confidence", lower, how{
		formula: "p at which n_q trials find k_q or more in 5 % of cases", inputs: []string{"qualification.trials", "qualification.found"}, side: si.Down, source: source})
	s.count("qualification.needed", "n_0", "flaws, all of them found, that would show a share of 90 % with 95 % confidence", flawless(shown, confidence), how{
		formula: "n_0 = ln 0.05 / ln 0.90, rounded up", side: si.Up, source: source})
}

// demonstrated returns the smallest share of flaws found that a demonstration
// leaves open: with the confidence given, the true share is no smaller.
//
//	the p of P(X ≥ found) = 1 − confidence, X binomial of so many trials
//
// Valid: 1 ≤ trials, 0 ≤ found ≤ trials, 0 < confidence < 1, else NaN. All
// flaws are taken as alike, and one found says nothing of the next.
// Source: C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404, lower limit on
// one side; published cases P254 and P255 in qualification_test.go. The lower
// end of the bisection is returned, so it is never above the true value.
func demonstrated(found, trials int, confidence si.Ratio) si.Ratio {
	if trials < 1 || found < 0 || found > trials || !(confidence > 0 && confidence < 1) {
		return si.Unknown[si.Ratio]()
	}
	low, high := 0.0, 1.0
	for range 60 {
		if p := (low + high) / 2; atLeast(found, trials, p) <= 1-float64(confidence) {
			low = p
		} else {
			high = p
		}
	}
	return si.Ratio(low)
}

// atLeast is the probability that trials of probability p, 0 < p < 1, succeed
// at least k times. The terms are summed by their logarithms, since those of
// many trials are too large and too small for a float.
func atLeast(k, trials int, p float64) float64 {
	logFactorial := func(n int) float64 {
		v, _ := math.Lgamma(float64(n) + 1)
		return v
	}
	sum := 0.0
	for i := k; i <= trials; i++ {
		ways := logFactorial(trials) - logFactorial(i) - logFactorial(trials-i)
		sum += math.Exp(ways + float64(i)*math.Log(p) + float64(trials-i)*math.Log1p(-p))
	}
	return sum
}

// flawless returns the fewest trials, all of them successful, that show a share
// with the confidence given.
//
//	⌈ln(1 − confidence) / ln share⌉
//
// Valid: both between 0 and 1.
// Source: shareⁿ = 1 − confidence.
func flawless(share, confidence si.Ratio) int {
	return int(math.Ceil(math.Log1p(-float64(confidence)) / math.Log(float64(share))))
}
