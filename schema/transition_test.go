package schema

import (
	"strings"
	"testing"

	"soundwrit/internal/diag"
)

// unclad is the complete job without its cladding.
func unclad(t *testing.T) string {
	return edit(t, complete(t), "  cladding:\n    surface: bottom\n    thickness: 4 mm\n    longitudinal: 5750 m/s\n    transverse: 3150 m/s\n    density: 7900 kg/m³\n    attenuation:\n      at: 5 MHz\n      longitudinal: 60 dB/m\n      transverse: 120 dB/m\n", "")
}

// bored is the complete job as a pipe whose end on side A is counterbored.
func bored(t *testing.T) string {
	pipe := edit(t, edit(t, unclad(t), "  kind: plate", "  kind: pipe\n  outside_diameter: 219.1 mm"), "    length: 3.2 m\n", "")
	return edit(t, pipe, "  heat_affected_zone:", "  counterbore:\n    A:\n      length: 30 mm\n      depth: 2 mm\n      taper: 14 deg\n  heat_affected_zone:")
}

func TestWalls(t *testing.T) {
	for name, c := range map[string]struct{ text, rule string }{
		"of a pipe":    {bored(t), ""},
		"of a plate":   {edit(t, unclad(t), "  heat_affected_zone:", "  counterbore:\n    ^A: {length: 30 mm, depth: 2 mm, taper: 14 deg}\n  heat_affected_zone:"), "misplaced-key"},
		"told twice":   {strings.Replace(edit(t, bored(t), "  heat_affected_zone:", transition("A")+"  heat_affected_zone:"), "    A:\n      length: 30 mm", "    ^A:\n      length: 30 mm", 1), "stated-twice"},
		"slope on top": {edit(t, bored(t), "  heat_affected_zone:", transition("A")+"      surface: top\n  heat_affected_zone:"), ""},
		"not thicker":  {edit(t, unclad(t), "  heat_affected_zone:", "  transition:\n    B:\n      begins: 40 mm\n      slope: 14 deg\n      thickness: ^25 mm\n  heat_affected_zone:"), "transition-not-thicker"},
		"no slope":     {edit(t, unclad(t), "  heat_affected_zone:", "  transition:\n    A:\n      begins: 40 mm\n      slope: ^0.5 deg\n      thickness: 32 mm\n  heat_affected_zone:"), "out-of-range"},
		"too far off":  {edit(t, unclad(t), "    root_gap: 3 mm", "    root_gap: 3 mm\n    misalignment: ^-25 mm"), "misaligned-apart"},
	} {
		text, at := c.text, diag.Position{}
		if strings.Contains(text, "^") {
			text, at = place(t, text)
		}
		_, findings := Load("job.yaml", []byte(text))
		switch {
		case c.rule == "" && len(findings) > 0:
			t.Errorf("%s: %s", name, report(findings))
		case c.rule != "" && (len(findings) != 1 || findings[0].Rule != c.rule || findings[0].At != at):
			t.Errorf("%s: want one finding at %v\n%s", name, at, report(findings))
		}
	}
}

// A section that is a piece of a ring has one wall.
func TestRingHasOneWall(t *testing.T) {
	seam := edit(t, edit(t, complete(t), "  kind: plate", "  kind: pipe\n  outside_diameter: 219.1 mm"), "    length: 3.2 m\n", "    length: 3.2 m\n    seam: longitudinal\n")
	for _, text := range []string{
		edit(t, seam, "    root_gap: 3 mm", "    root_gap: 3 mm\n    misalignment: ^1 mm"),
		edit(t, seam, "  heat_affected_zone:", "  counterbore:\n    ^A: {length: 30 mm, depth: 2 mm, taper: 14 deg}\n  heat_affected_zone:"),
	} {
		text, at := place(t, text)
		_, findings := Load("job.yaml", []byte(text))
		if len(findings) != 1 || findings[0].Rule != "misplaced-key" || findings[0].At != at {
			t.Errorf("want one finding at %v\n%s", at, report(findings))
		}
	}
}

// Of layers it is not known which grows thicker.
func TestCladdingOnEvenWall(t *testing.T) {
	text, at := place(t, edit(t, edit(t, complete(t), "    root_gap: 3 mm", "    root_gap: 3 mm\n    misalignment: 1 mm"), "  cladding:", "  ^cladding:"))
	if _, findings := Load("job.yaml", []byte(text)); len(findings) != 1 || findings[0].Rule != "clad-uneven-wall" || findings[0].At != at {
		t.Errorf("want one finding at %v\n%s", at, report(findings))
	}
}
