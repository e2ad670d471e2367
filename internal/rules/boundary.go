package rules

import "fmt"

// Boundaries describes the cases at which the rule's answer turns, one line
// each, in the words of the book: what holds at the end of each step of a limit
// table and just past it, and that a value at its limit meets the rule.
func (r *Rule) Boundaries() []string {
	var lines []string
	for _, side := range []struct {
		limit *bound
		past  string
	}{{r.atLeast, "below"}, {r.atMost, "above"}} {
		if side.limit != nil {
			lines = append(lines, side.limit.boundaries(side.past)...)
		}
	}
	return lines
}

// boundaries describes a limit of which values on the side named are too much.
func (b *bound) boundaries(past string) []string {
	if b.by == nil {
		return []string{fmt.Sprintf("exactly %s is met, %s it is not", b.steps[0].limitText(), past)}
	}
	var lines []string
	for i, s := range b.steps {
		if s.end == "" {
			continue
		}
		end := s.end
		if s.endInch != "" {
			end += " (" + s.endInch + ")"
		}
		next := "no limit in the book"
		if i+1 < len(b.steps) {
			next = b.steps[i+1].limitText()
		}
		if s.including {
			lines = append(lines, fmt.Sprintf("%s of exactly %s: %s; just over it: %s", b.by.text, end, s.limitText(), next))
		} else {
			lines = append(lines, fmt.Sprintf("%s just under %s: %s; of exactly that: %s", b.by.text, end, s.limitText(), next))
		}
	}
	return append(lines, "exactly the limit is met, "+past+" it is not")
}

// limitText is the limit of a step, with its inch value where the code has one.
func (s step) limitText() string {
	if s.limitInch != nil {
		return s.limit.text + " (" + s.limitInch.text + ")"
	}
	return s.limit.text
}
