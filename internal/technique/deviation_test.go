package technique

import (
	"strings"
	"testing"

	"soundwrit/internal/diag"
)

// withDeviation is the shipped plate job with one deviation and other changes.
func withDeviation(t *testing.T, fields string, changes ...string) *Technique {
	t.Helper()
	tech, _ := read(t, "plate-seam", append(changes, "\nqualification:", "\ndeviations:\n  - {"+fields+", agreed_by: Client, date: 2026-05-01}\n\nqualification:")...)
	return tech
}

func one(t *testing.T, tech *Technique, rule string) diag.Finding {
	t.Helper()
	list := findingsOf(tech, rule)
	if len(list) != 1 {
		t.Fatalf("%d findings of %s, want one: %+v", len(list), rule, list)
	}
	return list[0]
}

const coarse, coarser = "increment: 1 mm", "increment: 3 mm"

func TestDeviationWithoutMeasureStaysOpen(t *testing.T) {
	tech := withDeviation(t, "rule: iso-13588-2019/scan-increment, reason: No finer step", coarse, coarser)
	if f := one(t, tech, "deviation-measure"); !f.Open() || f.At.Line < 2 {
		t.Errorf("a deviation without a measure: %+v", f)
	}
	tech = withDeviation(t, "rule: iso-13588-2019/scan-increment, reason: No finer step, measure: Second scan", coarse, coarser)
	if list := findingsOf(tech, "deviation-measure"); len(list) != 0 {
		t.Errorf("with a measure: %+v", list)
	}
}

func TestDeviationFromUnknownRuleNamesTheNearest(t *testing.T) {
	tech := withDeviation(t, "rule: iso-13588-2019/scan-incremnt, reason: No finer step, measure: Second scan", coarse, coarser)
	if f := one(t, tech, "deviation-unknown-rule"); !f.Open() || !strings.Contains(f.Remedy, "did you mean iso-13588-2019/scan-increment?") {
		t.Errorf("a misspelt rule: %+v", f)
	}
	if f := one(t, tech, "iso-13588-2019/scan-increment"); !f.Open() {
		t.Error("a misspelt deviation answers a finding")
	}
	// A rule of a book that the job does not name is as unknown.
	tech = withDeviation(t, "rule: asme-v-art4-2019/scan-increment, reason: No finer step, measure: Second scan")
	if f := one(t, tech, "deviation-unknown-rule"); strings.Contains(f.Remedy, "asme") {
		t.Errorf("a rule of another code: %+v", f)
	}
}

// Why a deviation answers nothing is told: here the rule is met.
func TestIdleDeviationTellsTheVerdict(t *testing.T) {
	tech := withDeviation(t, "rule: iso-13588-2019/scan-increment, reason: Old habit, measure: None")
	if f := one(t, tech, "idle-deviation"); !strings.HasSuffix(f.Actual, "scan-increment: met") {
		t.Errorf("%+v", f)
	}
}

// Sampling at 20 MHz is 5 times 4 MHz, and the code advises 6 for each group.
// One deviation covers all groups, unless it names one.
func TestDeviationForOneGroup(t *testing.T) {
	const rule = "iso-13588-2019/sampling"
	changes := []string{"sampling: 50 MHz", "sampling: 20 MHz"}
	open := func(fields string) (open, agreed int) {
		tech := withDeviation(t, "rule: "+rule+fields+", reason: Instrument at hand, measure: Echoes read on the envelope", changes...)
		for _, f := range findingsOf(tech, rule) {
			if f.Deviation == "" {
				open++
			} else {
				agreed++
			}
		}
		return open, agreed
	}
	bare, _ := read(t, "plate-seam", changes...)
	all := len(findingsOf(bare, rule))
	if all != 2 {
		t.Fatalf("%d groups break the rule, want both", all)
	}
	if o, a := open(""); o != 0 || a != all {
		t.Errorf("for all groups: %d open, %d agreed, want %d agreed", o, a, all)
	}
	if o, a := open(", subject: " + bare.Groups[0].Set.Name); o != all-1 || a != 1 {
		t.Errorf("for one group: %d open, %d agreed, want %d and 1", o, a, all-1)
	}
	tech := withDeviation(t, "rule: "+rule+", subject: nobody, reason: x, measure: y", changes...)
	if f := one(t, tech, "deviation-unknown-subject"); !f.Open() {
		t.Errorf("a subject that does not exist: %+v", f)
	}
}
