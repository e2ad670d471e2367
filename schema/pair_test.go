package schema

import (
	"strings"
	"testing"

	"soundwrit/internal/si"
)

// tofd is the complete job with a tofd group beside the others.
func tofd(t testing.TB) string {
	text := edit(t, complete(t), "  blocks:\n", `  single_probes:
    D1:
      description: two alike longitudinal probes
      frequency: 5 MHz
      diameter: 6 mm
      angle: 60 deg
      wedge_velocity: 2400 m/s
      front_distance: 8 mm
      length: 20 mm
      delay: 4 us
      pulse: 0.3 us
  blocks:
`)
	return edit(t, text, "\nreference:\n", `
  timing:
    method: tofd
    purpose: height of what the others find
    pair: D1
    surface: top
    crossing_depth: 16 mm
    depth_zone:
      from: 0 mm
      to: 25 mm
    separation_tolerance: 0.5 mm

reference:
`)
}

func TestTofdGroup(t *testing.T) {
	job, findings := Load("job.yaml", []byte(edit(t, tofd(t), "    separation_tolerance: 0.5 mm\n", "")))
	if len(findings) > 0 {
		t.Fatal(report(findings))
	}
	g := job.Groups[2]
	if g.SeparationTolerance != 1*si.Millimetre || si.Known(g.Separation) || g.CrossingDepth != 16*si.Millimetre || len(g.Sides) != 2 || g.Wave != "" {
		t.Errorf("%+v", g)
	}
}

func TestFaultsOfTofdGroups(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"    pair: D1", "    pair: ^D2", "there is no single-element probe of the name D2 [unknown-name]"},
		{"    crossing_depth: 16 mm\n", "", "timing lacks separation, or crossing_depth from which it is computed [missing-key]"},
		{"    crossing_depth: 16 mm\n", "    ^crosing_depth: 16 mm\n", "crosing_depth is not a key of timing [unknown-key]"},
		{"    crossing_depth: 16 mm\n", "    crossing_depth: ^16 mm\n    separation: 50 mm\n", "timing has both separation and crossing_depth [not-one]"},
		{"    crossing_depth: 16 mm\n", "    crossing_depth: 16 mm\n    ^wedge_front: 16 mm\n", "wedge_front does not go with method tofd [misplaced-key]"},
		{"      to: 25 mm\n", "      to: ^26 mm\n", "the zone ends deeper than the part is thick [region-outside-part]"},
		{"      from: 0 mm\n", "      from: ^25 mm\n", "the zone has no height: from is not above to [range-reversed]"},
		{"      pulse: 0.3 us\n", "", "D1 lacks pulse [missing-key]"},
		{"    pair: D1\n", "", "timing lacks pair [missing-key]"},
	} {
		text, at := edit(t, tofd(t), c.old, c.new), ""
		if strings.Contains(c.new, "^") {
			clean, p := place(t, text)
			text, at = clean, p.String()
		}
		_, findings := Load("job.yaml", []byte(text))
		if len(findings) != 1 || findings[0].Message+" ["+findings[0].Rule+"]" != c.want || at != "" && findings[0].At.String() != at {
			t.Errorf("%q: want %s at %s\n%s", c.new, c.want, at, report(findings))
		}
	}
	// Without its other side there is no weld between the probes.
	job := edit(t, tofd(t), "    sides: [A, B]\n    surfaces", "    sides: [A]\n    surfaces")
	_, findings := Load("job.yaml", []byte(job))
	if all := report(findings); !strings.Contains(all, "method tofd needs both sides of the weld, and only side A is accessible [side-not-accessible]") {
		t.Error(all)
	}
}
