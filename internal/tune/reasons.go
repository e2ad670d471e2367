package tune

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"soundwrit/internal/si"
	"soundwrit/schema"
)

func key(t Trial) string { return fmt.Sprint(t.Edits) }

// speed sets the working speed of a proposal to the highest whole millimetre a
// second, or hundredth of an inch, that keeps the loss of lines within the
// allowance, where the present one is too high or the request asks for more.
func (s *search) speed(best Trial) Trial {
	if slices.ContainsFunc(s.Fixed, func(f string) bool { return f == "scan.speed" || f == "scan" }) || !si.Known(best.Measure.Speed) {
		return best
	}
	unit, name := 1e-3, "mm/s"
	if s.job.Document.Units == "in" {
		unit, name = 25.4e-3/100, "in/s"
	}
	whole := math.Floor(float64(best.Measure.Speed)/unit+1e-9) * unit
	if !(whole > 0) || si.Speed(whole) >= s.job.Scan.Speed && s.First != "speed" && !si.Known(s.Speed) {
		return best
	}
	value := trimmed(whole*1e3, 0) + " mm/s"
	if name == "in/s" {
		value = trimmed(whole/25.4e-3, 2) + " in/s"
	}
	t := s.try(merged(best.Edits, []schema.Edit{{Path: "scan.speed", Value: value}}))
	if len(t.Measure.Unmet) <= len(best.Measure.Unmet) && t.Measure.Usable {
		return t
	}
	return best
}

// smallest leaves out edits that bring nothing, so that a proposal changes no
// more than it must.
func (s *search) smallest(best Trial) Trial {
	for again := true; again; {
		again = false
		for i := range best.Edits {
			without := slices.Delete(slices.Clone(best.Edits), i, i+1)
			t := s.try(without)
			if best.Edits[i].Path != "scan.speed" && s.compare(t.Measure, best.Measure) >= 0 {
				best, again = t, true
				break
			}
		}
	}
	return best
}

// binding says of each value proposed, and of each that was tried and stayed,
// what its nearest neighbours come to.
func (s *search) binding(best Trial, free []choice) []Binding {
	var list []Binding
	for _, c := range free {
		now := s.value(best, c.path)
		if !c.ordered || now == "" {
			continue
		}
		at := slices.IndexFunc(c.options, func(o []schema.Edit) bool { return o[0].Value == now })
		for _, side := range []int{-1, 1} {
			i := at + side
			if at < 0 || i < 0 || i >= len(c.options) {
				continue
			}
			other := s.try(merged(best.Edits, c.options[i]))
			if why := s.worse(best.Measure, other.Measure); why != "" {
				list = append(list, Binding{c.path, now, c.options[i][0].Value, why})
			}
		}
	}
	return list
}

// value is what a proposal sets a path to, or what the job says.
func (s *search) value(t Trial, path string) string {
	for _, e := range t.Edits {
		if e.Path == path {
			return e.Value
		}
	}
	return s.job.Written(path)
}

// worse says in what one measure is worse than another; empty where it is not.
func (s *search) worse(than, m Measure) string {
	switch {
	case !m.Usable:
		return "cannot be: the probe would stand on the reinforcement, or the beam leave the wedge"
	case len(m.Unmet) > len(than.Unmet):
		return "not met then: " + strings.Join(more(m.Unmet, than.Unmet), "; ")
	}
	var words []string
	if step(float64(m.Coverage), float64(than.Coverage), sameShare) < 0 {
		words = append(words, fmt.Sprintf("coverage falls to %s", percent(m.Coverage)))
	}
	if step(float64(m.Square), float64(than.Square), sameFace) < 0 {
		words = append(words, fmt.Sprintf("the least face met square falls to %s", percent(m.Square)))
	}
	if step(math.Log(float64(m.Speed)), math.Log(float64(than.Speed)), sameRate) < 0 {
		words = append(words, fmt.Sprintf("speed falls to %s", speedText(m.Speed)))
	}
	if words == nil && step(math.Log(float64(m.Data)), math.Log(float64(than.Data)), sameRate) > 0 {
		words = append(words, fmt.Sprintf("data rise to %s a metre", dataText(m.Data)))
	}
	return strings.Join(words, "; ")
}

// more lists what is in one list and not in the other.
func more(list, than []string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(x string) bool { return slices.Contains(than, x) })
}

// bought says what another value of each fixed thing would bring.
func (s *search) bought(best Trial, fixed []choice) []Bought {
	var list []Bought
	for _, c := range fixed {
		other := s.step(best, c)
		if !s.better(other.Measure, best.Measure) {
			continue
		}
		what := s.worse(other.Measure, best.Measure) // what the present one lacks
		a, b := best.Measure, other.Measure
		var words []string
		if n := more(a.Unmet, b.Unmet); len(n) > 0 {
			words = append(words, "meets "+strings.Join(n, "; "))
		}
		if step(float64(b.Coverage), float64(a.Coverage), sameShare) > 0 {
			words = append(words, fmt.Sprintf("coverage %s in place of %s", percent(b.Coverage), percent(a.Coverage)))
		}
		if step(float64(b.Square), float64(a.Square), sameFace) > 0 {
			words = append(words, fmt.Sprintf("the least face met square %s in place of %s", percent(b.Square), percent(a.Square)))
		}
		if step(math.Log(float64(b.Speed)), math.Log(float64(a.Speed)), sameRate) > 0 {
			words = append(words, fmt.Sprintf("speed %s in place of %s", speedText(b.Speed), speedText(a.Speed)))
		}
		if step(math.Log(float64(b.Data)), math.Log(float64(a.Data)), sameRate) < 0 {
			words = append(words, fmt.Sprintf("data %s a metre in place of %s", dataText(b.Data), dataText(a.Data)))
		}
		if words == nil {
			words = []string{what}
		}
		list = append(list, Bought{c.path, s.value(best, c.path), s.value(other, c.path), strings.Join(words, ", ")})
	}
	return list
}

// conflicts says of each requirement that the proposal does not meet which
// others fail where it is met, by the trial that fails the fewest.
func (s *search) conflicts(best Trial) []Conflict {
	var list []Conflict
	for _, rule := range best.Measure.Unmet {
		var least *Trial
		for _, t := range s.known {
			if !t.Measure.Usable || slices.Contains(t.Measure.Unmet, rule) {
				continue
			}
			if least == nil || len(t.Measure.Unmet) < len(least.Measure.Unmet) || len(t.Measure.Unmet) == len(least.Measure.Unmet) && key(t) < key(*least) {
				least = &t
			}
		}
		c := Conflict{Rule: rule}
		if least != nil {
			c.Costs = more(least.Measure.Unmet, best.Measure.Unmet)
		}
		list = append(list, c)
	}
	return list
}

func percent(r si.Ratio) string {
	return (si.Quantity{SI: float64(r), Kind: si.KindRatio}).Text("%", 1, si.Down)
}

func speedText(v si.Speed) string {
	return (si.Quantity{SI: float64(v), Kind: si.KindSpeed}).Text("mm/s", 1, si.Down)
}

func dataText(n si.Bytes) string {
	return (si.Quantity{SI: float64(n), Kind: si.KindBytes}).Text("MB", 0, si.Up)
}
