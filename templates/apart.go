package templates

import (
	"fmt"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// differing is a value to which several codes set different limits.
type differing struct{ Name, Subject, Limits, Here, Strictest md }

// apart lists the values to which two codes or more that the job names set
// different limits, each with its clause, and which limit is worked to. Advice
// and what does not apply here set none.
func apart(t *technique.Technique) []differing {
	type key struct{ value, subject string }
	var order []key
	of := map[key][]rules.Result{}
	for _, r := range t.Rules {
		if r.Judges == "" || r.Level != diag.Shall || r.Verdict == rules.NotApplicable || !r.Low.Known() && !r.High.Known() {
			continue
		}
		k := key{r.Judges, r.Subject}
		if !strings.HasPrefix(r.Judges, "group.") && !strings.HasPrefix(r.Judges, "person.") {
			k.subject = "" // it is the same for all of them, though one code asks it of each
		}
		if of[k] == nil {
			order = append(order, k)
		}
		of[k] = append(of[k], r)
	}
	var all []differing
	for _, k := range order {
		results := of[k]
		other := func(r rules.Result) bool { return r.Book != results[0].Book && r.Limit != results[0].Limit }
		if !slices.ContainsFunc(results, other) {
			continue
		}
		var limits []string
		for _, r := range results {
			limit := fmt.Sprintf("%s (%s)", r.Limit, strings.TrimSuffix(r.Code+", "+r.Clause, ", "))
			if !slices.Contains(limits, limit) {
				limits = append(limits, limit)
			}
		}
		all = append(all, differing{
			Name: esc(capital(results[0].Variable)), Subject: esc(k.subject), Limits: esc(minus(strings.Join(limits, "; "))),
			Here: here(results[0]), Strictest: strictest(results),
		})
	}
	return all
}
