package rules

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// expression compiles the text of a node. An error is a finding at the
// character of the book that is wrong; the expression is then empty, so that
// reading goes on.
func (r *reader) expression(node *yaml.Node, want reflect.Kind, each string) *expression {
	e, err := r.language.compile(strings.TrimSpace(node.Value), want)
	if err == nil {
		for _, name := range e.facts {
			r.scope(node, name, each)
		}
		return e
	}
	r.expressionFault(node, err, "")
	return &expression{text: node.Value}
}

func (r *reader) expressionFault(node *yaml.Node, err error, also string) {
	at := diag.Position{File: r.file, Line: node.Line, Column: node.Column}
	var fault *expressionError
	if errors.As(err, &fault) && node.Style&(yaml.FoldedStyle|yaml.LiteralStyle) == 0 {
		at.Column += fault.offset
		if node.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
			at.Column++
		}
	}
	actual := node.Value
	if len(actual) > longest {
		actual = ""
	}
	rule, limit := "book-expression", "an expression over facts"+also
	if strings.HasPrefix(err.Error(), "no fact is called") {
		rule, limit = "book-unknown-fact", "a fact of the vocabulary"+also
	}
	r.findings = append(r.findings, diag.Finding{
		Rule: rule, Level: diag.Error, At: at, Message: err.Error(), Actual: actual, Limit: limit, Remedy: "correct the rule book",
	})
}

// scope refuses a fact of a repeating scope in a rule that is not asked for
// each of them.
func (r *reader) scope(node *yaml.Node, name, each string) {
	scope, _, _ := strings.Cut(name, ".")
	if repeating(scope) && scope != each {
		r.fail(node, "book-scope", fmt.Sprintf("%s exists once for each %s, but the rule is not asked for each %s", name, scope, scope), name, "each: "+scope)
	}
}

// amount reads one limit: a quantity with its unit, or an expression.
func (r *reader) amount(node *yaml.Node, kind si.Kind, each string) *amount {
	if node.Kind != yaml.ScalarNode {
		r.fail(node, "book-shape", "a limit is neither a quantity nor an expression", "", "such as "+si.Example(kind))
		return &amount{}
	}
	text := strings.TrimSpace(node.Value)
	if x, err := si.Parse(text, kind); err == nil {
		return &amount{text: text, quantity: x}
	}
	e, err := r.language.compile(text, reflect.Float64)
	if err != nil {
		r.expressionFault(node, err, ", or a "+kind.String()+" such as "+si.Example(kind))
		return &amount{text: text}
	}
	for _, name := range e.facts {
		r.scope(node, name, each)
	}
	return &amount{text: text, compute: e}
}

// bound reads a limit or a table of limits.
func (r *reader) bound(node *yaml.Node, kind si.Kind, each, what string) *bound {
	if node.Kind != yaml.MappingNode {
		return &bound{steps: []step{{limit: r.amount(node, kind, each)}}}
	}
	b := &bound{}
	f := r.fields(node, "the limit of "+what, "by", "steps", "limit", "limit_inch")
	if !f.has("by") {
		b.steps = []step{r.limits(f, kind, each)}
		return b
	}
	b.by = r.expression(f.of["by"], reflect.Float64, each)
	by, isFact := r.language.facts[b.by.text]
	if !isFact && b.by.program != nil {
		r.fail(f.of["by"], "book-table", "the limit table of "+what+" does not go by a single fact", b.by.text, "a fact that is a quantity")
	}
	var last [2]float64
	nodes := f.nodes("steps")
	if len(nodes) == 0 {
		r.fail(node, "book-table", "the limit table of "+what+" has no steps", "", "steps, a list")
		b.steps = []step{{limit: &amount{}}}
		return b
	}
	for i, n := range nodes {
		g := r.fields(n, "a step of "+what, "up_to", "up_to_inch", "below", "below_inch", "limit", "limit_inch")
		s := r.limits(g, kind, each)
		if isFact {
			r.end(g, &s, by.Kind, what)
		}
		switch {
		case !isFact: // reported above
		case s.end == "" && i < len(nodes)-1:
			r.fail(n, "book-table", "a step of "+what+" without an end is not the last one", "", "up_to or below")
		case s.end != "" && i > 0 && (s.to <= last[0] || s.toInch <= last[1]):
			r.fail(n, "book-table", "the steps of "+what+" do not ascend", s.end, "each end above the one before")
		}
		last = [2]float64{s.to, s.toInch}
		b.steps = append(b.steps, s)
	}
	return b
}

func (r *reader) limits(f fields, kind si.Kind, each string) step {
	s := step{limit: &amount{}}
	if n := f.of["limit"]; n != nil {
		s.limit = r.amount(n, kind, each)
	} else {
		r.fail(f.node, "book-missing-limit", f.what+" has no limit", "", "limit, such as "+si.Example(kind))
	}
	if n := f.of["limit_inch"]; n != nil {
		s.limitInch = r.amount(n, kind, each)
	}
	return s
}

// end reads where a step ends, in both systems of units.
func (r *reader) end(f fields, s *step, kind si.Kind, what string) {
	key := "below"
	if f.has("up_to") || f.has("up_to_inch") {
		key, s.including = "up_to", true
		if f.has("below") || f.has("below_inch") {
			r.fail(f.node, "book-table", "a step of "+what+" has two ends", "", "up_to (including) or below (excluding)")
		}
	}
	if f.has(key+"_inch") && !f.has(key) {
		r.fail(f.node, "book-table", "a step of "+what+" has an end only in inches", "", key)
		s.end = f.text(key+"_inch", true)
		return
	}
	if !f.has(key) {
		return
	}
	parse := func(key string) (string, float64) {
		text := f.text(key, true)
		x, err := si.Parse(text, kind)
		if err != nil {
			r.fail(f.of[key], "book-table", key+" of "+what+" is no "+kind.String(), text, "such as "+si.Example(kind))
		}
		return text, x
	}
	s.end, s.to = parse(key)
	s.toInch = s.to
	if f.has(key + "_inch") {
		s.endInch, s.toInch = parse(key + "_inch")
	}
}
