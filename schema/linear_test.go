package schema

import (
	"strings"
	"testing"

	"soundwrit/internal/si"
)

// linear is the complete job with a linear group in place of its first.
func linear(t testing.TB) string {
	text := edit(t, complete(t), "    method: sectorial", "    method: linear")
	text = edit(t, text, "    angles:\n      from: 45 deg\n      to: 70 deg\n      step: 1 deg\n", "    fixed_angles: [50 deg, 65 deg]\n")
	return edit(t, text, "      first: 33\n      count: 16\n", "      first: 5\n      count: 16\n    stepping:\n      last: 61\n      step: 2\n")
}

func TestLinearGroup(t *testing.T) {
	job, findings := Load("job.yaml", []byte(linear(t)))
	if len(findings) > 0 {
		t.Fatal(report(findings))
	}
	g := job.Groups[0]
	// From 5 to 20 up to 45 to 60: 20 steps of two elements.
	if g.Apertures() != 21 || len(g.FixedAngles) != 2 || g.FixedAngles[1] != 65*si.Degree || g.Angles.Step > 0 {
		t.Errorf("%d apertures of %+v", g.Apertures(), g)
	}
}

func TestFaultsOfLinearGroups(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"      last: 61", "      last: ^65", "element 65 does not exist on probe P1 [aperture-outside-array]"},
		{"      last: 61", "      last: ^19", "the first aperture, elements 5 to 20, reaches past the last element of the stepping [no-room-to-step]"},
		{"      last: 61", "      last: 20", ""}, // one aperture alone
		{"      step: 2", "      step: ^16", "neighbouring apertures share no element, so that the beams between them are missing [apertures-apart]"},
		{"      step: 2", "      step: 15", ""},
		{"[50 deg, 65 deg]", "[50 deg, ^50 deg]", "the angle is listed twice [listed-twice]"},
		{"    channels: 64", "    channels: 8", "the aperture has more elements than the instrument has channels (8) [aperture-over-channels]"},
		{"    stepping:\n      last: 61\n      step: 2\n", "", "upper lacks stepping [missing-key]"},
		{"    fixed_angles: [50 deg, 65 deg]\n", "", "upper lacks fixed_angles [missing-key]"},
		{"    legs: [1, 2]", "    legs: [1, 2]\n    ^grid: 0.1 mm", "grid does not go with method linear [misplaced-key]"},
		{"    legs: [1, 2]", "    ^legs: [2, 2]", "leg 2 is listed twice [listed-twice]"},
	} {
		text := edit(t, linear(t), c.old, c.new)
		at := ""
		if strings.Contains(c.new, "^") {
			clean, p := place(t, text)
			text, at = clean, p.String()
		}
		_, findings := Load("job.yaml", []byte(text))
		if c.want == "" {
			if len(findings) > 0 {
				t.Errorf("%q should be fine:\n%s", c.new, report(findings))
			}
			continue
		}
		if len(findings) != 1 || findings[0].Message+" ["+findings[0].Rule+"]" != c.want || at != "" && findings[0].At.String() != at {
			t.Errorf("%q: want %s at %s\n%s", c.new, c.want, at, report(findings))
		}
	}
}
