package rules

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/builtin"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/types"
	"github.com/expr-lang/expr/vm"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// language is what the expressions of a book are compiled against: the facts,
// each with its type, and the few functions there are. A name that is in
// neither is an error of the book.
type language struct {
	facts  map[string]Fact
	config *conf.Config
}

// noise is the relative allowance of every comparison: float arithmetic may
// not turn 2 mm into more than 2 mm, and nothing else may be forgiven.
const noise = 1e-9

// longest is the longest expression that is compiled, in bytes. No rule of ours
// comes near it, and a house book may not tie up the compiler.
const longest = 2000

func atMost(a, b float64) bool { return a <= b+noise*max(math.Abs(a), math.Abs(b)) }

func same(a, b float64) bool { return atMost(a, b) && atMost(b, a) }

// newLanguage builds the typed environment. Quantities are float64 in SI; the
// facts of a scope form a strict map, so that the checker knows every name.
func newLanguage(vocabulary []Fact) *language {
	l := &language{facts: make(map[string]Fact, len(vocabulary))}
	env := types.Map{}
	for _, f := range vocabulary {
		l.facts[f.Name] = f
		scope, name, _ := strings.Cut(f.Name, ".")
		if env[scope] == nil {
			env[scope] = types.Map{}
		}
		env[scope].(types.Map)[name] = typeOf(f.Type)
	}
	// by_units picks one of a code's two rounded values: metric, or inch.
	env["by_units"] = types.TypeOf(func(metric, inch float64) float64 { return metric })
	l.config = conf.New(env)
	l.config.Builtins = map[string]*builtin.Function{}
	one := func(name string, f func(float64) float64) {
		expr.Function(name, func(a ...any) (any, error) { return f(a[0].(float64)), nil }, new(func(float64) float64))(l.config)
	}
	two := func(name string, f func(a, b float64) float64) {
		expr.Function(name, func(a ...any) (any, error) { return f(a[0].(float64), a[1].(float64)), nil }, new(func(a, b float64) float64))(l.config)
	}
	for name, factor := range map[string]float64{
		"mm": 1e-3, "inch": 25.4e-3, "deg": math.Pi / 180, "MHz": 1e6, "dB": 1, "mps": 1, "mmps": 1e-3,
		"degC": 1, "K": 1, "percent": 0.01, "hours": 3600,
	} {
		one(name, func(x float64) float64 { return x * factor })
	}
	one("dB_of", func(ratio float64) float64 { return 20 * math.Log10(ratio) })
	two("smaller", math.Min)
	two("larger", math.Max)
	// How many steps of this size are begun: begun(mm(51), mm(50)) is 2, and
	// begun(mm(-1), mm(50)) none.
	two("begun", func(x, step float64) float64 { return max(0, math.Ceil(x/step-noise)) })
	// Comparisons of numbers are rewritten to these; their names cannot be typed.
	for op, f := range map[string]func(a, b float64) bool{
		"<=": atMost,
		">=": func(a, b float64) bool { return atMost(b, a) },
		"<":  func(a, b float64) bool { return !atMost(b, a) },
		">":  func(a, b float64) bool { return !atMost(a, b) },
		"==": same,
		"!=": func(a, b float64) bool { return !same(a, b) },
	} {
		expr.Function(op, func(a ...any) (any, error) { return f(a[0].(float64), a[1].(float64)), nil }, new(func(a, b float64) bool))(l.config)
	}
	return l
}

// noFact says that a name is no fact, and which one is near.
func (l *language) noFact(name string) string {
	message := fmt.Sprintf("no fact is called %q", name)
	if near := diag.Nearest(name, slices.Sorted(maps.Keys(l.facts))); near != "" {
		message += "; did you mean " + near + "?"
	}
	return message
}

func typeOf(t Type) types.Type {
	switch t {
	case Text:
		return types.String
	case Flag:
		return types.Bool
	case List:
		return types.TypeOf([]string{})
	}
	return types.Float64
}

// expression is one compiled expression and the facts it needs.
type expression struct {
	text    string
	program *vm.Program
	facts   []string
}

// expressionError is what is wrong with an expression; Offset counts characters
// from its start.
type expressionError struct {
	offset  int
	message string
}

func (e *expressionError) Error() string { return e.message }

// compile reads an expression whose result has the wanted kind: reflect.Bool,
// reflect.Float64, or reflect.Invalid for anything.
func (l *language) compile(text string, want reflect.Kind) (*expression, error) {
	if len(text) > longest {
		return nil, &expressionError{message: fmt.Sprintf("the expression is longer than %d characters", longest)}
	}
	config := *l.config
	config.Expect, config.ExpectAny = want, want == reflect.Invalid
	tree, err := parser.ParseWithConfig(text, &config)
	if err != nil {
		return nil, plain(err)
	}
	names := &nameVisitor{language: l}
	ast.Walk(&tree.Node, names)
	if names.err != nil {
		return nil, names.err
	}
	if _, err = checker.Check(tree, &config); err != nil {
		return nil, plain(err)
	}
	ast.Walk(&tree.Node, comparisonVisitor{})
	program, err := compiler.Compile(tree, &config)
	if err != nil {
		return nil, plain(err)
	}
	return &expression{text: text, program: program, facts: names.facts}, nil
}

// nameVisitor collects the facts that an expression uses and turns whole
// numbers into floats: books hold quantities, and 2 means 2.0.
type nameVisitor struct {
	language *language
	facts    []string
	err      *expressionError
}

func (v *nameVisitor) Visit(node *ast.Node) {
	switch n := (*node).(type) {
	case *ast.IntegerNode:
		ast.Patch(node, &ast.FloatNode{Value: float64(n.Value)})
	case *ast.MemberNode:
		scope, ok := n.Node.(*ast.IdentifierNode)
		property, named := n.Property.(*ast.StringNode)
		if !ok || !named {
			return
		}
		name := scope.Value + "." + property.Value
		if _, known := v.language.facts[name]; !known {
			if v.err == nil {
				v.err = &expressionError{scope.Location().From, v.language.noFact(name)}
			}
			return
		}
		if !slices.Contains(v.facts, name) {
			v.facts = append(v.facts, name)
		}
	}
}

// comparisonVisitor replaces the comparison of numbers by the helpers that
// allow for float noise.
type comparisonVisitor struct{}

func (comparisonVisitor) Visit(node *ast.Node) {
	n, ok := (*node).(*ast.BinaryNode)
	if !ok || !slices.Contains([]string{"<=", ">=", "<", ">", "==", "!="}, n.Operator) {
		return
	}
	if n.Left.Type().Kind() != reflect.Float64 || n.Right.Type().Kind() != reflect.Float64 {
		return
	}
	ast.Patch(node, &ast.CallNode{Callee: &ast.IdentifierNode{Value: n.Operator}, Arguments: []ast.Node{n.Left, n.Right}})
}

// plain says in plain words what the compiler found.
func plain(err error) error {
	e := &expressionError{message: err.Error()}
	var at *file.Error
	if errors.As(err, &at) {
		e.offset, e.message = at.From, at.Message
	}
	e.message, _, _ = strings.Cut(e.message, "\n")
	e.message = strings.NewReplacer("float64", "number", "string", "text", "bool", "yes or no",
		"[]string", "list of texts", "types.Map", "group of facts").Replace(e.message)
	return e
}

// facts is what the expressions of one check see: the facts of the job, and
// those of one subject laid over them.
type facts struct {
	once    map[string]any
	subject map[string]any
	env     map[string]any // both, nested, as expressions want it
}

func newFacts(once map[string]any, inch bool) *facts {
	f := &facts{once: once, env: map[string]any{"by_units": func(metric, inches float64) float64 {
		if inch {
			return inches
		}
		return metric
	}}}
	nest(f.env, once)
	return f
}

// with returns the facts with those of a subject added.
func (f *facts) with(subject map[string]any) *facts {
	g := &facts{once: f.once, subject: subject, env: make(map[string]any, len(f.env)+1)}
	for scope, inner := range f.env {
		g.env[scope] = inner
	}
	for name := range subject {
		scope, _, _ := strings.Cut(name, ".")
		delete(g.env, scope)
	}
	nest(g.env, subject)
	return g
}

func nest(env map[string]any, flat map[string]any) {
	for name, value := range flat {
		scope, rest, ok := strings.Cut(name, ".")
		if !ok {
			continue
		}
		inner, _ := env[scope].(map[string]any)
		if inner == nil {
			inner = map[string]any{}
			env[scope] = inner
		}
		inner[rest] = bare(value)
	}
}

// state is how much is known of a fact.
type state uint8

const (
	unknown  state = iota // the fact is absent, or of a wrong type
	notGiven              // it is there, but is NaN or empty
	given
)

func (f *facts) state(fact Fact) state {
	value, ok := f.subject[fact.Name]
	if !ok {
		value = f.once[fact.Name]
	}
	var isType, isGiven bool
	switch v := value.(type) {
	case si.Quantity:
		isType, isGiven = fact.Type == Quantity, v.Known()
	case string:
		isType, isGiven = fact.Type == Text, v != ""
	case bool:
		isType, isGiven = fact.Type == Flag, true
	case []string:
		isType, isGiven = fact.Type == List, len(v) > 0
	}
	switch {
	case !isType:
		return unknown
	case !isGiven:
		return notGiven
	}
	return given
}

// bare is a fact as an expression sees it.
func bare(value any) any {
	if q, ok := value.(si.Quantity); ok {
		return q.SI
	}
	return value
}

// run evaluates e. Where a fact it needs is not known, it returns the names of
// those facts and no value.
func (e *expression) run(f *facts, l *language) (value any, missing []string) {
	for _, name := range e.facts {
		if s := f.state(l.facts[name]); s == unknown || s == notGiven && l.facts[name].Type == Quantity {
			missing = append(missing, name)
		}
	}
	if missing != nil {
		return nil, missing
	}
	value, err := expr.Run(e.program, f.env)
	if x, ok := value.(float64); err != nil || ok && math.IsNaN(x) {
		return nil, slices.Clone(e.facts)
	}
	return value, nil
}
