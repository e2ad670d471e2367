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
	name := x.p.says(v.Name)
	if v.Of != "" {
		name += ", " + x.p.says(v.Of)
	}
	return "| " + labelled(name, v.Symbol) + " | " + x.both(v) + " |", nil
}

// called is row under a name that says more than the value's own.
func (x values) called(id, name string) (md, error) {
	v, err := x.find(id)
	if err != nil {
		return "", err
	}
	return "| " + labelled(x.p.says(name), v.Symbol) + " | " + x.both(v) + " |", nil
}

// optional is row, or nothing where the technique has no such value.
func (x values) optional(id string) (md, error) {
	if !x.has(id) {
		return "", nil
	}
	return x.row(id)
}

// says is a text of the program in the document's language.
func (p *printer) says(text string) string { return p.tongue.Decimal(p.tongue.Say(text)) }

// labelled is a value's name with its symbol.
func labelled(name, symbol string) md {
	if symbol != "" {
		name += ", " + symbol
	}
	return esc(capital(name))
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
