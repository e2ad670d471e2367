package schema

import (
	"strings"
	"testing"

	"soundwrit/internal/diag"
)

// teed is the complete job as a T-butt weld.
func teed(t *testing.T) string {
	text := edit(t, unclad(t), "  heat_affected_zone:", "  flange:\n    thickness: 30 mm\n  heat_affected_zone:")
	text = edit(t, text, "    preparation: single-V", "    preparation: single-bevel\n    bevelled_side: A")
	return strings.ReplaceAll(text, "sides: [A, B]", "sides: [A]")
}

func TestFlange(t *testing.T) {
	tee := teed(t)
	flanged := edit(t, edit(t, tee, "surfaces: [top, bottom]", "surfaces: [top, bottom, flange]"), "sides: [A]\n    surface: top", "sides: [top]\n    surface: flange")
	imaged := edit(t, tee, "surfaces: [top, bottom]", "surfaces: [top, bottom, flange]")
	imaged = edit(t, imaged, "    method: tfm", "    method: ^tfm")
	imaged = imaged[:strings.Index(imaged, "^tfm")] + strings.Replace(imaged[strings.Index(imaged, "^tfm"):], "sides: [A]\n    surface: top", "surface: flange", 1)
	for name, c := range map[string]struct{ text, rule string }{
		"V":            {edit(t, tee, "    preparation: single-bevel\n    bevelled_side: A", "    preparation: ^single-V"), "misplaced-key"},
		"flange bevel": {edit(t, tee, "bevelled_side: A", "bevelled_side: ^B"), "misplaced-key"},
		"pipe":         {edit(t, edit(t, edit(t, tee, "  kind: plate", "  kind: pipe\n  outside_diameter: 219.1 mm"), "    length: 3.2 m\n", ""), "  flange:", "  ^flange:"), "misplaced-key"},
		"transition":   {edit(t, tee, "  heat_affected_zone:", strings.Replace(transition("A"), "A:", "^A:", 1)+"  heat_affected_zone:"), "misplaced-key"},
		"misaligned":   {edit(t, tee, "    root_gap: 3 mm", "    root_gap: 3 mm\n    misalignment: ^1 mm"), "misplaced-key"},
		"no thickness": {edit(t, tee, "thickness: 30 mm", "thickness: ^0 mm"), "out-of-range"},
		"side B":       {strings.Replace(tee, "sides: [A]", "sides: [A, ^B]", 1), "misplaced-key"},
		"plain":        {tee, ""},
		"outer face":   {flanged, ""},
		"its sides":    {strings.Replace(flanged, "sides: [top]", "sides: [^A]", 1), "misplaced-key"},
		"web's sides":  {strings.Replace(tee, "sides: [A]\n    surface: top", "sides: [^top]\n    surface: top", 1), "misplaced-key"},
		"over weld":    {strings.Replace(flanged, "wedge_front: 18 mm", "wedge_front: -18 mm", 1), ""},
		"off flange":   {edit(t, tee, "wedge_front: 18 mm", "wedge_front: ^-18 mm"), "out-of-range"},
		"image":        {imaged, "misplaced-key"},
		"no access":    {edit(t, edit(t, flanged, "surfaces: [top, bottom, flange]", "surfaces: [top, bottom]"), "surface: flange", "surface: ^flange"), "surface-not-accessible"},
		"no flange":    {strings.Replace(unclad(t), "surfaces: [top", "surfaces: [^flange, top", 1), "misplaced-key"},
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
