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

func TestOneFormulaOneRow(t *testing.T) {
	tech := &technique.Technique{Job: &schema.Job{}}
	add := func(id, symbol, name string, mm float64) {
		tech.Add(technique.Value{ID: id, Symbol: symbol, Name: name, Q: lengthOf(si.Length(mm) * si.Millimetre), Unit: "mm", Decimals: 1, Formula: "a b", Source: "s"})
	}
	add("a", "d", "depth of hole 1, leg 1", 5)
	add("b", "d", "depth of hole 2, leg 1", 2)
	add("c", "d", "depth of hole 2, leg 2", 9)
	add("d", "x", "depth of hole 2, leg 2", 7) // another symbol
	add("e", "d", "something else", 1)         // another name
	chapters, sources, err := values{tech, &printer{}}.calculations()
	if err != nil {
		t.Fatal(err)
	}
	want := []struct{ name, inputs, result md }{{"Depth of hole, d", "3 values", "2.0 mm to 9.0 mm"}, {"Depth of hole 2, leg 2, x", "", "7.0 mm"}, {"Something else, d", "", "1.0 mm"}}
	rows := chapters[0].Rows
	if len(rows) != len(want) || len(sources) != 1 {
		t.Fatalf("%d rows and %d sources, want %d and 1", len(rows), len(sources), len(want))
	}
	for i, w := range want {
		if rows[i].Name != w.name || rows[i].Inputs != w.inputs || rows[i].Result != w.result {
			t.Errorf("row %d: %q, %q = %q, want %v", i, rows[i].Name, rows[i].Inputs, rows[i].Result, w)
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
