package templates

import (
	"math"
	"testing"

	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// Two codes limit the increment: 2 mm and 1 mm. It is one variable, both hold,
// so the limit is 1 mm, with both clauses; where the codes differ in which change
// counts, any does.
func TestVariableOfTwoCodesIsOneRow(t *testing.T) {
	mm := func(x float64) si.Quantity { return si.Quantity{SI: x * 1e-3, Kind: si.KindLength} }
	open := mm(math.NaN())
	a := rules.Result{Book: "a", Rule: "x", Code: "A:1", Clause: "7", Essential: true, Verdict: rules.Met, AnsweredIn: "11.1",
		Variable: "increment", Change: "increase", OnChange: "demonstrate again", Actual: "0.5 mm", Limit: "at most 2 mm", Low: open, High: mm(2)}
	b := a
	b.Book, b.Code, b.Clause, b.Limit, b.High, b.OnChange = "b", "B:2", "8", "at most 1 mm", mm(1), "qualify again"
	other, idle, plain := a, a, a
	other.Variable, other.Actual, other.Limit, other.High = "instrument", "", "stated", open
	idle.Variable, idle.Verdict = "idle", rules.NotApplicable
	plain.Variable, plain.Essential = "plain", false
	tech := &technique.Technique{Job: &schema.Job{}, Rules: []rules.Result{a, other, idle, plain, b}}
	got := variables(tech)
	want := []variable{
		{Name: "Increment", Here: "0.5 mm", Where: "[11.1](#section:11.1?)", Counts: "increase", Limit: "at most 1 mm", Clauses: "A:1, 7; B:2, 8"},
		{Name: "Instrument", Where: "[11.1](#section:11.1?)", Counts: "increase", Limit: "–", Clauses: "A:1, 7"},
	}
	if len(got) != len(want) || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("got\n%+v\nwant\n%+v", got, want)
	}
	tech.Rules[4].Change = ""
	if got := variables(tech); got[0].Counts != "any" {
		t.Errorf("two codes differ, and %q counts", got[0].Counts)
	}
	takes := consequences(tech)
	if len(takes) != 2 || takes[0] != (consequence{"A:1", "demonstrate again"}) || takes[1] != (consequence{"B:2", "qualify again"}) {
		t.Errorf("consequences %+v", takes)
	}
}

// A limit at each end is the stricter one of any rule; where two ranges give them, the
// other ends of these say nothing.
func TestStrictestOfRanges(t *testing.T) {
	rule := func(limit string, low, high float64) rules.Result {
		return rules.Result{Limit: limit, Low: si.Quantity{SI: low}, High: si.Quantity{SI: high}}
	}
	open := math.NaN()
	wide, late, most, least := rule("2 mm to 8 mm", 2, 8), rule("5 mm to 12 mm", 5, 12), rule("at most 7 mm", open, 7), rule("at least 3 mm", 3, open)
	for want, list := range map[string][]rules.Result{
		"2 mm to 8 mm":                {wide},
		"at least 5 mm; at most 8 mm": {wide, late},
		"at least 2 mm; at most 7 mm": {wide, most},
		"at least 3 mm; at most 8 mm": {least, wide},
		"at least 3 mm; at most 7 mm": {most, least},
		"at least 5 mm; at most 7 mm": {wide, late, most, least},
		"at most 7 mm":                {most},
		"another; at least 3 mm":      {rule("another", open, open), least},
	} {
		if got := strictest(list); string(got) != want {
			t.Errorf("%q, not %q", got, want)
		}
	}
}

// Groups that agree share a row, others do not.
func TestVariableOfGroups(t *testing.T) {
	r := rules.Result{Book: "a", Rule: "x", Code: "A:1", Essential: true, Verdict: rules.Met, AnsweredIn: "9", Variable: "frequency", Actual: "4 MHz", Limit: "stated",
		Low: si.Quantity{SI: math.NaN()}, High: si.Quantity{SI: math.NaN()}}
	var list []rules.Result
	for _, g := range [][2]string{{"upper", "4 MHz"}, {"lower", "4 MHz"}, {"root", "5 MHz"}} {
		r.Subject, r.Actual = g[0], g[1]
		list = append(list, r)
	}
	got := variables(&technique.Technique{Job: &schema.Job{}, Rules: list})
	if len(got) != 2 || got[0].Subject != "upper, lower" || got[1].Subject != "root" {
		t.Errorf("%+v", got)
	}
}
