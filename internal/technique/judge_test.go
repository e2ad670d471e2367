package technique

import (
	"math"
	"strings"
	"testing"

	"soundwrit/internal/diag"
)

func findingsOf(t *Technique, rule string) []diag.Finding {
	var list []diag.Finding
	for _, f := range t.Findings {
		if f.Rule == rule {
			list = append(list, f)
		}
	}
	return list
}

// A coarse increment is not met until the job carries an agreed deviation for
// it; then the finding stays, answered.
func TestDeviationAnswersItsFinding(t *testing.T) {
	const rule = "iso-13588-2019/scan-increment"
	open, _ := read(t, "plate-seam", "increment: 1 mm", "increment: 3 mm")
	if f := findingsOf(open, rule); len(f) != 1 || !f[0].Open() {
		t.Fatalf("3 mm on 40 mm of wall: %v", f)
	}
	agreed, _ := read(t, "plate-seam", "increment: 1 mm", "increment: 3 mm",
		"\nqualification:", "\ndeviations:\n  - {rule: "+rule+", reason: Demonstrated at 3 mm, measure: Slower scan, agreed_by: Client, date: 2026-05-01}\n\nqualification:")
	f := findingsOf(agreed, rule)
	if len(f) != 1 || f[0].Open() || !strings.Contains(f[0].Deviation, "Demonstrated at 3 mm") {
		t.Errorf("with a deviation: %+v", f)
	}
	if f := findingsOf(agreed, "idle-deviation"); len(f) != 0 {
		t.Errorf("the deviation is called idle: %v", f)
	}
}

func TestDeviationOfMetRuleIsAFinding(t *testing.T) {
	tech, _ := read(t, "plate-seam", "\nqualification:",
		"\ndeviations:\n  - {rule: iso-13588-2019/scan-increment, reason: Old habit, measure: None, agreed_by: Client, date: 2026-05-01}\n\nqualification:")
	if f := findingsOf(tech, "idle-deviation"); len(f) != 1 || f[0].At.Line == 1 {
		t.Errorf("a deviation for a rule that is met: %v", f)
	}
}

// The second critical angle of 2330 over 3240 m/s is asin 0.71914 = 45.98°:
// past it no transverse wave enters the part.
func TestWedgePastSecondCriticalAngle(t *testing.T) {
	for angle, wrong := range map[string]bool{"60 deg": true, "46.1 deg": true, "45.9 deg": false} {
		tech, _ := read(t, "plate-seam", "angle: 36.1 deg", "angle: "+angle)
		f := findingsOf(tech, "past-critical-angle")
		if (len(f) > 0) != wrong {
			t.Errorf("wedge of %s: %v", angle, f)
		}
		for _, f := range f {
			if f.Level != diag.Error || f.Path != "equipment.wedges.W55.angle" || !strings.Contains(f.Limit, "45.9°") {
				t.Errorf("wedge of %s: %+v", angle, f)
			}
		}
	}
}

// Elements at the very front send their flattest beam through the wedge's
// front face instead of its sole.
func TestBeamLeavingTheWedgeFront(t *testing.T) {
	tech, _ := read(t, "plate-seam", "front_distance: 32 mm", "front_distance: 14 mm")
	if f := findingsOf(tech, "beam-leaves-wedge"); len(f) == 0 || f[0].Level != diag.Error {
		t.Errorf("exit point before the wedge: %v", f)
	}
}

// The toe of the 30 mm reinforcement lies 15 mm from the centreline.
func TestWedgeOnTheReinforcement(t *testing.T) {
	for front, wrong := range map[string]bool{"14.9 mm": true, "15 mm": false} {
		tech, _ := read(t, "plate-seam", "wedge_front: 44 mm", "wedge_front: "+front)
		f := findingsOf(tech, "wedge-on-reinforcement")
		if (len(f) == 1) != wrong || wrong && !strings.Contains(f[0].Remedy, "15.0 mm") {
			t.Errorf("wedge front at %s: %v", front, f)
		}
		for _, f := range findingsOf(tech, "iso-13588-2019/coverage") {
			if wrong {
				t.Errorf("a group that cannot stand is held to reach nothing: %s", f.Message)
			}
		}
	}
}

func TestUnknownCodeNamesTheBooks(t *testing.T) {
	tech, _ := read(t, "plate-seam", "code: ISO 13588, edition: \"2019\"", "code: ISO 13588, edition: \"2031\"")
	f := findingsOf(tech, "unknown-code")
	if len(f) != 1 || !strings.Contains(f[0].Limit, "ISO 13588:2019") || f[0].At.Line == 1 {
		t.Errorf("an edition that has no book: %+v", f)
	}
}

// One line lost in an inch of 0.04 in steps is 4 %, and no more.
func TestAllowanceOfLinesPerInch(t *testing.T) {
	tech, _ := read(t, "pipe-girth")
	v, ok := tech.Value("scan.allowance")
	if !ok || math.Abs(v.Q.SI-0.04) > 1e-12 {
		t.Errorf("allowance %v", v.Q)
	}
}

// Where the instrument computes both images from one record, a position costs
// 22 firings and 1408 A-scans; where it does not, or may not, twice that. The
// measured rate was taken in the same way, so that the limit stays.
func TestImagesThatShareARecord(t *testing.T) {
	shared, _ := read(t, "vessel-seam")
	apart, _ := read(t, "vessel-seam", "shares_matrix: true", "shares_matrix: false")
	if f := shared.Speed.Passes[0].Frame; f.Firings != 22 || f.AScans != 1408 {
		t.Errorf("shared: %+v", f)
	}
	if f := apart.Speed.Passes[0].Frame; f.Firings != 44 || f.AScans != 2816 {
		t.Errorf("apart: %+v", f)
	}
	a, b := shared.Speed.Passes[0].Limit, apart.Speed.Passes[0].Limit
	if math.Abs(float64(a/b)-1) > 1e-9 {
		t.Errorf("limits %g and %g m/s", a, b)
	}
	if d, e := shared.Speed.Passes[0].Frame.Data, apart.Speed.Passes[0].Frame.Data; d >= e {
		t.Errorf("a shared matrix stores %g of %g bytes", d, e)
	}
}

// A job with errors tells them, and nothing about what they hide.
func TestErrorsHideWhatDependsOnThem(t *testing.T) {
	tech, found := read(t, "plate-seam", "  thickness: 40 mm", "  thickness: 40")
	if len(found) != 1 || found[0].Rule != "missing-unit" {
		t.Fatalf("findings when read: %v", found)
	}
	for _, f := range tech.Findings {
		if f.Level != diag.Note {
			t.Errorf("%s: %s [%s]", f.Path, f.Message, f.Rule)
		}
	}
}
