package rules_test

import (
	"io/fs"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// numberAt is a number of a book that decides a verdict, with its place.
type numberAt struct {
	line, from, to int // in bytes of the line, from 0
	text           string
	count          bool // a bare whole number
}

// numbersOf lists the numbers of all conditions, limits and tables of a book.
func numbersOf(t *testing.T, text string) []numberAt {
	t.Helper()
	var document yaml.Node
	if err := yaml.Unmarshal([]byte(text), &document); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(text, "\n")
	digits := regexp.MustCompile(`\d+(\.\d+)?`)
	deciding := []string{"at_most", "at_least", "within", "one_of", "is_true", "applies", "length", "height", "amplitude", "when", "record", "aspects", "surface_within"}
	var numbers []numberAt
	var walk func(n *yaml.Node, decides bool)
	walk = func(n *yaml.Node, decides bool) {
		switch n.Kind {
		case yaml.MappingNode:
			for i := 0; i+1 < len(n.Content); i += 2 {
				walk(n.Content[i+1], decides || slices.Contains(deciding, n.Content[i].Value))
			}
		case yaml.ScalarNode:
			if !decides {
				return
			}
			start := n.Column - 1
			if n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
				start++
			}
			for _, m := range digits.FindAllStringIndex(n.Value, -1) {
				// A text such as "level 2" in quotes, or a name, is no number.
				if m[0] > 0 && (n.Value[m[0]-1] == '"' || n.Value[m[0]-1] == '_') {
					continue
				}
				x := numberAt{n.Line - 1, start + m[0], start + m[1], n.Value[m[0]:m[1]], false}
				alone := m[0] == 0 && m[1] == len(n.Value)
				compared := m[0] > 1 && strings.ContainsAny(n.Value[m[0]-2:m[0]-1], "<>=")
				x.count = (alone || compared) && !strings.Contains(x.text, ".")
				if got := lines[x.line][x.from:x.to]; got != x.text {
					t.Fatalf("line %d: %q is not %q", n.Line, got, x.text)
				}
				numbers = append(numbers, x)
			}
		default:
			for _, c := range n.Content {
				walk(c, decides)
			}
		}
	}
	walk(&document, false)
	return numbers
}

// TestEachNumberIsHeldByACase edits every number of every book up and down, one
// at a time, and demands that some case fails: a number that can be changed
// without notice is a number that nobody checks.
func TestEachNumberIsHeldByACase(t *testing.T) {
	b, vocabulary := newBench(t), technique.Vocabulary()
	total := 0
	files, err := fs.Glob(shipped(), "*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no books", err)
	}
	for _, file := range files {
		id := strings.TrimSuffix(file, ".yaml")
		raw, err := fs.ReadFile(shipped(), file)
		if err != nil {
			t.Fatal(err)
		}
		cases := casesOf(t, id)
		for _, part := range partsOf(string(raw)) {
			var own []ruleCase
			for _, c := range cases {
				if c.rule == part.rule {
					own = append(own, c)
				}
			}
			for _, n := range numbersOf(t, part.text) {
				total++
				mutate(t, part, n, func(text string) bool {
					book, _ := rules.Load(fstest.MapFS{file: {Data: []byte(text)}}, file, vocabulary)
					switch {
					case book == nil: // no longer a book: that shows too
						return true
					case part.rule == "":
						return len(acceptanceFaults(book)) > 0
					}
					return len(faults(t, b, book, own)) > 0
				})
			}
		}
	}
	if total < 200 {
		t.Errorf("only %d numbers found in the books: the search for them is broken", total)
	}
}

// part is the head of a book with one of its rules, or with its acceptance
// table, which has no rule: small books keep this test quick.
type part struct{ rule, text string }

func partsOf(text string) []part {
	text, table, hasTable := strings.Cut(text, "\nacceptance:\n")
	head, list, _ := strings.Cut(text, "\nrules:\n")
	var parts []part
	for i, rule := range strings.Split("\n"+list, "\n  - id: ") {
		if i == 0 {
			continue
		}
		id, _, _ := strings.Cut(rule, "\n")
		parts = append(parts, part{id, head + "\nrules:\n  - id: " + rule + "\n"})
	}
	if hasTable {
		parts = append(parts, part{"", head + "\nacceptance:\n" + table})
	}
	return parts
}

// mutate changes one number both ways; noticed tells whether a case fails.
func mutate(t *testing.T, p part, n numberAt, noticed func(text string) bool) {
	t.Helper()
	x, err := strconv.ParseFloat(n.text, 64)
	if err != nil {
		t.Fatal(err)
	}
	steps := []float64{x * 1.1, x * 0.9}
	if n.count || x == 0 {
		steps = []float64{x + 1, x - 1}
	}
	for _, y := range steps {
		lines := strings.Split(p.text, "\n")
		line := lines[n.line]
		lines[n.line] = line[:n.from] + strconv.FormatFloat(y, 'f', -1, 64) + line[n.to:]
		if !noticed(strings.Join(lines, "\n")) {
			t.Errorf("%s: %s can become %v without a failing case: %s", p.rule, n.text, y, strings.TrimSpace(line))
		}
	}
}
