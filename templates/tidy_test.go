package templates

import (
	"strings"
	"testing"
)

func TestTidy(t *testing.T) {
	for _, c := range []struct{ name, in, want string }{
		{"blank lines", "\n\na  \n\n\n\nb\n", "a\n\nb\n"},
		{"table over gaps", "x\n| a | b |\n| --- | ---: |\n\n| 1 | 22 |\n\n\n| 333 | 4 |\ny", "x\n\n| a   |   b |\n| --- | --: |\n| 1   |  22 |\n| 333 |   4 |\n\ny\n"},
		{"two tables", "| a |\n| --- |\n| 1 |\n\n| b |\n| --- |\n| 2 |", "| a   |\n| --- |\n| 1   |\n\n| b   |\n| --- |\n| 2   |\n"},
		{"escaped bar", "| a | b |\n| - | - |\n| x\\|y | \\\\ |", "| a    | b   |\n| ---- | --- |\n| x\\|y | \\\\  |\n"},
		{"list", "- a\n\n- b\n\ntext\n\n1. a\n\n2. b", "- a\n- b\n\ntext\n\n1. a\n2. b\n"},
		{"what columns share", "<!-- shared -->\n\n| g | a | b |\n| - | - | - |\n| x | **1** | **1** |\n| y | 2 | 2 |\n| z | 3 | 4 |\n\n| | |\n| - | - |\n| w | 5 |\n",
			"| g   | a     | b     |\n| --- | ----- | ----- |\n| x   | **1** | **1** |\n| z   | 3     | 4     |\n\n|     |     |\n| --- | --- |\n| y   | 2   |\n| w   | 5   |\n"},
		{"one column shares nothing", "<!-- shared -->\n\n| g | a |\n| - | - |\n| y | 2 |\n", "| g   | a   |\n| --- | --- |\n| y   | 2   |\n"},
		{"heading", "## A\ntext\n## B\n", "## A\n\ntext\n\n## B\n"},
	} {
		if got, err := tidy(c.in); err != nil || got != c.want {
			t.Errorf("%s: %q, %v, want %q", c.name, got, err, c.want)
		}
	}
}

// Rows are not lost where a house's template has no table for them.
func TestSharedRowsNeedATable(t *testing.T) {
	if out, err := tidy("<!-- shared -->\n\n| g | a | b |\n| - | - | - |\n| y | 2 | 2 |\n| z | 3 | 4 |\n\ntext\n"); err == nil {
		t.Errorf("rows are lost: %q", out)
	}
}

func TestLinksFollowTheHeadings(t *testing.T) {
	source := "## 9 Technique\n\n### 9.1 Group \\*a\\* & b\n\n### 9.2 Group b_c, d\n\n## Annex A Requirements, one by one\n\n### A.1 Code\n\n### Open\n\n### Open\n\n"
	for in, want := range map[string]string{
		"[section 9.1](#section:9.1)": "[section 9.1](#91-group-a--b)",
		"[x](#section:9.2)":           "[x](#92-group-b_c-d)",
		"[annex A](#section:A)":       "[annex A](#annex-a-requirements-one-by-one)",
		"[9.7](#section:9.7?)":        "[9](#9-technique)",
		"[12](#section:12?)":          "12",
	} {
		got, err := link(source+in, false, nil)
		if err != nil || got != source+want {
			t.Errorf("%s: %q, %v, want %q", in, got[len(source):], err, want)
		}
	}
	if _, err := link(source+"[section 12](#section:12)", false, nil); err == nil {
		t.Error("a reference to no section is no error")
	}
}

// A unit that all rows share is said once; one that a row lacks, or has another
// of, stays with the numbers, and so does that of a column of texts.
func TestSharedUnitStandsInTheHead(t *testing.T) {
	got, err := tidy("| a | b | c | d | e |\n| --- | ---: | ---: | ---: | --- |\n| x | 1.5 mm | −2,0 dB | 3 mm | 4 mm |\n| y | – | 10,0 dB | 3 in | 4 mm |\n| z | 12 mm | 1,0 dB | 5 mm | 4 mm |\n")
	if err != nil {
		t.Fatal(err)
	}
	want := "| a | b, mm | c, dB | d | e | | --- | ----: | ----: | ---: | ---- | | x | 1.5 | −2,0 | 3 mm | 4 mm | | y | – | 10,0 | 3 in | 4 mm | | z | 12 | 1,0 | 5 mm | 4 mm |"
	if text := strings.Join(strings.Fields(got), " "); text != want {
		t.Errorf("got  %s\nwant %s", text, want)
	}
}
