package schema

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSet(t *testing.T) {
	const job = "# head\npart:\n  thickness: 40 mm # nominal\n  weld: {length: 2 m, root_gap: 2 mm}\n  access:\n    sides: [A, B] # both\n" +
		"  note: 'it''s {here}'\n  text: >-\n    long\n    text\ngroups:\n  skip:\n    angles: {from: 40 deg, to: \"70 deg\"}\n"
	for _, c := range []struct{ path, value, old, new string }{
		{"part.thickness", "25 mm", "40 mm # nominal", "25 mm # nominal"},
		{"part.weld.root_gap", "3 mm", "root_gap: 2 mm}", "root_gap: 3 mm}"},
		{"part.access.sides", "[A]", "[A, B] # both", "[A] # both"},
		{"part.note", "plain", "'it''s {here}'", "plain"},
		{"groups.skip.angles.to", "65 deg", `"70 deg"`, "65 deg"},
		{"groups.skip.angles", "{from: 45 deg, to: 60 deg}", `{from: 40 deg, to: "70 deg"}`, "{from: 45 deg, to: 60 deg}"},
		{"part.text", "short", ">-\n    long\n    text\n", "short\n"},
		{"groups.skip", "{method: tfm}", "\n    angles: {from: 40 deg, to: \"70 deg\"}\n", " {method: tfm}\n"},
		{"groups.skip.angles.step", "1 deg", "{from: 40 deg", "{step: 1 deg, from: 40 deg"},
		{"part.kind", "plate", "  thickness: 40 mm", "  kind: plate\n  thickness: 40 mm"},
		{"part.range.thickness", "{from: 1 mm, to: 2 mm}", "  thickness: 40 mm", "  range: {thickness: {from: 1 mm, to: 2 mm}}\n  thickness: 40 mm"},
		{"scan.increment", "1 mm", "part:\n", "scan: {increment: 1 mm}\npart:\n"},
	} {
		got, err := Set([]byte(job), Edit{c.path, c.value})
		if want := strings.Replace(job, c.old, c.new, 1); err != nil || string(got) != want {
			t.Errorf("%s: %v\n%s\nwant\n%s", c.path, err, got, want)
		}
	}
	for _, e := range []Edit{{"part.thickness.from", "1 mm"}, {"part.thickness", "a: [b"}, {"part.thickness", "1 mm\n2"}, {"part.thickness", "1 mm # x"}} {
		got, err := Set([]byte(job), e)
		if err == nil && e.Value != "1 mm # x" {
			t.Errorf("%v was set:\n%s", e, got)
		}
	}
}

// Each single value of each shipped job can be set to itself, and nothing moves.
func TestSetToItself(t *testing.T) {
	files, _ := filepath.Glob("../testdata/jobs/*.yaml")
	for _, file := range files {
		job, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		root, _ := read(file, job)
		set := 0
		var walk func(n *node)
		walk = func(n *node) {
			for _, c := range n.children {
				walk(c)
			}
			if n.shape != number && (n.shape != text || strings.ContainsAny(n.text, ":#,[]{}\"'\n&*!|>%@") || n.text == "") {
				return
			}
			if !strings.Contains(string(job), n.text) {
				return // on several lines, which become one
			}
			got, err := Set(job, Edit{n.path(), n.text})
			if err != nil && !strings.Contains(err.Error(), "several lines") && !strings.Contains(err.Error(), "more than that") {
				t.Errorf("%s: %v", file, err)
			}
			if err == nil {
				set++
				if len(got) > len(job) || len(job)-len(got) > 2 { // quotes at most
					t.Errorf("%s: %s moved %d bytes", file, n.path(), len(got)-len(job))
				}
			}
		}
		walk(root)
		if set < 50 {
			t.Errorf("%s: only %d values were set", file, set)
		}
	}
}
