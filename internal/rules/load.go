package rules

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Load reads a book and compiles all its expressions. What is wrong with the
// book is returned as findings of level Error, each with its place in the file;
// a book with findings is not fit for use and is returned as nil.
func Load(fsys fs.FS, file string, vocabulary []Fact) (*Book, []diag.Finding) {
	return load(fsys, file, newLanguage(vocabulary))
}

func load(fsys fs.FS, file string, l *language) (*Book, []diag.Finding) {
	text, err := fs.ReadFile(fsys, file)
	if err != nil {
		return nil, []diag.Finding{unreadable(file, err)}
	}
	r := &reader{file: file, language: l}
	return r.read(text)
}

// read reads the text of one book.
func (r *reader) read(text []byte) (*Book, []diag.Finding) {
	document, second, err := parse(text)
	if err != nil {
		return nil, []diag.Finding{notYAML(r.file, err)}
	}
	if document == nil {
		r.fail(&yaml.Node{Line: 1, Column: 1}, "book-empty", "the rule book is empty", "", "a mapping with book, code, edition, title, kind and rules")
		return nil, r.findings
	}
	b := r.book(document)
	if second != nil {
		r.fail(second, "book-second-document", "a second document begins in the rule book", "", "one book a file")
	}
	if len(r.findings) > 0 {
		return nil, diag.Sort(r.findings)
	}
	return b, nil
}

// parse reads one document and looks for a second, whose rules would be lost
// without a word. The parser is not ours; should it ever panic on the text of a
// house book, that too means that it cannot be read.
func parse(text []byte) (first, second *yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = errors.New("it cannot be made out")
		}
	}()
	d := yaml.NewDecoder(bytes.NewReader(text))
	var nodes [2]yaml.Node
	for i := range nodes {
		if err := d.Decode(&nodes[i]); err != nil && !errors.Is(err, io.EOF) {
			return nil, nil, err
		}
	}
	content := func(n *yaml.Node) *yaml.Node {
		if len(n.Content) == 0 || n.Content[0].ShortTag() == "!!null" {
			return nil
		}
		return n.Content[0]
	}
	return content(&nodes[0]), content(&nodes[1]), nil
}

func unreadable(file string, err error) diag.Finding {
	reason := "it cannot be read"
	if errors.Is(err, fs.ErrNotExist) {
		reason = "there is no such file"
	}
	return diag.Finding{Rule: "book-unreadable", Level: diag.Error, At: diag.Position{File: file, Line: 1, Column: 1},
		Message: "the rule book cannot be used: " + reason, Remedy: "check the file's name and that you may read it"}
}

func notYAML(file string, err error) diag.Finding {
	line := 1
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	if n, scanErr := fmt.Sscanf(message, "line %d:", &line); n == 1 && scanErr == nil {
		_, message, _ = strings.Cut(message, ": ")
	}
	return diag.Finding{Rule: "book-not-yaml", Level: diag.Error, At: diag.Position{File: file, Line: max(line, 1), Column: 1},
		Message: "the rule book is no valid YAML: " + message, Remedy: "correct the file at or just above this line"}
}

// reader turns the YAML of one book into a Book and keeps every finding.
type reader struct {
	file     string
	language *language
	findings []diag.Finding
}

func (r *reader) fail(at *yaml.Node, rule, message, actual, limit string) {
	r.findings = append(r.findings, diag.Finding{
		Rule: rule, Level: diag.Error, At: diag.Position{File: r.file, Line: at.Line, Column: at.Column},
		Message: message, Actual: actual, Limit: limit, Remedy: "correct the rule book",
	})
}

// fields is a mapping whose keys were checked.
type fields struct {
	r    *reader
	node *yaml.Node
	what string // "rule scan-increment", for messages
	of   map[string]*yaml.Node
}

func (r *reader) fields(node *yaml.Node, what string, keys ...string) fields {
	f := fields{r: r, node: node, what: what, of: map[string]*yaml.Node{}}
	if node.Kind != yaml.MappingNode {
		r.fail(node, "book-shape", what+" is no mapping of keys to values", "", "keys: "+strings.Join(keys, ", "))
		return f
	}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		if value.Kind == yaml.AliasNode {
			value = value.Alias
		}
		switch {
		case !slices.Contains(keys, key.Value):
			r.fail(key, "book-unknown-key", what+" has the unknown key "+key.Value, key.Value, "one of "+strings.Join(keys, ", "))
		case f.of[key.Value] != nil:
			r.fail(key, "book-duplicate-key", what+" has the key "+key.Value+" twice", key.Value, "each key once")
		default:
			f.of[key.Value] = value
		}
	}
	return f
}

func (f fields) has(key string) bool { return f.of[key] != nil }

// text returns a scalar; a required one that is missing or empty is a finding.
func (f fields) text(key string, required bool) string {
	node := f.of[key]
	switch {
	case node == nil && required, node != nil && node.Kind == yaml.ScalarNode && strings.TrimSpace(node.Value) == "":
		f.r.fail(f.node, "book-missing-"+key, f.what+" lacks the key "+key, "", "a text")
		return ""
	case node == nil:
		return ""
	case node.Kind != yaml.ScalarNode:
		f.r.fail(node, "book-shape", key+" of "+f.what+" is no single text", "", "a text")
		return ""
	case diag.Leftward(node.Value):
		f.r.fail(node, "book-right-to-left", key+" of "+f.what+" holds text that is written from right to left, which no page here can put in order", node.Value, "letters that are written from left to right")
		return ""
	}
	return strings.TrimSpace(node.Value)
}

// choice is a text that must be one of a few.
func (f fields) choice(key string, required bool, choices ...string) string {
	text := f.text(key, required)
	if text != "" && !slices.Contains(choices, text) {
		f.r.fail(f.of[key], "book-wrong-"+key, key+" of "+f.what+" is none of those there are", text, oneOfText(choices))
	}
	return text
}

// list returns the texts of a sequence, or of a single text.
func (f fields) list(key string) []string {
	var texts []string
	for _, n := range f.nodes(key) {
		if n.Kind != yaml.ScalarNode {
			f.r.fail(n, "book-shape", key+" of "+f.what+" holds something that is no text", "", "a list of texts")
			continue
		}
		texts = append(texts, strings.TrimSpace(n.Value))
	}
	return texts
}

func (f fields) nodes(key string) []*yaml.Node {
	switch node := f.of[key]; {
	case node == nil:
		return nil
	case node.Kind == yaml.SequenceNode:
		return node.Content
	default:
		return []*yaml.Node{node}
	}
}

func (f fields) flag(key string) bool {
	return f.choice(key, false, "true", "false") == "true"
}

func headKeys() []string {
	return []string{"book", "code", "also", "edition", "title", "kind", "methods", "caution", "not_covered", "on_change"}
}

// usualOnChange is common practice, for a book that does not say.
const usualOnChange = "set up and verify again; demonstrate again what the demonstration does not cover"

func (r *reader) head(f fields) Head {
	return Head{
		ID: f.text("book", true), Code: f.text("code", true), Also: f.list("also"), Edition: f.text("edition", false),
		Title: f.text("title", true), Kind: f.choice("kind", true, "procedure", "acceptance", "practice", "house"),
		Methods: f.list("methods"), Caution: f.text("caution", false), NotCovered: f.list("not_covered"), File: r.file,
		OnChange: cmp.Or(f.text("on_change", false), usualOnChange),
	}
}

func (r *reader) book(node *yaml.Node) *Book {
	f := r.fields(node, "the book", append(headKeys(), "rules", "acceptance")...)
	if node.Kind != yaml.MappingNode {
		return nil
	}
	b := &Book{Head: r.head(f), language: r.language}
	if b.Edition == "" && b.Kind != "practice" {
		r.fail(node, "book-missing-edition", "the book lacks the key edition", "", "the year of the code's edition")
	}
	seen := map[string]bool{}
	for _, n := range f.nodes("rules") {
		rule := r.rule(n)
		if rule.ID != "" && seen[rule.ID] {
			r.fail(n, "book-duplicate-rule", "the id "+rule.ID+" is used by two rules", rule.ID, "each id once in a book")
		}
		seen[rule.ID] = true
		b.Rules = append(b.Rules, rule)
	}
	if f.has("acceptance") {
		b.acceptance = r.acceptance(f.of["acceptance"])
	}
	if len(b.Rules) == 0 && !f.has("acceptance") {
		r.fail(node, "book-no-rules", "the book holds no rule", "", "rules, a list")
	}
	return b
}

// conditions are the keys of which a rule has exactly one, but for at_most and
// at_least, which may stand together.
func conditions() []string {
	return []string{"at_most", "at_least", "within", "one_of", "present", "is_true", "confirm", "written"}
}

func (r *reader) rule(node *yaml.Node) Rule {
	keys := append([]string{"id", "clause", "level", "asks", "why", "sure", "source", "essential", "variable", "change", "answered_in", "applies", "unless",
		"each", "value", "kind", "unit", "inch", "decimals", "expected", "missing", "at", "message", "remedy"}, conditions()...)
	f := r.fields(node, "a rule", keys...)
	if id := f.of["id"]; id != nil {
		f.what = "rule " + id.Value
	}
	rule := Rule{
		ID: f.text("id", true), Level: diag.Level(f.choice("level", true, "shall", "should")), Asks: f.text("asks", true), Why: f.text("why", true),
		Sure: f.choice("sure", true, "seen", "from memory", "common practice"), Source: f.text("source", true), Essential: f.flag("essential"),
		AnsweredIn: f.text("answered_in", true), unless: f.text("unless", false), each: f.choice("each", false, "group", "person"),
		expected: f.text("expected", false), missing: f.text("missing", false), confirm: f.text("confirm", false),
	}
	rule.Clause = f.text("clause", rule.Sure != "common practice")
	rule.Applies = strings.Join(f.list("applies"), " and ")
	for _, n := range f.nodes("applies") {
		rule.applies = append(rule.applies, r.expression(n, reflect.Bool, rule.each))
	}
	if f.has("applies") {
		f.text("unless", true) // a reader must learn why a rule is not asked
	}
	if f.has("value") {
		rule.value = r.expression(f.of["value"], reflect.Invalid, rule.each)
	}
	rule.measure = r.measure(f, rule.value)
	r.condition(f, &rule)
	rule.at = r.place(f, &rule)
	fact, ok := Fact{}, false
	if rule.value != nil {
		fact, ok = r.language.facts[rule.value.text]
	}
	if !ok {
		fact = r.language.facts[rule.at]
	}
	if rule.Essential && fact.Doc == "" && !f.has("variable") {
		r.fail(f.node, "book-missing-variable", f.what+" is an essential variable without a name", "", "variable, what is judged in words")
	}
	named, _, _ := strings.Cut(fact.Doc, ";")
	rule.Variable, rule.Change = cmp.Or(f.text("variable", false), named), f.choice("change", false, "increase", "decrease")
	if rule.Change != "" && !rule.Essential {
		r.fail(f.of["change"], "book-change", f.what+" says which change counts, but is no essential variable", rule.Change, "essential: true")
	}
	if rule.confirm == "" && rule.Written == "" {
		rule.message, rule.remedy = f.text("message", true), f.text("remedy", true)
	} else {
		rule.message, rule.remedy = f.text("message", false), f.text("remedy", false)
	}
	return rule
}

// condition reads what the rule demands of its value.
func (r *reader) condition(f fields, rule *Rule) {
	var found []string
	for _, key := range conditions() {
		if f.has(key) {
			found = append(found, key)
		}
	}
	both := slices.Equal(found, []string{"at_most", "at_least"})
	if len(found) != 1 && !both {
		r.fail(f.node, "book-condition", f.what+" does not have exactly one condition", strings.Join(found, ", "), oneOfText(conditions()))
		return
	}
	key := found[0]
	rule.Place = diag.Position{File: r.file, Line: f.of[key].Line, Column: f.of[key].Column}
	needsValue := key != "is_true" && key != "confirm" && key != "written"
	if needsValue && !f.has("value") {
		r.fail(f.node, "book-missing-value", f.what+" has no value to compare", "", "a fact or an expression")
		return
	}
	number := rule.value != nil && r.isNumber(rule.value)
	if (key == "at_most" || key == "at_least" || key == "within") && !number {
		if rule.value.program == nil {
			return // reported where it failed
		}
		r.fail(f.of["value"], "book-wrong-value", "the value of "+f.what+" is no quantity, and cannot be compared with a limit", "", "a fact or an expression that is a number")
		return
	}
	var limits []string
	bound := func(n *yaml.Node) *bound { return r.bound(n, rule.measure.kind, rule.each, f.what) }
	switch key {
	case "at_most", "at_least":
		if n := f.of["at_least"]; n != nil {
			rule.atLeast = bound(n)
			limits = append(limits, "at least "+rule.atLeast.String())
		}
		if n := f.of["at_most"]; n != nil {
			rule.atMost = bound(n)
			limits = append(limits, "at most "+rule.atMost.String())
		}
	case "within":
		w := r.fields(f.of[key], "within of "+f.what, "from", "to")
		if !w.has("from") || !w.has("to") {
			r.fail(f.of[key], "book-condition", "within of "+f.what+" needs both ends", "", "from and to")
			return
		}
		rule.atLeast, rule.atMost = bound(w.of["from"]), bound(w.of["to"])
		limits = []string{"at least " + rule.atLeast.String(), "at most " + rule.atMost.String()}
	case "one_of":
		if !number {
			rule.texts = f.list(key)
			limits = []string{oneOfText(rule.texts)}
			break
		}
		for _, n := range f.nodes(key) {
			rule.oneOf = append(rule.oneOf, bound(n))
			limits = append(limits, rule.oneOf[len(rule.oneOf)-1].String())
		}
		limits = []string{oneOfText(limits)}
	case "present":
		rule.present = true
		f.choice(key, true, "true")
		limits = []string{"stated"}
	case "is_true":
		for _, n := range f.nodes(key) {
			rule.isTrue = append(rule.isTrue, r.expression(n, reflect.Bool, rule.each))
		}
		f.text("expected", true)
	case "confirm":
		limits = []string{"confirmed by a person"}
	case "written":
		rule.Written = f.text(key, true)
		limits = []string{"written in the document"}
	}
	rule.Limit = strings.Join(limits, "; ")
	if rule.expected != "" {
		rule.Limit = rule.expected
	}
}

// place is the fact whose place a finding points at: the one the rule names,
// else the first that its value, or its condition, uses.
func (r *reader) place(f fields, rule *Rule) string {
	if f.has("at") {
		at := f.text("at", true)
		fact, ok := r.language.facts[at]
		if !ok {
			r.fail(f.of["at"], "book-unknown-fact", r.language.noFact(at), at, "a fact, whose place in the job the finding points at")
		}
		r.scope(f.of["at"], fact.Name, rule.each)
		return at
	}
	for _, e := range slices.Concat([]*expression{rule.value}, rule.isTrue, rule.applies) {
		switch {
		case e == nil:
		case e.program == nil:
			return "" // does not compile, which is reported
		case len(e.facts) > 0:
			return e.facts[0]
		}
	}
	if rule.Written != "" {
		return "" // it is always met, so that no finding needs a place
	}
	r.fail(f.node, "book-no-place", f.what+" uses no fact, so that a finding would have no place", "", "at, a fact")
	return ""
}

func (r *reader) isNumber(e *expression) bool {
	if fact, ok := r.language.facts[e.text]; ok {
		return fact.Type == Quantity
	}
	_, err := r.language.compile(e.text, reflect.Float64)
	return err == nil
}

func measureOf(f Fact) measure {
	return measure{kind: f.Kind, unit: f.Unit, inch: f.Inch, decimals: f.Decimals}
}

// measure says how the value is printed: as the fact it is, or as the rule says.
func (r *reader) measure(f fields, value *expression) measure {
	if value != nil {
		if fact, ok := r.language.facts[value.text]; ok {
			return measureOf(fact)
		}
	}
	m := measure{}
	if !f.has("kind") {
		return m
	}
	kind, ok := si.KindNamed(f.text("kind", true))
	if !ok {
		r.fail(f.of["kind"], "book-wrong-kind", "kind of "+f.what+" is no kind of quantity", f.of["kind"].Value, "length, angle, share, decibel value, number and so on")
	}
	m.kind, m.unit, m.inch = kind, f.text("unit", kind != si.Number), f.text("inch", false)
	for _, unit := range []string{m.unit, m.inch} {
		if _, fits := si.UnitNamed(unit, kind); unit != "" && !fits {
			r.fail(f.node, "book-wrong-unit", unit+" in "+f.what+" is no unit of a "+kind.String(), unit, oneOfText(si.Units(kind)))
			m.unit, m.inch = si.Units(kind)[0], ""
		}
	}
	if f.has("decimals") {
		if _, err := fmt.Sscanf(f.text("decimals", true), "%d", &m.decimals); err != nil || m.decimals < 0 || m.decimals > 9 {
			r.fail(f.of["decimals"], "book-wrong-decimals", "decimals of "+f.what+" is no count of decimals", f.of["decimals"].Value, "0 to 9")
			m.decimals = 0
		}
	}
	return m
}
