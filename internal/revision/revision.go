// Package revision compares two techniques: what a person changed in the job,
// which computed quantities moved because of it, which findings came and went,
// and which essential variables of the codes it touches, so that the technique
// must be qualified or approved again. It compares what the jobs mean and what
// follows from them, not their text. It reads no file and prints nothing.
package revision

import (
	"math"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// Comparison is all that differs between two techniques.
type Comparison struct {
	Changes      []Change
	Consequences []Consequence
	Variables    []Variable     // essential variables that moved
	New, Gone    []diag.Finding // in the order of the file
	Sections     []string       // of the document, that read differently; the caller sets them
}

// Change is a value of the job that differs.
type Change struct {
	schema.Change
	Essential bool // an essential variable that counts is judged at this place, or the code itself changed
}

// Consequence is a computed quantity that moved. One that only one of the
// techniques has is nil in the other.
type Consequence struct {
	ID            string
	Before, After *technique.Value
}

// Variable is an essential variable of a code that moved.
type Variable struct {
	Code, Clause, Rule, Subject string
	Name                        string // what is judged, in words
	Before, After               string // as printed; "not applicable" where the rule does not ask for it
	Counts                      bool   // in a direction, or of a kind, that the code names
	Takes                       string // what a change that counts takes
	judges                      string // as the rule book writes it
	paths                       []string
}

// Essential reports whether anything changed that asks for a qualification or
// an approval again.
func (c *Comparison) Essential() bool {
	return slices.ContainsFunc(c.Changes, func(x Change) bool { return x.Essential }) ||
		slices.ContainsFunc(c.Variables, func(v Variable) bool { return v.Counts })
}

// Empty reports whether nothing at all differs.
func (c *Comparison) Empty() bool {
	return len(c.Changes) == 0 && len(c.Consequences) == 0 && len(c.Variables) == 0 && len(c.New) == 0 && len(c.Gone) == 0
}

// Compare compares two techniques that were both computed.
func Compare(before, after *technique.Technique) *Comparison {
	c := &Comparison{}
	changed := schema.Changes(before.Job, after.Job)
	c.Consequences = consequences(before, after)
	c.Variables = variables(before, after, changed)
	for _, x := range changed {
		c.Changes = append(c.Changes, Change{x, essential(x.Path, c.Variables, before.Job, after.Job)})
	}
	c.New = onlyIn(after.Findings, before.Findings)
	c.Gone = onlyIn(before.Findings, after.Findings)
	return c
}

// essential reports whether a place in the job is that of a variable that counts.
func essential(path string, moved []Variable, jobs ...*schema.Job) bool {
	if strings.HasPrefix(path, "codes.procedure") {
		return true // another code, edition or testing level: every variable is judged anew
	}
	return slices.ContainsFunc(moved, func(v Variable) bool {
		return v.Counts && slices.ContainsFunc(v.paths, func(p string) bool { return within(path, p) || ofProbe(path, p, v.judges, jobs) })
	})
}

// ofProbe reports whether a place lies in the probe or wedge that a group names
// at another, which a variable is judged at. Where what is judged has the name of
// a key, as frequency has, only that key is meant.
func ofProbe(path, of, judges string, jobs []*schema.Job) bool {
	parts := strings.Split(path, ".")
	if len(parts) < 3 || parts[0] != "equipment" {
		return false
	}
	named := func(job *schema.Job) bool {
		return slices.ContainsFunc(job.Groups, func(g schema.Group) bool {
			at := "groups." + g.Name
			return of == at+".probe" && (parts[1] == "probes" || parts[1] == "single_probes") && parts[2] == g.Probe ||
				of == at+".wedge" && parts[1] == "wedges" && parts[2] == g.Wedge
		})
	}
	if !slices.ContainsFunc(jobs, named) {
		return false
	}
	key, isKey := strings.CutPrefix(judges, "group.")
	isKey = isKey && slices.Contains([]string{"frequency", "elements", "pitch", "elevation"}, key)
	return !isKey || parts[len(parts)-1] == key || len(parts) == 3
}

// within reports whether a place of the job lies at or below another. The top
// keys are too wide to say anything.
func within(path, of string) bool {
	return strings.Contains(of, ".") && (path == of || strings.HasPrefix(path, of+"."))
}

// consequences lists the quantities that differ, in the order of the later
// technique, then those that are gone. Quantities that are a value of the job
// itself stand under the changes.
func consequences(before, after *technique.Technique) []Consequence {
	var list []Consequence
	for i := range after.Values {
		v := &after.Values[i]
		old, ok := before.Value(v.ID)
		switch {
		case !ok:
			list = append(list, Consequence{ID: v.ID, After: v})
		case !sameNumber(old.Q.SI, v.Q.SI):
			list = append(list, Consequence{v.ID, &old, v})
		}
	}
	for i := range before.Values {
		v := &before.Values[i]
		if _, ok := after.Value(v.ID); !ok {
			list = append(list, Consequence{ID: v.ID, Before: v})
		}
	}
	return list
}

// sameNumber allows for float noise; two unknowns are the same.
func sameNumber(a, b float64) bool {
	if math.IsNaN(a) || math.IsNaN(b) {
		return math.IsNaN(a) == math.IsNaN(b)
	}
	return a == b || math.Abs(a-b) <= 1e-9*max(math.Abs(a), math.Abs(b))
}

// ruleKey is one rule, asked of one subject.
type ruleKey struct{ book, rule, subject string }

// variables lists the essential variables that moved, of the books that judge
// both techniques: what a book that came or went asks for stands under codes.
func variables(before, after *technique.Technique, changed []schema.Change) []Variable {
	old := map[ruleKey]*rules.Result{}
	books := map[string]bool{}
	for i := range before.Rules {
		r := &before.Rules[i]
		old[ruleKey{r.Book, r.Rule, r.Subject}] = r
		books[r.Book] = true
	}
	var list []Variable
	add := func(a, b *rules.Result) {
		if v, ok := variable(a, b, changed); ok {
			list = append(list, v)
		}
	}
	seen := map[ruleKey]bool{}
	kept := map[string]bool{}
	for i := range after.Rules {
		r := &after.Rules[i]
		k := ruleKey{r.Book, r.Rule, r.Subject}
		seen[k], kept[r.Book] = true, true
		if books[r.Book] {
			add(old[k], r)
		}
	}
	for i := range before.Rules {
		r := &before.Rules[i]
		if k := (ruleKey{r.Book, r.Rule, r.Subject}); kept[r.Book] && !seen[k] {
			add(r, nil)
		}
	}
	return list
}

// variable compares what one rule judged before and after; either may be nil.
func variable(a, b *rules.Result, changed []schema.Change) (Variable, bool) {
	asked := func(r *rules.Result) bool { return r != nil && r.Verdict != rules.NotApplicable }
	r := b
	if r == nil {
		r = a
	}
	if !r.Essential || !asked(a) && !asked(b) {
		return Variable{}, false
	}
	v := Variable{
		Code: r.Code, Clause: r.Clause, Rule: r.Book + "/" + r.Rule, Subject: r.Subject, Name: r.Variable,
		Before: printed(a), After: printed(b), Counts: true, Takes: r.OnChange, judges: r.Judges, paths: r.Paths,
	}
	if asked(a) != asked(b) {
		return v, true
	}
	x, isNumber := a.Value.(float64)
	y, both := b.Value.(float64)
	switch {
	case isNumber && both:
		// The document states a variable as it is printed: what cannot be told
		// apart there has not moved.
		if sameNumber(x, y) || v.Before == v.After {
			return v, false
		}
		v.Counts = !(r.Change == "increase" && y < x || r.Change == "decrease" && y > x)
		return v, true
	case a.Value == nil && b.Value == nil:
		// What a person must confirm has no value: the places it is about decide.
		touched := slices.ContainsFunc(changed, func(c schema.Change) bool {
			return slices.ContainsFunc(r.Paths, func(p string) bool { return within(c.Path, p) })
		})
		return v, touched
	}
	return v, !sameValue(a.Value, b.Value)
}

// printed is the value of a rule as its row of the document prints it.
func printed(r *rules.Result) string {
	switch {
	case r == nil, r.Verdict == rules.NotApplicable:
		return "not applicable"
	case r.Actual == "":
		return "not known"
	}
	return r.Actual
}

func sameValue(a, b any) bool {
	x, isList := a.([]string)
	y, both := b.([]string)
	if isList && both {
		x, y = slices.Sorted(slices.Values(x)), slices.Sorted(slices.Values(y))
		return slices.Equal(x, y)
	}
	return !isList && !both && a == b
}

// onlyIn lists the findings that the other list does not have.
func onlyIn(list, other []diag.Finding) []diag.Finding {
	type key struct{ rule, path, subject, deviation string }
	of := func(f diag.Finding) key { return key{f.Rule, f.Path, f.Subject, f.Deviation} }
	has := map[key]bool{}
	for _, f := range other {
		has[of(f)] = true
	}
	var only []diag.Finding
	for _, f := range list {
		if !has[of(f)] {
			only = append(only, f)
		}
	}
	return only
}
