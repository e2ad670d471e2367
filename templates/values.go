package templates

import (
	"fmt"
	"strings"

	"soundwrit/internal/technique"
)

// values gives the computed numbers of a technique by their ids.
type values struct {
	t *technique.Technique
	p *printer
}

// text prints a value with its unit, and in the second unit system too where
// the document states both.
func (x values) text(id string) (md, error) {
	v, err := x.find(id)
	if err != nil {
		return "", err
	}
	return x.both(v), nil
}

func (x values) both(v technique.Value) md {
	text := v.Text()
	if second := v.Both(); second != "" && x.p.system == "both" {
		text += " (" + second + ")"
	}
	return md(x.p.tongue.comma(minus(text)))
}

func (x values) find(id string) (technique.Value, error) {
	v, ok := x.t.Value(id)
	switch {
	case !ok:
		return v, fmt.Errorf("there is no value %s", id)
	case !finite(v.Q.SI):
		return v, fmt.Errorf("the value %s is not known", id)
	}
	return v, nil
}

func (x values) has(id string) bool {
	_, ok := x.t.Value(id)
	return ok
}

// row is a table row of two cells: the value's name and symbol, and the value.
func (x values) row(id string) (md, error) {
	v, err := x.find(id)
	if err != nil {
		return "", err
	}
	return "| " + x.named(v.Name, v.Symbol) + " | " + x.both(v) + " |", nil
}

// called is row under a name that says more than the value's own.
func (x values) called(id, name string) (md, error) {
	v, err := x.find(id)
	if err != nil {
		return "", err
	}
	return "| " + x.named(name, v.Symbol) + " | " + x.both(v) + " |", nil
}

// optional is row, or nothing where the technique has no such value.
func (x values) optional(id string) (md, error) {
	if !x.has(id) {
		return "", nil
	}
	return x.row(id)
}

// named is a value's name in the document's language, with its symbol.
func (x values) named(name, symbol string) md {
	name = x.p.tongue.Decimal(x.p.tongue.Say(name))
	if symbol != "" {
		name += ", " + symbol
	}
	return esc(capital(name))
}

// chapter is the calculations of one group, or of the job as a whole.
type chapter struct {
	Number int
	Title  md
	Rows   []calculation
}

// calculation is one computed value with all that is needed to repeat it, or
// several that one formula gives for many beams, elements or faces.
type calculation struct {
	Name, Formula, Inputs, Result md
	Source                        int // number in the list of sources

	name        string
	least, most technique.Value
	count       int
}

// calculations lists every value that has a formula, by group, and the sources
// they name.
func (x values) calculations() (chapters []chapter, sources []md, err error) {
	chapters = []chapter{{Title: "Part, coverage and scan"}}
	for _, g := range x.t.Groups {
		chapters = append(chapters, chapter{Title: "Group " + esc(g.Set.Name)})
	}
	number := map[string]int{}
	type key struct {
		chapter         int
		symbol          string
		formula, inputs md
	}
	at := map[key]int{}
	for _, v := range x.t.Values {
		if v.Formula == "" {
			continue
		}
		if _, err := x.find(v.ID); err != nil {
			return nil, nil, err
		}
		c := calculation{Formula: esc(v.Formula), name: v.Name, least: v, most: v, count: 1}
		if c.Inputs, err = x.inputs(v); err != nil {
			return nil, nil, err
		}
		if number[v.Source] == 0 && v.Source != "" {
			sources = append(sources, esc(v.Source))
			number[v.Source] = len(sources)
		}
		c.Source = number[v.Source]
		in := x.groupOf(v.ID) + 1
		k := key{in, v.Symbol, c.Formula, c.Inputs}
		if i, ok := at[k]; ok && chapters[in].Rows[i].join(v) {
			continue
		}
		at[k] = len(chapters[in].Rows)
		chapters[in].Rows = append(chapters[in].Rows, c)
	}
	var filled []chapter
	for _, c := range chapters {
		for i := range c.Rows {
			row := &c.Rows[i]
			row.Name, row.Result = x.named(row.name, row.least.Symbol), x.results(*row)
		}
		if len(c.Rows) > 0 {
			c.Number = len(filled) + 1
			filled = append(filled, c)
		}
	}
	return filled, sources, nil
}

// join takes another result of the same formula in, if the names of both begin
// alike: "delay of active element 1", "delay of active element 2".
func (c *calculation) join(v technique.Value) bool {
	name := common(c.name, v.Name)
	if name == "" {
		return false
	}
	c.name = name
	c.count++
	if v.Q.SI < c.least.Q.SI {
		c.least = v
	}
	if v.Q.SI > c.most.Q.SI {
		c.most = v
	}
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
	for n < len(x) && n < len(y) && x[n] == y[n] {
		n++
	}
	for n > 0 && (x[n-1] == "at" || x[n-1] == "of" || x[n-1] == "the") {
		n--
	}
	return strings.TrimRight(strings.Join(x[:n], " "), ":,")
}

// results is the result, or the range of the results of many.
func (x values) results(c calculation) md {
	switch least, most := x.both(c.least), x.both(c.most); {
	case c.count == 1:
		return least
	case least == most:
		return least + md(fmt.Sprintf(", %d times", c.count))
	default:
		return least + " to " + most + md(fmt.Sprintf(", %d values", c.count))
	}
}

func (x values) inputs(v technique.Value) (md, error) {
	var all []string
	for _, in := range v.Inputs {
		number, err := significant(in.Q, in.Unit)
		if err != nil {
			return "", fmt.Errorf("the value %s, input %s: %w", v.ID, in.Symbol, err)
		}
		all = append(all, string(esc(in.Symbol))+" = "+x.p.tongue.comma(string(number)))
	}
	return md(strings.Join(all, "; ")), nil
}

// groupOf returns the index of the group that a value belongs to, or -1.
func (x values) groupOf(id string) int {
	best, length := -1, 0
	for i, g := range x.t.Groups {
		if prefix := valuePrefix(g.Set.Name); strings.HasPrefix(id, prefix) && len(prefix) > length {
			best, length = i, len(prefix)
		}
	}
	return best
}

func valuePrefix(group string) string { return "groups." + group + "." }
