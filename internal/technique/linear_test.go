package technique

import (
	"math"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Worked out with a pocket calculator from the job's text, as TestValuesByHand.
// sin 36.1° = 0.58920, cos 36.1° = 0.80799. At 60°, sin β = 2330/3240 × 0.86603
// = 0.62280, tan β = 0.79603. The middle of elements 1 to 16 is 7.5 pitches in
// front of element 1: h = 6 + 3.75 × 0.58920 = 8.2095, d = 50 − 3.75 × 0.80799
// = 46.970; that of 49 to 64 is 55.5 pitches in front: h = 22.350, d = 27.578.
func TestLinearValuesByHand(t *testing.T) {
	tech, _ := read(t, "deck-linear")
	byHand(t, tech, "", []handValue{
		{"groups.root.apertures", 25, 0, "1 to 16, 3 to 18, ... 49 to 64"},
		{"groups.root.firings", 50, 0, "25 apertures × 2 angles"},
		{"groups.root.aperture_overlap", 87.42, 0.005, "1 − 2 × 0.5 / 7.95"},
		{"groups.root.exit_first", 40.435, 0.005, "46.970 − 8.2095 × 0.79603"},
		{"groups.root.exit_last", 9.787, 0.005, "27.578 − 22.350 × 0.79603"},
		{"groups.root.band", 30.648, 0.01, "40.435 − 9.787"},
		{"groups.root.laws.60.1-16.exit", 40.435, 0.005, "as above"},
		{"groups.root.laws.60.49-64.path", 32, 0.001, "16 / cos 60°: the beam ends at the bottom inside the volume"},
	})
	// Without focus, an angle has the same delays at every aperture.
	first, last := tech.Groups[1].Laws[0], tech.Groups[1].Laws[1]
	for i := range first.Delays {
		if math.Abs(float64(first.Delays[i]-last.Delays[i])) > 1e-15 {
			t.Errorf("delay %d is %v at the first and %v at the last aperture", i+1, first.Delays[i], last.Delays[i])
		}
	}
}

func TestLinearSetUps(t *testing.T) {
	testSetUps(t, "deck-linear", map[string]setUp{
		"one angle is too few at level B": {[]string{"fixed_angles: [50 deg, 60 deg]", "fixed_angles: [60 deg]"}, "iso-13588-2019/fixed-angles"},
		"a wide step":                     {[]string{"step: 2", "step: 9"}, "good-practice/aperture-step"},
		"past the critical angle":         {[]string{"velocity: 2330 m/s", "velocity: 3400 m/s", "[50 deg, 60 deg]", "[50 deg, 89 deg]"}, "past-critical-angle"},
		"out through the wedge's front":   {[]string{"front_distance: 50 mm", "front_distance: 40 mm"}, "beam-leaves-wedge"},
		"a single aperture":               {[]string{"last: 64", "last: 16"}, ""},
	})
}

// setUp is a change of a shipped job, and the rule that must be among the
// findings then; without a rule the change must be one that can be computed.
type setUp struct {
	replace []string
	rule    string
}

func testSetUps(t *testing.T, job string, setUps map[string]setUp) {
	t.Helper()
	for name, c := range setUps {
		tech, found := read(t, job, c.replace...)
		var rules []string
		for _, f := range append(found, tech.Findings...) {
			rules = append(rules, f.Rule)
			if c.rule == "" && f.Level == diag.Error {
				t.Errorf("%s: %s [%s]", name, f.Message, f.Rule)
			}
		}
		if all := strings.Join(rules, " "); !strings.Contains(all, c.rule) {
			t.Errorf("%s: %s", name, all)
		}
	}
}

// The band between the first and the last aperture must hold the central ray
// of every aperture between them.
func TestLinearReachesWhatItsBeamsReach(t *testing.T) {
	tech, _ := read(t, "deck-linear")
	g := &tech.Groups[1]
	for _, st := range g.apertures(g.Set.WedgeFront) {
		for _, angle := range g.Set.FixedAngles {
			x, _ := st.exit(angle)
			rows := g.Placements[0].Coverage.Rows()
			from, to := tech.Section.VolumeRow(rows.Top + rows.Height*(199+0.5))
			at := x + (rows.Top+rows.Height*199.5)*si.Length(angle.Tan())
			if at < from || at > to {
				continue
			}
			reached := false
			for _, s := range rows.Row[199] {
				reached = reached || s.From <= at && at <= s.To
			}
			if !reached {
				t.Errorf("the beam of %v from element %d is not reached in mid-depth, at X = %v", angle, st.first+1, at)
			}
		}
	}
}
