package templates

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/si"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

func TestEqualAnswersShareARow(t *testing.T) {
	tech := sample()
	one := rules.Result{Book: "b", Rule: "pitch", Code: "C", Asks: "pitch", Level: diag.Shall, Verdict: rules.Met, Actual: "1", Limit: "at most 1", AnsweredIn: "9", Subject: "upper"}
	two, three, other := one, one, one
	two.Subject = "image"
	three.Subject, three.Actual = "third", "2"
	other.Rule = "another"
	got := answers(tech, []rules.Result{one, two, three, other})
	want := []struct{ subject, where, here md }{
		{"upper, image", "[9](#section:9?)", "1"},
		{"third", "[9](#section:9?)", "2"},     // another value
		{"upper", "[9.1](#section:9.1?)", "1"}, // another rule with the same words
	}
	if len(got) != len(want) {
		t.Fatalf("%d rows, want %d", len(got), len(want))
	}
	for i, w := range want {
		if got[i].Subject != w.subject || got[i].Where != w.where || got[i].Here != w.here {
			t.Errorf("row %d is %q %q %q, want %v", i, got[i].Subject, got[i].Where, got[i].Here, w)
		}
	}
}

func TestCountsOfVerdicts(t *testing.T) {
	tech := &technique.Technique{Rules: []rules.Result{
		{AnsweredIn: "11.1", Verdict: rules.Met}, {AnsweredIn: "11.1", Verdict: rules.NotMet, Level: diag.Shall},
		{AnsweredIn: "11.2", Verdict: rules.NotMet, Level: diag.Should}, {AnsweredIn: "11", Verdict: rules.Confirm},
		{AnsweredIn: "1", Verdict: rules.Unchecked}, {AnsweredIn: "12", Verdict: rules.NotApplicable},
	}}
	for section, want := range map[string]md{
		"11": "1 met, 1 not met, 1 advised and not met, 1 to confirm", "11.1": "1 met, 1 not met", "1": "1 not checked", "12": "1 not applicable", "3": "none in the books used",
	} {
		if got := tally(tech, section); got != want {
			t.Errorf("section %s: %q, want %q", section, got, want)
		}
	}
}

func TestDeviationShowsInItsRequirement(t *testing.T) {
	tech := sample()
	source := written(t, tech, nil)
	if !strings.Contains(source, "| **agreed deviation** |") {
		t.Error("an agreed deviation does not show in annex A")
	}
	if !strings.Contains(source, "*Short part; instead: second scan.*") {
		t.Error("annex A does not tell reason and measure of a deviation")
	}
	tech.Job.Deviations[0].Subject = "nobody"
	if source := written(t, tech, nil); strings.Contains(source, "agreed deviation** |") {
		t.Error("a deviation for something else shows")
	}
	tech.Job.Deviations = nil
	if source := written(t, tech, nil); strings.Contains(source, "agreed deviation** |") {
		t.Error("a deviation shows that nobody agreed")
	}
}

// TestOneFormulaOneRow tells what one formula gives of many together, and names
// what each result is of where they stand apart.
func TestOneFormulaOneRow(t *testing.T) {
	tech := &technique.Technique{Job: &schema.Job{}}
	add := func(id, symbol, name, of, formula string, mm float64) {
		tech.Add(technique.Value{ID: id, Symbol: symbol, Name: name, Of: of, Q: lengthOf(si.Length(mm) * si.Millimetre), Unit: "mm", Decimals: 1, Formula: formula, Source: "s"})
	}
	add("a", "d", "depth", "hole 1", "a b", 5)
	add("b", "d", "depth", "hole 2", "a b", 2)
	add("c", "d", "depth", "hole 3", "a b", 9)
	add("d", "d", "something else", "", "a b", 1)
	add("e", "x_1", "path", "hole 1", "x_1 = a", 7) // the same formula, with another symbol
	add("f", "x", "path", "hole 2", "x = a", 8)
	add("g", "x", "path", "hole 3", "x = a", 6)
	chapters, sources, err := values{tech, &printer{}}.calculations()
	if err != nil {
		t.Fatal(err)
	}
	want := []struct{ name, formula, inputs, result md }{
		{"Depth, d", "a b", "3 values", "2.0 mm to 9.0 mm"}, {"Something else, d", "a b", "", "1.0 mm"},
		{"Path, x", "x = a", "", ""}, {"hole 1, x_1", "", "", "7.0 mm"}, {"hole 2; hole 3", "", "2 values", "6.0 mm to 8.0 mm"},
	}
	rows := chapters[0].Rows
	if len(rows) != len(want) || len(sources) != 1 {
		t.Fatalf("%d rows and %d sources, want %d and 1", len(rows), len(sources), len(want))
	}
	for i, w := range want {
		if r := rows[i]; r.Name != w.name || r.Formula != w.formula || r.Inputs != w.inputs || r.Result != w.result {
			t.Errorf("row %d: %q, %q, %q = %q, want %v", i, r.Name, r.Formula, r.Inputs, r.Result, w)
		}
	}
}

func TestSeriesIsNamedByItsEnds(t *testing.T) {
	for want, of := range map[string][]string{
		"beam of 40.0° to 70.0°": {"beam of 40.0°", "beam of 55.0°", "beam of 70.0°"},
		"active element 1 to 16": {"active element 1", "active element 2", "active element 16"},
		"fusion face":            {"fusion face A upper", "fusion face A lower", "fusion face B"},
		"":                       {"direct", "at 3 mm", "at 4 mm"},
	} {
		if got := fromTo(of); got != want {
			t.Errorf("%q is named %q, want %q", of, got, want)
		}
	}
}

// The shipped jobs must read well from the first to the last line.
func TestShippedJobsAreWhole(t *testing.T) {
	files, err := filepath.Glob("../testdata/jobs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no jobs: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			job, found := schema.Load(file, data)
			job.Document.Language = "en" // what is read here; the German follows it line by line
			if diag.Count(found).Error > 0 {
				t.Fatalf("the job has errors: %v", found)
			}
			tech := technique.Compute(job)
			source := written(t, tech, nil)
			whole(t, source)
			for _, g := range job.Groups {
				if !strings.Contains(source, " Group "+g.Name+"\n") {
					t.Errorf("group %s has no section", g.Name)
				}
			}
		})
	}
}

// TestFindingsSayItOnce holds that a finding does not say twice that something is
// missing, and keeps what its message leaves open.
func TestFindingsSayItOnce(t *testing.T) {
	for _, c := range []struct {
		message, here, limit, want string
	}{
		{"the couplant is not named", "not stated", "stated", "The couplant is not named||"},
		{"nobody is named who scans", "not stated", "at least 1", "Nobody is named who scans||at least 1"},
		{"scan lines are too far apart", "not stated", "at most 1 mm", "Scan lines are too far apart|not stated|at most 1 mm"},
		{"2 mm is too much", "2 mm", "at most 1 mm", "2 mm is too much||at most 1 mm"},
		{"no block suits the part", "45 mm", "48 mm to 80 mm", "No block suits the part|45 mm|48 mm to 80 mm"},
	} {
		job := &technique.Technique{Findings: []diag.Finding{{Level: diag.Shall, Message: c.message, Actual: c.here, Limit: c.limit}}}
		f := findings(once(job), func(diag.Finding) bool { return true })[0]
		if got := string(f.Message + "|" + f.Here + "|" + f.Limit); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}
