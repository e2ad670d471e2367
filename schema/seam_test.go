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

// What the gap under a single probe follows from: its length where the beam goes
// around the pipe, its width where it goes along it or the beam is straight.
func TestSingleProbesOnAPipe(t *testing.T) {
	seam := edit(t, singles(t), "  kind: plate", "  kind: pipe\n  outside_diameter: 508 mm")
	seam = edit(t, seam, "    length: 3.2 m\n", "    length: 3.2 m\n    seam: longitudinal\n")
	seam = edit(t, seam, "      dead_zone: 2 mm\n", "      width: 12 mm\n      dead_zone: 2 mm\n")
	if _, findings := Load("job.yaml", []byte(seam)); len(findings) > 0 {
		t.Fatal(report(findings))
	}
	for _, c := range []struct{ old, new, want string }{
		{"      width: 14 mm\n      contour: 900 mm\n", "", ""},
		{"      width: 12 mm\n", "", "probe S0 lacks width, which the gap on a pipe is computed from [missing-key]"},
		{"      contour: 900 mm\n", "      contour: ^20 mm\n", "the probe is longer than the pipe it is shaped for [contour-too-small]"},
		{"      length: 25 mm\n      width: 14 mm\n", "      width: 14 mm\n", "probe S60 lacks length, which method angle-beam needs [missing-key]"},
	} {
		text, at := edit(t, seam, c.old, c.new), ""
		if strings.Contains(c.new, "^") {
			clean, p := place(t, text)
			text, at = clean, p.String()
		}
		_, findings := Load("job.yaml", []byte(text))
		all := report(findings)
		if c.want == "" && len(findings) > 0 || !strings.Contains(all, c.want) || !strings.Contains(all, at) {
			t.Errorf("%q: want %s at %s\n%s", c.new, c.want, at, all)
		}
	}
}
