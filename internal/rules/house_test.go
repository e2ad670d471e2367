package rules_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// houseRule is a house book with one rule, whose body is given.
func houseRule(id, body string) string {
	text := `book: harrow-bay-2
code: Harrow Bay Works rules
edition: "2"
title: House rules
kind: house
rules:
  - id: ` + id + `
    clause: "4.1"
    level: shall
    asks: something
    why: because
    sure: seen
    source: our own rules
    answered_in: "11.1"
    message: it is wrong
    remedy: put it right
`
	for line := range strings.SplitSeq(strings.TrimSpace(body), "\n") {
		key, _, _ := strings.Cut(strings.TrimSpace(line), ":")
		if before, after, ok := strings.Cut(text, "    "+key+":"); ok {
			_, after, _ = strings.Cut(after, "\n")
			text = before + after
		}
		text += "    " + strings.TrimSpace(line) + "\n"
	}
	return text
}

func shelfOf(t *testing.T) *rules.Shelf {
	t.Helper()
	shelf, findings := rules.Open(shipped(), technique.Vocabulary())
	if len(findings) > 0 {
		t.Fatal(findings)
	}
	return shelf
}

// The code's limits used here, from the books: increment at most 1 mm up to
// 10 mm of wall, 2 mm up to 150 mm, 3 mm beyond (ISO 13588); ASME V Article 4
// 1 mm (0.04 in) below 75 mm (3 in), else 2 mm (0.08 in), asked for beams only.
func TestHouseRuleIsAtLeastAsStrictAsTheCode(t *testing.T) {
	const iso, asme = "iso-13588-2019", "asme-v-art4-2019"
	for _, c := range []struct {
		name, book, id, body string
		reason               string // part of it; empty: strict enough
	}{
		{"one limit everywhere", iso, "scan-increment", "value: scan.increment\nat_most: 1 mm", ""},
		{"beyond it in thin walls", iso, "scan-increment", "value: scan.increment\nat_most: 1.1 mm", "at part.thickness of 10 mm"},
		{"the code's own table", iso, "scan-increment", "value: scan.increment\nat_most: {by: part.thickness, steps: [{up_to: 10 mm, limit: 1 mm}, {up_to: 150 mm, limit: 2 mm}, {limit: 3 mm}]}", ""},
		{"steps that begin too early", iso, "scan-increment", "value: scan.increment\nat_most: {by: part.thickness, steps: [{below: 10 mm, limit: 1 mm}, {limit: 2 mm}]}", "at part.thickness of 10 mm"},
		{"a table that ends", iso, "scan-increment", "value: scan.increment\nat_most: {by: part.thickness, steps: [{up_to: 100 mm, limit: 1 mm}]}", "at part.thickness of 100 mm"},
		{"a formula below the steps", iso, "scan-increment", "value: scan.increment\nat_most: {by: part.thickness, steps: [{up_to: 20 mm, limit: part.thickness / 20}, {limit: 1 mm}]}", ""},
		{"a formula above them", iso, "scan-increment", "value: scan.increment\nat_most: {by: part.thickness, steps: [{up_to: 20 mm, limit: part.thickness / 9}, {limit: 1 mm}]}", "beyond the code's at part.thickness of 10 mm"},
		{"a table by something else", iso, "scan-increment", "value: scan.increment\nat_most: {by: scan.speed, steps: [{up_to: 20 mm/s, limit: 1 mm}, {limit: 0.5 mm}]}", "another quantity"},
		{"a limit that depends on the job", iso, "scan-increment", "value: scan.increment\nat_most: part.thickness / 99", "at part.thickness of 300 mm"},
		{"one that depends on something else", iso, "scan-increment", "value: scan.increment\nat_most: 2 * encoder.resolution", "cannot be compared"},
		{"the other side only", iso, "scan-increment", "value: scan.increment\nat_least: 0.1 mm", "no upper limit"},
		{"another side more", iso, "scan-increment", "value: scan.increment\nwithin: {from: 0.1 mm, to: 1 mm}", ""},
		{"another value", iso, "scan-increment", "value: scan.overlap\nat_most: 1 mm", "another value"},
		{"advice only", iso, "scan-increment", "level: should\nvalue: scan.increment\nat_most: 1 mm", "only advises"},
		{"fewer cases", iso, "scan-increment", "applies: part.kind == \"pipe\"\nunless: it is a plate\nvalue: scan.increment\nat_most: 1 mm", "does not apply wherever"},
		{"a larger least thickness", iso, "thickness-scope", "value: part.thickness\nat_least: 8 mm", ""},
		{"a smaller one", iso, "thickness-scope", "value: part.thickness\nat_least: 5 mm", "beyond the code's"},
		{"metric limit within, inch not", asme, "scan-increment", "value: scan.increment\nat_most: {limit: 1 mm, limit_inch: 0.05 in}", "for a job in inches"},
		{"asked once, where the code asks of each group", asme, "scan-increment", "value: scan.increment\nat_most: 1 mm", ""},
		{"asked of each group, where the code asks once", iso, "scan-increment", "each: group\nvalue: scan.increment\nat_most: 1 mm", "asked for each group"},
		{"one of fewer", iso, "material-scope", "value: part.material_group\none_of: [ferritic]", ""},
		{"one of more", iso, "material-scope", "value: part.material_group\none_of: [ferritic, austenitic]", "permits austenitic"},
		{"a rule of its own", iso, "house-only", "value: scan.increment\nat_most: 9 mm", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			shelf := shelfOf(t)
			house, findings := shelf.House("house.yaml", []byte(houseRule(c.id, c.body)))
			if house == nil {
				t.Fatalf("%+v", findings)
			}
			code, _ := shelf.Book(c.book)
			findings = house.Loosens(code)
			switch {
			case c.reason == "" && len(findings) > 0:
				t.Errorf("is called looser: %s", findings[0].Message)
			case c.reason == "":
			case len(findings) != 1 || !strings.Contains(findings[0].Message, c.reason) || findings[0].At.Line < 8 || findings[0].Level != diag.Error:
				t.Errorf("want a finding that says %q, got %+v", c.reason, findings)
			}
		})
	}
}

func TestHouseBookRefused(t *testing.T) {
	good := houseRule("own", "value: scan.increment\nat_most: 1 mm")
	for _, c := range []struct {
		name, text, rule string
		line, column     int
	}{
		{"a misspelt fact", strings.Replace(good, "value: scan.increment", "value: scan.incrment", 1), "book-unknown-fact", 17, 12},
		{"a code's book", strings.Replace(good, "kind: house", "kind: procedure", 1), "book-wrong-kind", 1, 1},
		{"the id of a book of the program", strings.Replace(good, "harrow-bay-2", "iso-13588-2019", 1), "book-name", 1, 1},
		{"a change of what is not essential", good + "    change: increase\n", "book-change", 19, 13},
		{"an acceptance table", good + "acceptance:\n  rows:\n    - {class: any, verdict: no, clause: a, sure: seen, source: own}\n", "book-acceptance", 1, 1},
		{"a second document", good + "---\nbook: x\n", "book-second-document", 20, 1},
		{"not UTF-8", good + "# \xff\n", "book-not-utf8", 1, 1},
		{"right to left", strings.Replace(good, "at_most: 1 mm", "unless: \u05E9\u05DC\u05D5\u05DD\n    at_most: 1 mm", 1), "book-right-to-left", 18, 13},
		{"empty", "# nothing\n", "book-empty", 1, 1},
		{"too large", good + strings.Repeat("#\n", rules.MaxHouse/2), "book-too-large", 1, 1},
		{"an endless expression", strings.Replace(good, "at_most: 1 mm", "at_most: "+strings.Repeat("(", 3000), 1), "book-expression", 18, 14},
	} {
		t.Run(c.name, func(t *testing.T) {
			book, findings := shelfOf(t).House("house.yaml", []byte(c.text))
			if book != nil || len(findings) == 0 {
				t.Fatal("the book is accepted")
			}
			if f := findings[0]; f.Rule != c.rule || f.At != (diag.Position{File: "house.yaml", Line: c.line, Column: c.column}) || f.Level != diag.Error || f.Remedy == "" {
				t.Errorf("want %s at %d:%d, got %+v", c.rule, c.line, c.column, f)
			}
		})
	}
	if book, findings := shelfOf(t).House("house.yaml", bytes.ReplaceAll([]byte(good), []byte("\n"), []byte("\r\n"))); book == nil {
		t.Errorf("a book with the line ends of some systems is refused: %+v", findings)
	}
}

// Any bytes may stand where a house book is named.
func FuzzHouse(f *testing.F) {
	shelf, _ := rules.Open(shipped(), technique.Vocabulary())
	f.Add([]byte(houseRule("scan-increment", "value: scan.increment\nat_most: {by: part.thickness, steps: [{up_to: 10 mm, limit: 1 mm}, {limit: 2 mm}]}")))
	f.Add([]byte(houseRule("own", "is_true: [part.kind == \"pipe\", part.thickness > mm(3)]\nexpected: so")))
	f.Add([]byte(houseRule("own", "confirm: see to it\nat: scan.datum")))
	code, _ := shelf.Book("iso-13588-2019")
	f.Fuzz(func(t *testing.T, text []byte) {
		book, findings := shelf.House("house.yaml", text)
		if (book == nil) != (len(findings) > 0) {
			t.Fatalf("book %v, findings %+v", book != nil, findings)
		}
		// YAML also ends lines as some systems and as Unicode do.
		lines := len(regexp.MustCompile("\r\n|[\n\r\u0085\u2028\u2029]").FindAllIndex(text, -1)) + 1
		for _, f := range findings {
			if f.At.Line < 1 || f.At.Line > lines || f.Message == "" {
				t.Fatalf("finding outside the file of %d lines: %+v", lines, f)
			}
		}
		if book != nil {
			book.Loosens(code)
			book.Check(rules.Input{})
		}
	})
}
