package templates

import (
	"cmp"
	"slices"
	"strings"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// variable is an essential variable: what is approved, which change of it
// counts, and within what the codes would let it change at all.
type variable struct {
	Name, Subject, Here, Where, Counts, Limit, Clauses md
}

// consequence is what a change of an essential variable takes, by one code.
type consequence struct{ Code, Takes md }

// variables lists the essential variables. A variable that several rules judge,
// of one book or of several, is one row: all of them hold.
func variables(t *technique.Technique) []variable {
	type key struct{ variable, subject string }
	var order []key
	of := map[key][]rules.Result{}
	for _, r := range t.Rules {
		if !r.Essential || r.Verdict == rules.NotApplicable {
			continue
		}
		k := key{r.Variable, r.Subject}
		if of[k] == nil {
			order = append(order, k)
		}
		of[k] = append(of[k], r)
	}
	var all []variable
	at := map[variable]int{} // rows but for their subject
	for _, k := range order {
		results := of[k]
		if several := slices.ContainsFunc(order, func(o key) bool { return o.variable == k.variable && o != k }); several {
			for i := range results {
				results[i].Subject = "" // the section of all groups, since rows may join
			}
		}
		v := variableOf(t, results)
		i, joins := at[v]
		if !joins {
			at[v] = len(all)
			v.Subject = esc(k.subject)
			all = append(all, v)
			continue
		}
		all[i].Subject += ", " + esc(k.subject)
	}
	return all
}

func variableOf(t *technique.Technique, results []rules.Result) variable {
	first := results[0]
	actual, change := md(""), first.Change
	var clauses []string
	for _, r := range results {
		if r.Actual != "" {
			actual = cmp.Or(actual, here(r))
		}
		if r.Change != change {
			change = "" // where two rules differ, any change counts
		}
		if clause := strings.TrimSuffix(r.Code+", "+r.Clause, ", "); !slices.Contains(clauses, clause) {
			clauses = append(clauses, clause)
		}
	}
	v := variable{Name: esc(capital(first.Variable)), Counts: md(cmp.Or(change, "any")), Limit: strictest(results), Clauses: esc(strings.Join(clauses, "; "))}
	if v.Where = where(t, first); actual != "as stated there" {
		v.Here = actual
	}
	return v
}

// strictest is the strictest limit at each end, or else what the rules permit
// in words. A value that need only be stated has no limit.
func strictest(results []rules.Result) md {
	var low, high *rules.Result
	var words []string
	add := func(limit string) {
		if !slices.Contains(words, limit) {
			words = append(words, limit)
		}
	}
	for i := range results {
		r := &results[i]
		if r.Low.Known() && (low == nil || r.Low.SI > low.Low.SI) {
			low = r
		}
		if r.High.Known() && (high == nil || r.High.SI < high.High.SI) {
			high = r
		}
		open := r.Limit == "" || r.Limit == "stated" || r.Limit == "confirmed by a person" || r.Limit == "written in the document"
		if !open && !r.Low.Known() && !r.High.Known() {
			add(r.Limit)
		}
	}
	switch {
	case low == nil && high == nil:
	case low == nil || high == nil || low.Limit == high.Limit:
		add(cmp.Or(low, high).Limit)
	default: // of a range, the end that holds
		least, most := low.Limit, high.Limit
		if from, _, both := strings.Cut(least, " to "); both {
			least = "at least " + from
		}
		if _, to, both := strings.Cut(most, " to "); both {
			most = "at most " + to
		}
		add(least)
		add(most)
	}
	if words == nil {
		return "–"
	}
	return esc(minus(strings.Join(words, "; ")))
}

// consequences says, by code, what a change that counts takes.
func consequences(t *technique.Technique) []consequence {
	var all []consequence
	for _, r := range t.Rules {
		c := consequence{esc(r.Code), esc(r.OnChange)}
		if r.Essential && r.Verdict != rules.NotApplicable && !slices.Contains(all, c) {
			all = append(all, c)
		}
	}
	return all
}
