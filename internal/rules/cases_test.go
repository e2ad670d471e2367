package rules_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
)

// The cases of testdata/rules are written by hand from a study of the codes:
// for each rule what meets it, what breaks it, and both sides of each boundary.

// ruleCase is one line of a case file, spread out to one verdict.
type ruleCase struct {
	place   string // "iso-13588-2019.txt:12"
	rule    string
	want    rules.Verdict
	changes []string
}

// casesOf reads the cases of a book.
func casesOf(t *testing.T, book string) []ruleCase {
	t.Helper()
	file := book + ".txt"
	var base []string
	var cases []ruleCase
	for i, line := range textLines(t, file) {
		if line == "" || line[0] == '#' {
			continue
		}
		place := fmt.Sprintf("%s:%d", file, i+1)
		cells := strings.Split(line, "|")
		for j := range cells {
			cells[j] = strings.TrimSpace(cells[j])
		}
		switch {
		case cells[0] == "base":
			base = split(cells[1], ";")
		case len(cells) == 3:
			cases = append(cases, ruleCase{place, cells[0], rules.Verdict(cells[1]), slices.Concat(base, split(cells[2], ";"))})
		case len(cells) == 4 || len(cells) == 5:
			changes := base
			if len(cells) == 5 {
				changes = slices.Concat(base, split(cells[4], ";"))
			}
			for j, want := range []rules.Verdict{rules.Met, rules.NotMet} {
				for _, value := range split(cells[2+j], ",") {
					cases = append(cases, ruleCase{place, cells[0], want, append(slices.Clone(changes), cells[1]+" = "+value)})
				}
			}
		default:
			t.Fatalf("%s: a case has %d columns", place, len(cells))
		}
	}
	return cases
}

func textLines(t *testing.T, file string) []string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/rules/" + file)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(text), "\n")
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return lines
}

func split(text, by string) []string {
	var parts []string
	for part := range strings.SplitSeq(text, by) {
		if part = strings.TrimSpace(part); part != "" {
			parts = append(parts, part)
		}
	}
	return parts
}

// bench turns lines such as "part.thickness = 10 mm" into facts.
type bench struct {
	facts map[string]rules.Fact
	base  []string
}

func newBench(t *testing.T) *bench {
	b := &bench{facts: map[string]rules.Fact{}}
	for _, f := range technique.Vocabulary() {
		b.facts[f.Name] = f
	}
	for _, line := range textLines(t, "base.txt") {
		if line != "" && line[0] != '#' {
			b.base = append(b.base, line)
		}
	}
	return b
}

// input builds what a job would offer to the book.
func (b *bench) input(t *testing.T, book string, changes []string) rules.Input {
	t.Helper()
	in := rules.Input{Facts: map[string]any{}, Levels: map[string]string{}}
	group := map[string]any{}
	for _, line := range slices.Concat(b.base, changes) {
		name, text, _ := strings.Cut(line, "=")
		name, text = strings.TrimSpace(name), strings.TrimSpace(text)
		switch name {
		case "inch":
			in.Inch = true
			continue
		case "level":
			in.Levels[book] = text
			continue
		}
		fact, ok := b.facts[name]
		if !ok {
			t.Fatalf("case for %s: no fact %q", book, name)
		}
		into := in.Facts
		if strings.HasPrefix(name, "group.") {
			into = group
		}
		switch fact.Type {
		case rules.Quantity:
			x := math.NaN()
			if text != "unknown" {
				var err error
				if x, err = si.Parse(text, fact.Kind); err != nil {
					t.Fatalf("case for %s: %s: %v", book, line, err)
				}
			}
			into[name] = si.Quantity{SI: x, Kind: fact.Kind}
		case rules.Text:
			into[name] = text
		case rules.Flag:
			into[name] = text == "yes"
			if text == "unknown" {
				delete(into, name)
			}
		case rules.List:
			into[name] = split(text, ",")
		}
	}
	in.Subjects = map[string][]rules.Subject{"group": {{Name: "upper", Path: "groups.upper", Facts: group}}}
	in.At = func(path string) diag.Position { return diag.Position{File: "job.yaml", Line: len(path), Column: 1} }
	return in
}

// faults runs the cases of a book and says which verdicts differ.
func faults(t *testing.T, b *bench, book *rules.Book, cases []ruleCase) []string {
	t.Helper()
	var faults []string
	for _, c := range cases {
		results, findings := book.Check(b.input(t, book.ID, c.changes))
		got := rules.Verdict("no result")
		for _, r := range results {
			if r.Rule == c.rule {
				got = r.Verdict
			}
		}
		if got != c.want {
			faults = append(faults, fmt.Sprintf("%s: %s is %q, want %q; %s", c.place, c.rule, got, c.want, strings.Join(c.changes, "; ")))
			continue
		}
		found := slices.IndexFunc(findings, func(f diag.Finding) bool { return f.Rule == book.ID+"/"+c.rule })
		if (found >= 0) != (got == rules.NotMet || got == rules.Confirm) {
			faults = append(faults, fmt.Sprintf("%s: %s is %q, but a finding is %v", c.place, c.rule, got, found >= 0))
		}
		if found < 0 {
			continue
		}
		if text := complaint(findings[found]); text != "" {
			faults = append(faults, fmt.Sprintf("%s: the finding of %s %s: %+v", c.place, c.rule, text, findings[found]))
		}
	}
	return faults
}

// complaint says what a finding lacks for a reader.
func complaint(f diag.Finding) string {
	text := strings.Join([]string{f.Message, f.Remedy, f.Limit, f.Actual}, " ")
	switch {
	case strings.ContainsAny(text, "{}"):
		return "has a placeholder left"
	case strings.Contains(text, "unknown"), strings.Contains(text, "NaN"):
		return "prints an unknown number"
	case f.Message == "", f.Path == "", f.At.Line == 0:
		return "has no message or place"
	case f.Level != diag.Note && (f.Remedy == "" || f.Limit == ""):
		return "has no remedy or limit"
	case f.Code == "", f.Sure == "":
		return "does not say where it comes from"
	case f.Clause == "" && f.Sure != "common practice":
		return "has no clause"
	}
	return ""
}

func TestEveryRuleHasItsCases(t *testing.T) {
	b := newBench(t)
	shelf, _ := rules.Open(shipped(), technique.Vocabulary())
	for _, h := range shelf.Heads {
		t.Run(h.ID, func(t *testing.T) {
			book, findings := shelf.Book(h.ID)
			if book == nil {
				t.Fatalf("the book does not load: %+v", findings)
			}
			cases := casesOf(t, h.ID)
			for _, fault := range faults(t, b, book, cases) {
				t.Error(fault)
			}
			seen := map[string]map[rules.Verdict]bool{}
			for _, c := range cases {
				if seen[c.rule] == nil {
					seen[c.rule] = map[rules.Verdict]bool{}
				}
				seen[c.rule][c.want] = true
			}
			for _, r := range book.Rules {
				got := seen[r.ID]
				delete(seen, r.ID)
				switch {
				case r.Written != "": // held to stand in the document by a test of templates
					if !got[rules.Met] {
						t.Errorf("%s lacks a case that meets it", r.ID)
					}
				case got[rules.Confirm] && !got[rules.Met] && !got[rules.NotMet]:
				case !got[rules.Met] || !got[rules.NotMet]:
					t.Errorf("%s lacks a case that meets it or one that breaks it", r.ID)
				}
				if r.Applies != "" && !got[rules.NotApplicable] {
					t.Errorf("%s lacks a case to which it does not apply", r.ID)
				}
			}
			for _, id := range slices.Sorted(maps.Keys(seen)) {
				t.Errorf("there are cases for %s, but no such rule", id)
			}
		})
	}
}

// TestBaseJobIsClean holds the base job against every book for its method:
// adding a rule that a sound job breaks shows here.
func TestBaseJobIsClean(t *testing.T) {
	b := newBench(t)
	for id, changes := range map[string][]string{
		"iso-13588-2019": {"level = B"}, "iso-23864-2021": {"level = B", "group.method = tfm"}, "asme-v-art4-2019": nil,
		"asme-viii-1-app12-2019": nil, "iso-19285-2017": {"level = 2"}, "iso-11666-2018": {"level = 2"}, "iso-17640-2018": {"level = B", "block.hole_diameter = 3 mm"}, "aws-d1.1-2025": nil,
		"iso-22825-2017": {"part.material_group = austenitic", "group.wave = longitudinal", "group.legs = 1"}, "good-practice": nil,
	} {
		book := load(t, id)
		_, findings := book.Check(b.input(t, id, changes))
		for _, f := range findings {
			if f.Level != diag.Note {
				t.Errorf("%s: %s (%s, %s)", f.Rule, f.Message, f.Actual, f.Limit)
			}
		}
	}
}

func load(t testing.TB, id string) *rules.Book {
	t.Helper()
	book, findings := rules.Load(shipped(), id+".yaml", technique.Vocabulary())
	if book == nil {
		t.Fatalf("%s does not load: %+v", id, findings)
	}
	return book
}
