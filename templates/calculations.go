package templates

import (
	"fmt"
	"slices"
	"strings"

	"soundwrit/internal/technique"
)

// chapter is the calculations of all groups, or those of the job as a whole.
type chapter struct {
	Number int
	Title  md
	Rows   []calculation
}

// calculation is a row of annex B. A formula that gives one result has one row,
// with all that is needed to repeat it. One that gives more, for groups, beams
// or reflectors, has a row that leads, without a result, which holds the numbers
// that all have in common, and under it a row for each, without the formula.
type calculation struct {
	Name, Formula, Inputs, Result md
	Source                        int // number in the list of sources
}

// family is all that one formula gives.
type family struct {
	name, symbol, formula string
	source                int
	results               []result
}

// result is a number that a formula gives, or the least and the greatest of
// those that it gives for many beams, elements or faces from the same numbers.
type result struct {
	groups      []string // that it holds for
	name        string
	inputs      []md
	least, most technique.Value
	count       int
}

// calculations lists every value that has a formula, and the sources they name.
func (x values) calculations() (chapters []chapter, sources []md, err error) {
	chapters = []chapter{{Title: "Part, coverage and scan"}, {Title: "Groups"}}
	families := make([][]*family, len(chapters))
	number := map[string]int{}
	type key struct {
		chapter         int
		symbol, formula string
		source          int
	}
	alike := map[key][]*family{}
	for _, v := range x.t.Values {
		if v.Formula == "" {
			continue
		}
		if _, err := x.find(v.ID); err != nil {
			return nil, nil, err
		}
		r := result{name: v.Name, least: v, most: v, count: 1}
		if r.inputs, err = x.inputs(v); err != nil {
			return nil, nil, err
		}
		if number[v.Source] == 0 && v.Source != "" {
			sources = append(sources, esc(v.Source))
			number[v.Source] = len(sources)
		}
		k := key{0, v.Symbol, v.Formula, number[v.Source]}
		if g := x.groupOf(v.ID); g >= 0 {
			k.chapter, r.groups = 1, []string{x.t.Groups[g].Set.Name}
		}
		if !slices.ContainsFunc(alike[k], func(f *family) bool { return f.join(r) }) {
			f := &family{v.Name, v.Symbol, v.Formula, k.source, []result{r}}
			alike[k] = append(alike[k], f)
			families[k.chapter] = append(families[k.chapter], f)
		}
	}
	var filled []chapter
	for i, c := range chapters {
		for _, f := range families[i] {
			c.Rows = append(c.Rows, x.rows(f)...)
		}
		if len(c.Rows) > 0 {
			c.Number = len(filled) + 1
			filled = append(filled, c)
		}
	}
	return filled, sources, nil
}

// join takes another result of the same formula in, if its name begins like the
// others': "delay of active element 1", "delay of active element 2". Results of
// a group from the same numbers are told together.
func (f *family) join(r result) bool {
	name := common(f.name, r.name)
	if name == "" {
		return false
	}
	f.name = name
	for i := range f.results {
		one := &f.results[i]
		if !slices.Equal(one.groups, r.groups) || !slices.Equal(one.inputs, r.inputs) {
			continue
		}
		one.name = common(one.name, r.name)
		one.count++
		if r.least.Q.SI < one.least.Q.SI {
			one.least = r.least
		}
		if r.most.Q.SI > one.most.Q.SI {
			one.most = r.most
		}
		return true
	}
	f.results = append(f.results, r)
	return true
}

// common returns the words with which both names begin, without a preposition
// left at the end.
func common(a, b string) string {
	if a == b {
		return a
	}
	x, y := strings.Fields(a), strings.Fields(b)
	n := 0
	for n < len(x) && n < len(y) && strings.TrimRight(x[n], ":,") == strings.TrimRight(y[n], ":,") {
		n++
	}
	for n > 0 && (x[n-1] == "at" || x[n-1] == "of" || x[n-1] == "the") {
		n--
	}
	return strings.TrimRight(strings.Join(x[:n], " "), ":,")
}

// rows are those of a formula.
func (x values) rows(f *family) []calculation {
	results := x.acrossGroups(f.results)
	lead := calculation{Name: x.named(f.name, f.symbol), Formula: esc(f.formula), Source: f.source}
	if len(results) == 1 {
		if groups := x.some(results[0].groups); groups != "" {
			lead.Name += " (" + groups + ")"
		}
		lead.Inputs, lead.Result = results[0].from(nil), x.span(results[0])
		return []calculation{lead}
	}
	shared := slices.DeleteFunc(slices.Clone(results[0].inputs), func(in md) bool {
		return slices.ContainsFunc(results, func(r result) bool { return !slices.Contains(r.inputs, in) })
	})
	lead.Inputs = result{inputs: shared, count: 1}.from(nil)
	rows := []calculation{lead}
	for _, r := range results {
		rows = append(rows, calculation{Name: or(x.holdsFor(r, f.name), "–"), Inputs: r.from(shared), Result: x.span(r)})
	}
	return rows
}

// acrossGroups tells what several groups have alike once.
func (x values) acrossGroups(all []result) []result {
	var out []result
	for _, r := range all {
		i := slices.IndexFunc(out, func(o result) bool {
			return o.name == r.name && slices.Equal(o.inputs, r.inputs) && x.span(o) == x.span(r)
		})
		if i < 0 {
			out = append(out, r)
			continue
		}
		out[i].groups = slices.Concat(out[i].groups, r.groups)
	}
	return out
}

// some names groups, unless they are all.
func (x values) some(groups []string) md {
	if len(groups) == len(x.t.Groups) {
		return ""
	}
	return esc(strings.Join(groups, ", "))
}

// holdsFor is the group, beam or reflector that a result holds for: what its
// name has over that of all.
func (x values) holdsFor(r result, name string) md {
	own := strings.TrimLeft(strings.TrimPrefix(r.name, name), " ,:")
	text := esc(x.p.tongue.Decimal(x.p.tongue.Say(own)))
	groups := x.some(r.groups)
	switch {
	case groups == "" && text == "" && len(r.groups) > 1:
		return "all groups"
	case groups == "" || text == "":
		return groups + text
	}
	return groups + ": " + text
}

// span is the result, or the range of the results of many.
func (x values) span(r result) md {
	least, most := x.both(r.least), x.both(r.most)
	if least == most {
		return least
	}
	return least + " to " + most
}

// from is what a result is computed from, but for what is said already, and how
// many there are of it.
func (r result) from(said []md) md {
	var texts []string
	for _, in := range r.inputs {
		if !slices.Contains(said, in) {
			texts = append(texts, string(in))
		}
	}
	switch {
	case r.count == 1:
	case r.least.Text() == r.most.Text():
		texts = append(texts, fmt.Sprintf("%d times", r.count))
	default:
		texts = append(texts, fmt.Sprintf("%d values", r.count))
	}
	return md(strings.Join(texts, "; "))
}

// inputs are the numbers that a value is computed from.
func (x values) inputs(v technique.Value) ([]md, error) {
	var all []md
	for _, in := range v.Inputs {
		number, err := significant(in.Q, in.Unit)
		if err != nil {
			return nil, fmt.Errorf("the value %s, input %s: %w", v.ID, in.Symbol, err)
		}
		all = append(all, esc(in.Symbol)+" = "+md(x.p.tongue.comma(string(number))))
	}
	return all, nil
}
