package rules_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// small is a sound book of one rule, which the tests below spoil.
const small = `book: small
code: House 1
edition: "2026"
title: a house rule
kind: procedure
rules:
  - id: increment
    clause: "1"
    level: shall
    asks: Scan lines are close.
    why: Flaws are small.
    sure: seen
    source: house rule
    answered_in: "11.1"
    applies: part.thickness >= mm(6)
    unless: the wall is thin
    value: scan.increment
    at_most:
      by: part.thickness
      steps:
        - {up_to: 10 mm, limit: 1 mm}
        - {limit: 2 mm}
    message: scan lines are too far apart
    remedy: set scan.increment to {limit} or less
`

func loadText(text string) (*rules.Book, []diag.Finding) {
	return rules.Load(fstest.MapFS{"small.yaml": {Data: []byte(text)}}, "small.yaml", technique.Vocabulary())
}

func TestSmallBookLoads(t *testing.T) {
	b, findings := loadText(small)
	if b == nil || len(findings) > 0 {
		t.Fatalf("the sound book does not load: %+v", findings)
	}
	if got, want := b.Rules[0].Limit, "at most 1 mm up to 10 mm, 2 mm beyond, by part.thickness"; got != want {
		t.Errorf("limit is listed as %q, want %q", got, want)
	}
	if b.Cite() != "House 1:2026" {
		t.Errorf("cited as %q", b.Cite())
	}
}

// A spoilt book gives exactly one finding, at the place of the fault.
func TestSpoiltBooks(t *testing.T) {
	for _, c := range []struct {
		name, from, to string
		rule, message  string
		at             string // text in the spoilt book whose start is the place; empty: not checked
	}{
		{"misspelt fact in value", "value: scan.increment", "value: scan.incrementt", "book-unknown-fact", `no fact is called "scan.incrementt"; did you mean scan.increment?`, "scan.incrementt"},
		{"misspelt fact in applies", "part.thickness >= mm(6)", "part.thicknes >= mm(6)", "book-unknown-fact", `no fact is called "part.thicknes"; did you mean part.thickness?`, "part.thicknes >="},
		{"misspelt fact inside an expression", "part.thickness >= mm(6)", "part.kind == \"pipe\" and part.widht > mm(6)", "book-unknown-fact", `no fact is called "part.widht"`, "part.widht"},
		{"misspelt fact in by", "by: part.thickness", "by: prt.thickness", "book-unknown-fact", `did you mean part.thickness?`, "prt.thickness"},
		{"misspelt fact in a limit", "{limit: 2 mm}", "{limit: 2 * part.thicknes}", "book-unknown-fact", `did you mean part.thickness?`, "part.thicknes}"},
		{"unknown function", "mm(6)", "foot(6)", "book-expression", "foot", "foot"},
		{"text compared with number", "part.thickness >= mm(6)", "part.kind >= mm(6)", "book-expression", "mismatched types text and number", ""},
		{"condition that is no condition", "part.thickness >= mm(6)", "part.thickness", "book-expression", "yes or no", ""},
		{"broken expression", "part.thickness >= mm(6)", "part.thickness >= mm(6", "book-expression", "", ""},
		{"fact of a group without each", "value: scan.increment", "value: group.grid", "book-scope", "exists once for each group", "group.grid"},
		{"missing clause", "    clause: \"1\"\n", "", "book-missing-clause", "rule increment lacks the key clause", "id: increment"},
		{"empty clause", "clause: \"1\"", "clause: \"\"", "book-missing-clause", "rule increment lacks the key clause", ""},
		{"missing why", "    why: Flaws are small.\n", "", "book-missing-why", "rule increment lacks the key why", ""},
		{"missing edition", "edition: \"2026\"\n", "", "book-missing-edition", "the book lacks the key edition", ""},
		{"unknown certainty", "sure: seen", "sure: certain", "book-wrong-sure", "sure of rule increment", "certain"},
		{"unknown level", "level: shall", "level: must", "book-wrong-level", "level of rule increment", "must"},
		{"unknown key", "remedy: set", "cure: x\n    remedy: set", "book-unknown-key", "unknown key cure", "cure"},
		{"key twice", "sure: seen", "sure: seen\n    sure: seen", "book-duplicate-key", "the key sure twice", ""},
		{"two conditions", "    message:", "    present: true\n    message:", "book-condition", "exactly one condition", ""},
		{"no condition", "at_most:", "at_mst:", "", "", ""},
		{"applies without a reason", "    unless: the wall is thin\n", "", "book-missing-unless", "lacks the key unless", ""},
		{"limit of a wrong kind", "limit: 1 mm", "limit: 1 MHz", "book-expression", "", ""},
		{"end of a wrong kind", "up_to: 10 mm", "up_to: 10 deg", "book-table", "is no length", "10 deg"},
		{"limit without unit", "limit: 2 mm", "limit: 2 mmm", "book-expression", "", ""},
		{"table not ascending", "- {limit: 2 mm}", "- {up_to: 10 mm, limit: 2 mm}\n        - {limit: 3 mm}", "book-table", "do not ascend", "{up_to: 10 mm, limit: 2 mm}"},
		{"table not ascending in inches", "- {up_to: 10 mm, limit: 1 mm}\n        - {limit: 2 mm}", "- {up_to: 10 mm, up_to_inch: 1 in, limit: 1 mm}\n        - {up_to: 20 mm, up_to_inch: 0.5 in, limit: 2 mm}", "book-table", "do not ascend", "{up_to: 20 mm"},
		{"end only in inches", "up_to: 10 mm", "up_to_inch: 0.4 in", "book-table", "only in inches", ""},
		{"open step that is not the last", "- {limit: 2 mm}", "- {limit: 2 mm}\n        - {up_to: 30 mm, limit: 3 mm}", "book-table", "is not the last one", "{limit: 2 mm}\n"},
		{"text with a limit", "value: scan.increment", "value: scan.datum", "book-wrong-value", "no quantity", "scan.datum"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(small, c.from, c.to, 1)
			if text == small {
				t.Fatalf("%q is not in the book", c.from)
			}
			b, findings := loadText(text)
			if b != nil || len(findings) == 0 {
				t.Fatal("the spoilt book loads")
			}
			if c.rule == "" {
				return
			}
			if len(findings) != 1 {
				t.Errorf("%d findings, want 1: %+v", len(findings), findings)
			}
			f := findings[0]
			if f.Rule != c.rule || !strings.Contains(f.Message, c.message) || f.Level != diag.Error || f.At.File != "small.yaml" {
				t.Errorf("found %+v, want %s with %q", f, c.rule, c.message)
			}
			if c.at == "" {
				return
			}
			before := text[:strings.Index(text, c.at)]
			line, column := strings.Count(before, "\n")+1, len(before)-strings.LastIndex(before, "\n")
			if f.At.Line != line || f.At.Column != column {
				t.Errorf("placed at %d:%d, want %d:%d, at %q", f.At.Line, f.At.Column, line, column, c.at)
			}
		})
	}
}

func TestDuplicateRule(t *testing.T) {
	_, list, _ := strings.Cut(small, "rules:\n")
	b, findings := loadText(small + list)
	if b != nil || len(findings) != 1 || findings[0].Rule != "book-duplicate-rule" {
		t.Errorf("two rules of one id: %+v", findings)
	}
}

func TestFilesThatAreNoBook(t *testing.T) {
	for text, rule := range map[string]string{
		"": "book-empty", "a: [": "book-not-yaml", "- 1\n- 2\n": "book-shape", "\t": "book-not-yaml", "&a [*a]": "",
	} {
		b, findings := loadText(text)
		if b != nil || len(findings) == 0 {
			t.Errorf("%q loads", text)
			continue
		}
		if rule != "" && findings[0].Rule != rule {
			t.Errorf("%q: %+v, want %s", text, findings[0], rule)
		}
		for _, f := range findings {
			if f.At.Line < 1 || f.At.Column < 1 {
				t.Errorf("%q: no place: %+v", text, f)
			}
		}
	}
	if b, findings := rules.Load(fstest.MapFS{}, "none.yaml", nil); b != nil || len(findings) != 1 || !strings.Contains(findings[0].Message, "there is no such file") {
		t.Errorf("a file that is not there: %+v", findings)
	}
}

// Whatever is cut out of a book, reading it ends with findings, not a fault.
func TestTornBooksNeverPanic(t *testing.T) {
	lines := strings.Split(small, "\n")
	for i := range lines {
		for _, by := range []string{"", "  - {}", "    value: [1, {a: b}]", "    at_most: {by: [], steps: {limit: {}}}", "    applies: {a: b}", "    within: {from: {}, to: []}", "    decimals: x", "    kind: length", "acceptance: {rows: [{length: {by: part.kind}}]}"} {
			torn := append(append(append([]string{}, lines[:i]...), by), lines[i+1:]...)
			b, findings := loadText(strings.Join(torn, "\n"))
			if b == nil && len(findings) == 0 {
				t.Errorf("line %d replaced by %q: no book and no finding", i+1, by)
			}
		}
	}
}

func TestShelf(t *testing.T) {
	shelf, findings := rules.Open(shipped(), technique.Vocabulary())
	if len(findings) > 0 || len(shelf.Heads) < 6 {
		t.Fatalf("%d books, %+v", len(shelf.Heads), findings)
	}
	for _, c := range []struct{ code, edition, id string }{
		{"ISO 13588", "2019", "iso-13588-2019"}, {"iso  13588", "2019", "iso-13588-2019"}, {"EN ISO 13588", "2019", "iso-13588-2019"},
		{"ISO 13588", "2012", ""}, {"ISO 23864", "2021", "iso-23864-2021"}, {"ASME V Article 4", "2019", "asme-v-art4-2019"},
		{"ASME VIII-1 Appendix 12", "2019", "asme-viii-1-app12-2019"}, {"ISO 19285", "2017", "iso-19285-2017"}, {"", "", ""},
	} {
		b, findings := shelf.Find(c.code, c.edition)
		id := ""
		if b != nil {
			id = b.ID
		}
		if id != c.id || len(findings) > 0 {
			t.Errorf("%s:%s is book %q, want %q; %+v", c.code, c.edition, id, c.id, findings)
		}
	}
	first, _ := shelf.Book("good-practice")
	again, _ := shelf.Book("good-practice")
	if first == nil || first != again {
		t.Error("a book is compiled twice")
	}
	if _, ok := first.Find("toe-clearance"); !ok {
		t.Error("toe-clearance is not found")
	}
	if _, ok := first.Find("no-such-rule"); ok {
		t.Error("a rule is found that is not there")
	}
	_, findings = rules.Open(fstest.MapFS{"a.yaml": {Data: []byte(small)}}, technique.Vocabulary())
	if len(findings) != 1 || findings[0].Rule != "book-name" {
		t.Errorf("a book under another name: %+v", findings)
	}
}

// What a book says of itself must hold: level-3 readers rely on it.
func TestBooksSayWhatTheyAre(t *testing.T) {
	sections := map[string]bool{}
	for _, s := range []string{"1", "2", "3", "4", "5", "6.1", "6.2", "6.3", "6.4", "7.1", "7.2", "7.3", "7.4", "7.5", "8", "9", "10.1", "10.2", "10.3", "10.4", "11.1", "11.2", "11.3", "11.4", "12", "13", "13.1", "14", "15"} {
		sections[s] = true
	}
	shelf, _ := rules.Open(shipped(), technique.Vocabulary())
	for _, h := range shelf.Heads {
		b := load(t, h.ID)
		if b.Caution == "" || b.Kind != "practice" && len(b.NotCovered) == 0 {
			t.Errorf("%s has no caution, or does not say what it leaves out", h.ID)
		}
		for _, r := range b.Rules {
			where := h.ID + "/" + r.ID
			if !sections[r.AnsweredIn] {
				t.Errorf("%s is answered in %q, which is no section", where, r.AnsweredIn)
			}
			if b.Kind == "practice" != (r.Sure == "common practice") || b.Kind == "practice" && r.Level != diag.Should {
				t.Errorf("%s: %s and %s in a book of kind %s", where, r.Sure, r.Level, b.Kind)
			}
			if r.Sure == "from memory" && !strings.Contains(r.Source, "recalled") && !strings.Contains(r.Source, "believed") && !strings.Contains(r.Source, "confirm") {
				t.Errorf("%s is from memory, but its source does not say so: %s", where, r.Source)
			}
			if r.Limit == "" {
				t.Errorf("%s lists no limit", where)
			}
			if strings.Contains(fmt.Sprint(r.Source, r.Asks, r.Why), "http") {
				t.Errorf("%s holds an address", where)
			}
		}
	}
}
