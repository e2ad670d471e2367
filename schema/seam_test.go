package schema

import (
	"strings"
	"testing"
)

// pipe is the complete job on a pipe of 508 mm, with a seam along it.
func pipe(t *testing.T) string {
	text := edit(t, complete(t), "  kind: plate", "  kind: pipe\n  outside_diameter: 508 mm")
	return edit(t, text, "    length: 3.2 m\n", "    length: 3.2 m\n    seam: longitudinal\n")
}

func TestLongitudinalSeam(t *testing.T) {
	job, findings := Load("job.yaml", []byte(pipe(t)))
	if len(findings) > 0 {
		t.Fatal(report(findings))
	}
	if !job.Part.Longitudinal() {
		t.Error("a longitudinal seam is not told")
	}
	for _, c := range []struct{ old, new, want string }{
		{"    length: 3.2 m\n", "", "weld lacks length, which a longitudinal seam needs [missing-key]"},
		{"    seam: longitudinal\n", "    seam: girth\n", "length does not go with a girth weld, whose length is computed [misplaced-key]"},
		{"  outside_diameter: 508 mm\n", "", "part lacks outside_diameter [missing-key]"},
		{"      length: 50 mm\n", "", "wedge W1 lacks length, which the gap on a pipe is computed from [missing-key]"},
		{"outside_diameter: 508 mm", "outside_diameter: 51 mm", "the reinforcement reaches around the pipe [too-wide-for-pipe]"},
		{"      length: 50 mm\n", "      length: 500 mm\n      contour: 400 mm\n", "the wedge is longer than the pipe it is shaped for [contour-too-small]"},
		{"  heat_affected_zone:", transition("A") + "  heat_affected_zone:", "a transition does not go with a longitudinal seam, whose wall is taken as one ring [misplaced-key]"},
		{"    seam: longitudinal\n", "    seam: spiral\n", "seam cannot be spiral [wrong-value]"},
	} {
		_, findings := Load("job.yaml", []byte(edit(t, pipe(t), c.old, c.new)))
		told := report(findings)
		found := false
		for _, f := range findings {
			found = found || strings.HasPrefix(f.Message+" ["+f.Rule+"]", c.want)
			if f.At.Line == 0 || f.Limit == "" || f.Remedy == "" {
				t.Errorf("%q: place, limit or remedy is missing:\n%s", c.new, told)
			}
		}
		if !found {
			t.Errorf("%q: want %s\n%s", c.new, c.want, told)
		}
	}
}
