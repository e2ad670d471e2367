package tune

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// run tunes a shipped job after changes of its text.
func run(t testing.TB, name string, r Request, replace ...string) (*Result, []byte) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/jobs/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	job := string(text)
	for i := 0; i < len(replace); i += 2 {
		if strings.Count(job, replace[i]) != 1 {
			t.Fatalf("%q does not stand once in the job", replace[i])
		}
		job = strings.Replace(job, replace[i], replace[i+1], 1)
	}
	loaded, findings := schema.Load(name, []byte(job))
	if loaded.Partial {
		t.Fatalf("the job cannot be used: %v", findings)
	}
	r.File, r.Text = name, []byte(job)
	if !si.Known(r.Speed) || r.Speed == 0 {
		r.Speed = si.Unknown[si.Speed]()
	}
	return Run(&r, loaded), []byte(job)
}

// A job whose probe stands too near is put right: what is proposed meets every
// rule, reaches all of the volume as the shipped job does, and the edited text
// is that technique.
func TestProposalMeetsWhatTheJobDoesNot(t *testing.T) {
	if testing.Short() {
		return // TestFixedValuesHaveTheirPrice goes the same ways
	}
	r, text := run(t, "plate-seam", Request{Fixed: []string{"groups.direct", "scan"}}, "wedge_front: 94 mm", "wedge_front: 50 mm")
	if r.Job.Measure.Square >= 0.9 {
		t.Fatalf("the spoiled job is as good as before: %+v", r.Job.Measure)
	}
	m := r.Best.Measure
	if len(m.Unmet) > 0 || m.Coverage < 0.9999 || m.Square < 0.99 {
		t.Errorf("proposed: %+v by %v", m, r.Best.Edits)
	}
	for _, e := range r.Best.Edits {
		if !strings.HasPrefix(e.Path, "groups.skip.") {
			t.Errorf("%s was to stay", e.Path)
		}
	}
	edited, err := schema.Set(text, r.Best.Edits...)
	if err != nil {
		t.Fatal(err)
	}
	job, _ := schema.Load("edited", edited)
	again := technique.Compute(job)
	if again.Coverage.Share != m.Coverage || slices.ContainsFunc(again.Findings, func(f diag.Finding) bool { return f.Open() }) {
		t.Errorf("the job as edited is another technique: %v of the volume", again.Coverage.Share)
	}
	// Each value it binds is worse next door, by its own words.
	if len(r.Binding) == 0 {
		t.Error("no limit binds")
	}
	// The same again.
	if twice, _ := run(t, "plate-seam", Request{Fixed: []string{"groups.direct", "scan"}}, "wedge_front: 94 mm", "wedge_front: 50 mm"); fmt.Sprint(twice.Best, twice.Others) != fmt.Sprint(r.Best, r.Others) {
		t.Error("two runs propose different things")
	}
}

// No speed can be as high: the result says that nothing met it, or what it costs.
func TestConflict(t *testing.T) {
	if testing.Short() {
		return // TestFixedValuesHaveTheirPrice goes the same ways
	}
	r, _ := run(t, "plate-seam", Request{Speed: 5, Fixed: []string{"groups.direct", "groups.skip.probe", "groups.skip.wedge_front", "groups.skip.aperture"}})
	if len(r.Best.Measure.Unmet) != 1 || r.Best.Measure.Unmet[0] != "required speed" {
		t.Errorf("not met: %v", r.Best.Measure.Unmet)
	}
	if len(r.Conflict) != 1 || r.Conflict[0].Costs != nil {
		t.Errorf("conflicts: %+v", r.Conflict)
	}
}

// An increment twice as coarse is twice as fast: what fixing it costs is told.
func TestFixedValuesHaveTheirPrice(t *testing.T) {
	r, _ := run(t, "plate-seam", Request{Fixed: []string{"groups", "scan.increment"}})
	if len(r.Best.Edits) != 0 {
		t.Errorf("everything was fixed, and %v was set", r.Best.Edits)
	}
	i := slices.IndexFunc(r.Bought, func(b Bought) bool { return b.Path == "scan.increment" })
	if i < 0 || r.Bought[i].Value != "1 mm" || r.Bought[i].Other != "2 mm" || !strings.Contains(r.Bought[i].What, "speed ") {
		t.Errorf("what fixed values cost: %+v", r.Bought)
	}
}

func TestDominates(t *testing.T) {
	for _, c := range []struct {
		a, b [4]float64
		want bool
	}{
		{[4]float64{1, 1, 1, 1}, [4]float64{1, 1, 1, 1}, false},
		{[4]float64{1, 1, 2, 1}, [4]float64{1, 1, 1, 1}, true},
		{[4]float64{1, 0, 2, 1}, [4]float64{1, 1, 1, 1}, false},
	} {
		if dominates(c.a, c.b) != c.want {
			t.Errorf("%v over %v: want %v", c.a, c.b, c.want)
		}
	}
}
