package diag

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// sample has one finding of each verdict, with every row in use somewhere.
func sample() []Finding {
	at := func(line, column int) Position { return Position{File: "plate.yaml", Line: line, Column: column} }
	return []Finding{
		{Rule: "missing-unit", Level: Error, At: at(14, 14), Path: "part.thickness", Message: "thickness has no unit",
			Actual: "12", Limit: "a length with its unit, such as 12 mm", Remedy: "write the unit after the number"},
		{Rule: "lines-too-far-apart", Level: Shall, At: at(31, 17), Path: "scan.increment", Message: "scan lines are too far apart",
			Actual: "2 mm", Limit: "at most 1 mm", Code: "House 1:2020", Clause: "7.3", Sure: "from memory",
			Also: []Also{{At: at(9, 14), Message: "part.thickness: 12.5 mm sets the limit"}}, Remedy: "set it to 1 mm or less"},
		{Rule: "agreed", Level: Shall, At: at(32, 1), Message: "no", Deviation: "by the client, 2026-01-02"},
		{Rule: "hint", Level: Should, At: at(33, 1), Message: "better so"},
		{Rule: "ask", Level: Note, At: Position{File: "plate.yaml"}, Message: "confirm on\nsite\x1b"},
	}
}

func TestText(t *testing.T) {
	var b bytes.Buffer
	if err := Text(&b, sample(), Options{After: "Nothing was written."}); err != nil {
		t.Fatal(err)
	}
	// Written by hand from the description of the format.
	want := `plate.yaml:14:14: error: thickness has no unit [missing-unit]
    written   part.thickness: 12
    expected  a length with its unit, such as 12 mm
    do        write the unit after the number
plate.yaml:31:17: not met: scan lines are too far apart [lines-too-far-apart]
    written   scan.increment: 2 mm
    expected  at most 1 mm
    clause    House 1:2020, 7.3 (from memory: confirm before use)
    also      plate.yaml:9:14  part.thickness: 12.5 mm sets the limit
    do        set it to 1 mm or less
plate.yaml:32:1: agreed deviation: no [agreed]
    agreed    by the client, 2026-01-02
plate.yaml:33:1: advice: better so [hint]
plate.yaml: confirm: confirm on site? [ask]
2 problems in plate.yaml: 1 error, 1 requirement not met, 1 agreed deviation, 1 piece of advice, 1 point to confirm. Nothing was written.
`
	if d := cmp.Diff(want, b.String()); d != "" {
		t.Error(d)
	}
}

func TestTextStopsAtFifty(t *testing.T) {
	var many []Finding
	for i := range 53 {
		many = append(many, Finding{Rule: "x", Level: Error, At: Position{"a.yaml", i + 1, 1}, Message: "m"})
	}
	var b bytes.Buffer
	if err := Text(&b, many, Options{}); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), "error: m"); n != 50 {
		t.Errorf("%d findings printed, want 50", n)
	}
	if !strings.HasSuffix(b.String(), "and 3 more\n53 problems in a.yaml: 53 errors.\n") {
		t.Errorf("ends %q", b.String()[b.Len()-60:])
	}
}

func TestTextWithoutFindings(t *testing.T) {
	var b bytes.Buffer
	if err := Text(&b, nil, Options{}); err != nil || b.Len() != 0 {
		t.Errorf("printed %q, %v", b.String(), err)
	}
}

func TestTextColourOnlyWhenAsked(t *testing.T) {
	for _, colour := range []bool{false, true} {
		var b bytes.Buffer
		if err := Text(&b, sample(), Options{Colour: colour}); err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(b.String(), "\x1b["); got != colour {
			t.Errorf("colour %v: escape sequences %v", colour, got)
		}
	}
}

func TestJSON(t *testing.T) {
	var b bytes.Buffer
	if err := JSON(&b, "plate.yaml", sample()); err != nil {
		t.Fatal(err)
	}
	var got struct {
		Job      string
		Findings []map[string]any
		Summary  map[string]int
	}
	if err := json.Unmarshal(b.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	keys := []string{"rule", "level", "file", "line", "column", "path", "message", "actual", "limit", "clause", "code", "remedy"}
	for i, f := range got.Findings {
		if len(f) != len(keys) {
			t.Errorf("finding %d has %d keys, want %d", i, len(f), len(keys))
		}
		for _, k := range keys {
			if _, ok := f[k]; !ok {
				t.Errorf("finding %d lacks %q", i, k)
			}
		}
	}
	if d := cmp.Diff(map[string]int{"error": 1, "shall": 2, "should": 1, "note": 1}, got.Summary); d != "" {
		t.Error(d)
	}
	b.Reset()
	if err := JSON(&b, "-", nil); err != nil || !strings.Contains(b.String(), `"findings": []`) {
		t.Errorf("no findings: %s", b.String())
	}
}

func TestSortDropsRepetitions(t *testing.T) {
	a := Finding{Rule: "b", At: Position{"f", 2, 1}, Message: "m"}
	c := Finding{Rule: "a", At: Position{"f", 1, 9}, Message: "m"}
	got := Sort([]Finding{a, c, a})
	if d := cmp.Diff([]Finding{c, a}, got); d != "" {
		t.Error(d)
	}
}

func TestNearest(t *testing.T) {
	names := []string{"thickness", "transverse", "top", "bottom", "sides", "side-drilled-hole"}
	for word, want := range map[string]string{
		"thicknes": "thickness", "tihckness": "thickness", "Thickness": "thickness",
		"transversal": "transverse", "tpo": "top", "x": "", "": "", "length": "",
		"thiknes": "thickness", "thkns": "", "tops": "top",
		"side_drilled_hole": "side-drilled-hole",
	} {
		if got := Nearest(word, names); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}

// The distance is symmetric, zero only for equal words, and one edit is one.
func TestDistanceProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringMatching(`[a-cµ]{0,8}`)
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		if d, e := distance(a, b, 9), distance(b, a, 9); d != e {
			t.Fatalf("distance %d one way, %d the other", d, e)
		}
		if (distance(a, b, 9) == 0) != (a == b) {
			t.Fatalf("distance zero and equality disagree")
		}
		r := []rune(a)
		i := rapid.IntRange(0, len(r)).Draw(t, "i")
		edited := string(slices.Insert(slices.Clone(r), i, 'z'))
		if d := distance(a, edited, 9); d != 1 {
			t.Fatal(fmt.Sprint("one inserted letter counts ", d))
		}
	})
}

// An error at the end of a long file stands even where advice fills the page.
func TestErrorsDoNotHideBehindAdvice(t *testing.T) {
	var findings []Finding
	for i := range 60 {
		findings = append(findings, Finding{Rule: "a", Level: Should, Message: "advice", At: Position{"job.yaml", i + 1, 1}})
	}
	findings = append(findings, Finding{Rule: "b", Level: Error, Message: "at the end", At: Position{"job.yaml", 99, 1}})
	var b strings.Builder
	if err := Text(&b, findings, Options{}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "at the end") || !strings.Contains(b.String(), "and 11 more") {
		t.Errorf("got\n%s", b.String())
	}
}
