package templates

import (
	"fmt"
	"regexp"
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

// family is all that one formula gives under one name. A result with a symbol of
// its own, the first of some, has it in its row.
type family struct {
	name, symbol, formula string
	source                int
	results               []result
}

// result is a number that a formula gives, or the least and the greatest of
// those that it gives for many beams, elements or faces from the same numbers.
type result struct {
	symbol      string
	groups      []string // that it holds for
	of          []string // that it is of, each once
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
		chapter       int
		name, formula string // without the symbol in front of it
		source        int
	}
	alike := map[key]*family{}
	for _, v := range x.t.Values {
		if v.Formula == "" {
			continue
		}
		if _, err := x.find(v.ID); err != nil {
			return nil, nil, err
		}
		r := result{symbol: v.Symbol, of: []string{v.Of}, least: v, most: v, count: 1}
		if r.inputs, err = x.inputs(v); err != nil {
			return nil, nil, err
		}
		if number[v.Source] == 0 && v.Source != "" {
			sources = append(sources, esc(x.p.tongue.Decimal(x.p.tongue.sayPieces(v.Source, "; ", ": "))))
			number[v.Source] = len(sources)
		}
		k := key{0, v.Name, strings.TrimPrefix(v.Formula, v.Symbol+" = "), number[v.Source]}
		if g := x.groupOf(v.ID); g >= 0 {
			k.chapter, r.groups = 1, []string{x.t.Groups[g].Set.Name}
		}
		f := alike[k]
		if f == nil {
			f = &family{name: v.Name, source: k.source}
			alike[k] = f
			families[k.chapter] = append(families[k.chapter], f)
		}
		f.symbol, f.formula = v.Symbol, v.Formula
		f.add(r)
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

// add takes another result in. Results of a group from the same numbers are told
// together.
func (f *family) add(r result) {
	for i := range f.results {
		one := &f.results[i]
		if one.symbol != r.symbol || !slices.Equal(one.groups, r.groups) || !slices.Equal(one.inputs, r.inputs) {
			continue
		}
		one.count++
		if !slices.Contains(one.of, r.of[0]) {
			one.of = append(one.of, r.of[0])
		}
		if r.least.Q.SI < one.least.Q.SI {
			one.least = r.least
		}
		if r.most.Q.SI > one.most.Q.SI {
			one.most = r.most
		}
		return
	}
	f.results = append(f.results, r)
}

// rows are those of a formula.
func (x values) rows(f *family) []calculation {
	results := x.acrossGroups(f.results)
	lead := calculation{Name: labelled(x.p.says(f.name), f.symbol), Formula: esc(x.p.formula(f.formula)), Source: f.source}
	if len(results) == 1 {
		if len(results[0].of) > 2 {
			results[0].of = nil
		}
		if holds := x.holdsFor(results[0]); holds != "" {
			lead.Name += " (" + holds + ")"
		}
		lead.Inputs, lead.Result = x.from(results[0], nil), x.span(results[0])
		return []calculation{lead}
	}
	shared := slices.DeleteFunc(slices.Clone(results[0].inputs), func(in md) bool {
		return slices.ContainsFunc(results, func(r result) bool { return !slices.Contains(r.inputs, in) })
	})
	lead.Inputs = x.from(result{inputs: shared, count: 1}, nil)
	rows := []calculation{lead}
	for _, r := range results {
		name := or(x.holdsFor(r), md(x.p.says("all groups")))
		if r.symbol != f.symbol {
			name += ", " + esc(r.symbol)
		}
		rows = append(rows, calculation{Name: name, Inputs: x.from(r, shared), Result: x.span(r)})
	}
	return rows
}

// acrossGroups tells what several groups have alike once.
func (x values) acrossGroups(all []result) []result {
	var out []result
	for _, r := range all {
		i := slices.IndexFunc(out, func(o result) bool {
			return o.symbol == r.symbol && slices.Equal(o.of, r.of) && slices.Equal(o.inputs, r.inputs) && x.span(o) == x.span(r)
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

// holdsFor is the group, and what of it, that a result holds for.
func (x values) holdsFor(r result) md {
	groups := x.some(r.groups)
	of := r.of
	switch {
	case len(of) <= 2:
	case groups == "":
		of = []string{fromTo(of)}
	default:
		of = nil
	}
	var texts []string
	for _, one := range of {
		if one != "" {
			texts = append(texts, x.p.says(one))
		}
	}
	text := esc(strings.Join(texts, "; "))
	if groups == "" || text == "" {
		return groups + text
	}
	return groups + ": " + text
}

// fromTo names a series by its ends, "beam of 40° to 70°", where it is one of
// numbers; otherwise by the words with which all begin.
func fromTo(all []string) string {
	words := strings.Fields(all[0])
	for _, one := range all[1:] {
		n := 0
		for other := strings.Fields(one); n < len(words) && n < len(other) && words[n] == other[n]; {
			n++
		}
		words = words[:n]
	}
	begin := strings.Join(words, " ")
	if last := strings.TrimSpace(strings.TrimPrefix(all[len(all)-1], begin)); numeric(last) && !strings.Contains(last, " ") {
		return all[0] + " to " + last
	}
	return begin
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
func (x values) from(r result, said []md) md {
	var texts []string
	for _, in := range r.inputs {
		if !slices.Contains(said, in) {
			texts = append(texts, string(in))
		}
	}
	switch {
	case r.count == 1:
	case r.least.Text() == r.most.Text():
		texts = append(texts, x.p.says(fmt.Sprintf("%d times", r.count)))
	default:
		texts = append(texts, x.p.says(fmt.Sprintf("%d values", r.count)))
	}
	return md(strings.Join(texts, "; "))
}

// formula is a formula in the document's language, with its decimal sign.
func (p *printer) formula(text string) string {
	if p.tongue == nil {
		return text
	}
	return decimalPoint.ReplaceAllString(p.tongue.sayPieces(text, "; ", ", "), "$1,$2")
}

var decimalPoint = regexp.MustCompile(`(\d)\.(\d)`)

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
