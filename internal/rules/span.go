package rules

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/si"
)

// Span returns over what range of a fact, around its value here, the rules
// about one thing stay answered as well as they are: over what thicknesses of
// the part a block serves, say. The rules are those that judge a fact of the
// scope named and depend on the one that varies. An end is NaN where the book
// sets none within a factor of spanReach; both are where no rule asks, or one of
// them is not met here, or not known.
//
// The range is searched outwards in steps of 1 %, so that a gap narrower than
// this between two ranges would be stepped over; the ends are found by halving.
func (b *Book) Span(in Input, scope, varies string) (low, high si.Quantity) {
	kind := b.language.facts[varies].Kind
	low, high = si.Quantity{SI: math.NaN(), Kind: kind}, si.Quantity{SI: math.NaN(), Kind: kind}
	here, ok := in.Facts[varies].(si.Quantity)
	if !ok || !here.Known() || here.SI <= 0 {
		return low, high
	}
	part := &Book{Head: b.Head, language: b.language}
	needed := map[string]any{}
	for i := range b.Rules {
		r := &b.Rules[i]
		names := r.facts()
		if r.each != "" || !slices.Contains(names, varies) || r.confirm != "" ||
			!slices.ContainsFunc(names, func(n string) bool { return strings.HasPrefix(n, scope+".") }) {
			continue
		}
		part.Rules = append(part.Rules, *r)
		for _, name := range names {
			if v, given := in.Facts[name]; given {
				needed[name] = v
			}
		}
	}
	serves := func(x float64) bool {
		needed[varies] = si.Quantity{SI: x, Kind: kind}
		results, _ := part.Check(Input{Facts: needed, Inch: in.Inch, Levels: in.Levels, Partial: in.Partial})
		return !slices.ContainsFunc(results, func(r Result) bool { return r.Verdict == NotMet || r.Verdict == Unchecked })
	}
	if part.Rules == nil || !serves(here.SI) {
		return low, high
	}
	end := func(factor float64) float64 {
		good := here.SI
		for x := good * factor; x < here.SI*spanReach && x > here.SI/spanReach; x *= factor {
			if serves(x) {
				good = x
				continue
			}
			bad := x
			for range 40 {
				if middle := (good + bad) / 2; serves(middle) {
					good = middle
				} else {
					bad = middle
				}
			}
			return good
		}
		return math.NaN()
	}
	low.SI, high.SI = end(1/1.01), end(1.01)
	return low, high
}

// spanReach is how far Span looks for an end, as a ratio of the value here.
const spanReach = 20

// facts are all facts that a rule depends on.
func (r *Rule) facts() []string {
	var names []string
	for _, e := range slices.Concat([]*expression{r.value}, r.applies, r.isTrue) {
		if e != nil {
			names = append(names, e.facts...)
		}
	}
	for _, b := range slices.Concat([]*bound{r.atMost, r.atLeast}, r.oneOf) {
		if b != nil {
			names = append(names, b.facts()...)
		}
	}
	return names
}
