package render

import (
	"strings"
	"testing"
)

// The chart of gains has a line for each group with gains, of as many pieces as
// there are reflectors after the first, and its text says where each line ends.
func TestGainFigure(t *testing.T) {
	for _, name := range []string{"plate-seam", "vessel-seam"} {
		tech := computed(t, name)
		a := artist{Technique: tech, letters: newTypeface(), units: tech.Job.Document.Units}
		f, ok := a.expectedGain()
		if !ok {
			t.Fatalf("%s has no chart of gains", name)
		}
		circles, reflectors := 0, 0
		for _, v := range tech.Values {
			if strings.Contains(v.ID, ".curve.") && strings.HasSuffix(v.ID, ".path") {
				reflectors++
			}
		}
		for _, s := range f.Drawing.shapes {
			if s.pen.width == 0.35 {
				circles++
			}
		}
		if circles != reflectors {
			t.Errorf("%s: %d points for %d reflectors", name, circles, reflectors)
		}
		for i := range tech.Groups {
			if !strings.Contains(f.Alt, "group "+tech.Groups[i].Set.Name) {
				t.Errorf("%s: %q does not name group %s", name, f.Alt, tech.Groups[i].Set.Name)
			}
		}
	}
}
