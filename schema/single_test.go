package schema

import (
	"os"
	"strings"
	"testing"

	"soundwrit/internal/si"
)

// singles is the complete job with groups of single-element probes beside the
// others: strokes of an angled beam, a line of one, and a straight beam.
func singles(t testing.TB) string {
	text := edit(t, complete(t), "  blocks:\n", `  single_probes:
    S60:
      description: 4 MHz, 60 deg, transverse
      frequency: 4 MHz
      element:
        length: 8 mm
        width: 9 mm
      angle: 60 deg
      wedge_velocity: 2730 m/s
      temperature_coefficient: -2.5 m/s/K
      front_distance: 11 mm
      length: 25 mm
      width: 14 mm
      contour: 900 mm
      delay: 3 us
      pulse: 0.6 us
    S0:
      description: 4 MHz, straight, dual
      frequency: 4 MHz
      diameter: 10 mm
      dual: true
      range:
        from: 2 mm
        to: 40 mm
      dead_zone: 2 mm
      wedge_velocity: 2330 m/s
      delay: 4 us
      pulse: 0.5 us
  blocks:
`)
	return edit(t, text, "\nreference:\n", `
  strokes:
    method: angle-beam
    purpose: root
    probe: S60
    sides: [B]
    surface: bottom
    raster:
      from: 18 mm
      to: 80 mm
      index: 4 mm
    wave: longitudinal
    legs: [1, 2]
    reflector: disc
    disc: 1.5 mm
  line:
    method: angle-beam
    probe: S60
    wedge_front: 20 mm
  parent:
    method: straight-beam
    purpose: laminations under the way of the beams
    probe: S0
    target: parent
    raster:
      from: 25 mm
      to: 100 mm
      index: 8 mm
    reflector: back-wall
    back_wall_loss: 6 dB

reference:
  disc: 2 mm
`)
}

func TestSingleGroups(t *testing.T) {
	job, findings := Load("job.yaml", []byte(singles(t)))
	if len(findings) > 0 {
		t.Fatal(report(findings))
	}
	strokes, line, parent := job.Groups[2], job.Groups[3], job.Groups[4]
	if strokes.Disc != 1.5*si.Millimetre || strokes.Reflector != "disc" || si.Known(strokes.WedgeFront) || len(strokes.Sides) != 1 {
		t.Errorf("%+v", strokes)
	}
	// What the group does not say is that of the reference, or the usual one.
	if line.Reflector != "side-drilled-hole" || line.Disc != 2*si.Millimetre || line.Wave != "transverse" || len(line.Legs) != 1 || si.Known(line.Raster.To) {
		t.Errorf("%+v", line)
	}
	if parent.Target != "parent" || parent.BackWallLoss != 6 || parent.Wave != "" || len(parent.Legs) != 0 || len(parent.Sides) != 2 {
		t.Errorf("%+v", parent)
	}
	if s0 := job.Equipment.SingleProbes[1]; si.Known(s0.Angle) || !s0.Dual || s0.RangeTo != 40*si.Millimetre {
		t.Errorf("%+v", s0)
	}
}

func TestFaultsOfSingleGroups(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"    probe: S0\n", "    probe: ^S1\n", "there is no single-element probe of the name S1 [unknown-name]"},
		{"    wedge_front: 20 mm\n", "", "line lacks raster, or wedge_front for one line along the weld [missing-key]"},
		{"    wave: longitudinal\n", "    wave: longitudinal\n    wedge_front: 20 mm\n", "strokes has both wedge_front and raster [not-one]"},
		{"      from: 18 mm\n", "      from: ^80 mm\n", "a stroke has no length: from is not under to [range-reversed]"},
		{"    target: parent\n", "", "parent lacks target [missing-key]"},
		{"    target: parent\n", "    target: parent\n    ^wave: transverse\n", "wave does not go with method straight-beam [misplaced-key]"},
		{"    target: parent\n", "    target: parent\n    ^wedge: W1\n", "wedge does not go with method straight-beam [misplaced-key]"},
		{"    legs: [1, 2]\n    reflector: disc\n", "    legs: [1, 2]\n    reflector: ^back-wall\n", "the back wall sends an angled beam away, and cannot set the sensitivity of strokes [no-such-reflector]"},
		{"    reflector: back-wall\n", "    reflector: ^notch\n", "a notch does not set the sensitivity of the straight beam of parent [no-such-reflector]"},
		{"    reflector: back-wall\n", "    reflector: ^disc\n", "the laws of distance, gain and size hold for one element, and probe S0 has two [no-such-reflector]"},
		{"  reflector: side-drilled-hole\n", "  reflector: ^back-wall\n", "reflector back-wall is for single-element probes, and group upper has an array [no-such-reflector]"},
		{"      frequency: 4 MHz\n      diameter: 10 mm\n", "      frequency: 4 MHz\n", "probe S0 lacks diameter, or element with the sides of a rectangular one [missing-key]"},
		{"      frequency: 4 MHz\n      diameter: 10 mm\n", "      frequency: 4 MHz\n      diameter: 10 mm\n      element: {length: 8 mm, width: 8 mm}\n", "probe S0 has both diameter and element [not-one]"},
		{"      range:\n        from: 2 mm\n        to: 40 mm\n", "", "probe S0 is dual and lacks range, in which its two beams meet [missing-key]"},
		{"        from: 2 mm\n", "        from: ^40 mm\n", "the range of the probe is empty [range-reversed]"},
		{"      delay: 4 us\n", "", "a delay line has both delay and wedge_velocity, and delay is missing [missing-key]"},
		{"      dead_zone: 2 mm\n", "      dead_zone: 2 mm\n      angle: ^45 deg\n", "angle belongs to an angled beam, and probe S0 serves a straight one [misplaced-key]"},
		{"    reflector: disc\n    disc: 1.5 mm\n", "    reflector: disc\n    disc: ^2\n", "disc has no unit [missing-unit]"},
	} {
		text, at := edit(t, singles(t), c.old, c.new), ""
		if strings.Contains(c.new, "^") {
			clean, p := place(t, text)
			text, at = clean, p.String()
		}
		_, findings := Load("job.yaml", []byte(text))
		if all := report(findings); !strings.Contains(all, c.want) || at != "" && !strings.Contains(all, at+": ") {
			t.Errorf("%q: want %s at %s\n%s", c.new, c.want, at, all)
		}
	}
}

// A method that is no method is one fault: what else the group lacks is not
// known before it is put right.
func TestUnknownMethodIsOneFault(t *testing.T) {
	text, err := os.ReadFile("../testdata/jobs/girder-manual.yaml")
	if err != nil {
		t.Fatal(err)
	}
	_, findings := Load("job.yaml", []byte(edit(t, string(text), "method: straight-beam", "method: straight-beams")))
	if len(findings) != 1 || findings[0].Rule != "wrong-value" {
		t.Errorf("findings:\n%s", report(findings))
	}
}
