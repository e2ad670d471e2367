package templates

import (
	"slices"
	"strings"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// restate puts what the rule books say into the language, ahead of the view: once
// escaped and with a decimal comma a text is found no more. Words that the view
// compares stay, and so do the texts of a house's own book.
func (t *Tongue) restate(english *technique.Technique) *technique.Technique {
	if t == nil {
		return english
	}
	other := *english
	other.Rules, other.Findings, other.Books = slices.Clone(other.Rules), slices.Clone(other.Findings), slices.Clone(other.Books)
	house := map[string]bool{}
	for i := range other.Books {
		b := &other.Books[i]
		if house[b.ID] = b.Kind == "house"; house[b.ID] {
			continue
		}
		b.Caution, b.NotCovered = t.Say(b.Caution), slices.Clone(b.NotCovered)
		for j, text := range b.NotCovered {
			b.NotCovered[j] = t.Say(text)
		}
	}
	other.Acceptance = slices.Clone(other.Acceptance)
	for i := range other.Acceptance {
		a := &other.Acceptance[i]
		a.Notes = slices.Clone(a.Notes)
		for j, note := range a.Notes {
			a.Notes[j] = t.Say(note)
		}
		a.Slender.Head = slices.Clone(a.Slender.Head)
		for j, head := range a.Slender.Head {
			a.Slender.Head[j] = t.Say(head)
		}
	}
	for i := range other.Rules {
		r := &other.Rules[i]
		if r.Verdict == rules.Unchecked { // a reason of the program, not of the book
			r.Why = t.Say(fact.ReplaceAllStringFunc(r.Why, func(text string) string { return t.Say(fact.FindStringSubmatch(text)[1]) }))
		}
		if house[r.Book] {
			continue
		}
		r.Asks, r.Variable, r.Clause = t.Say(r.Asks), t.Say(r.Variable), t.Say(r.Clause)
		if r.Verdict == rules.NotApplicable {
			r.Why = t.Say(r.Why)
		}
	}
	for i := range other.Findings {
		f := &other.Findings[i]
		if book, _, _ := strings.Cut(f.Rule, "/"); !house[book] {
			f.Message, f.Actual, f.Remedy, f.Clause = t.Say(f.Message), t.Decimal(t.Say(f.Actual)), t.Say(f.Remedy), t.Say(f.Clause)
		}
	}
	return &other
}
