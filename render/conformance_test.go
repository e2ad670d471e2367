package render

import (
	"slices"
	"testing"

	"soundwrit/schema"
	"soundwrit/templates"
)

// conditions are those that a program can see of ISO 19005-3, level b, and of ISO
// 14289-1, by what the documents have in them. No program that judges these two
// could be had. All clauses are from memory.
func conditions() []condition { return slices.Concat(archived(), accessible()) }

// TestEveryDocumentMeetsTheConditions reads what is written, in both languages,
// as a draft, strained, and the crew's sheet alone.
func TestEveryDocumentMeetsTheConditions(t *testing.T) {
	kinds := []struct {
		name, job string
		sheet     bool
		edit      func(*schema.Job)
	}{
		{"plate-seam", "../testdata/jobs/plate-seam.yaml", false, nil},
		{"on Letter", "../testdata/jobs/vessel-seam.yaml", false, func(j *schema.Job) { j.Document.Units = "in" }},
		{"kranbahn, German", "../testdata/jobs/kranbahn.yaml", false, nil},
		{"strained, a draft", stressed, false, nil},
		{"the crew's sheet", "../testdata/jobs/kranbahn.yaml", true, nil},
	}
	for _, kind := range kinds {
		t.Run(kind.name, func(t *testing.T) {
			t.Parallel()
			edit := kind.edit
			if edit == nil {
				edit = func(*schema.Job) {}
			}
			set := Set{Technique: computedFrom(t, kind.job, edit), Wording: templates.Files(), Name: "x", Program: "test",
				Sources: []File{{Name: "x.yaml", Says: "The job", Data: []byte("soundwrit: 1\n")}}}
			write := set.Files
			if kind.sheet {
				write = set.Sheet
			}
			files, err := write()
			if err != nil {
				t.Fatal(err)
			}
			f := readPDF(t, files[0].Data)
			for _, c := range conditions() {
				for _, fault := range c.faults(f) {
					t.Errorf("%s (%s): %s", c.asks, c.clause, fault)
				}
			}
		})
	}
}

// TestEachConditionCanFail spoils a document that meets all of them.
func TestEachConditionCanFail(t *testing.T) {
	doc := sourced(t, "x.yaml", "soundwrit: 1\n")
	doc.Markdown = append(doc.Markdown, "\n| Item | Entry | Answer |\n| --- | --- | --- |\n| Surface | | ☐ yes ☐ no |\n"...)
	data, err := PDF(doc)
	if err != nil {
		t.Fatal(err)
	}
	whole := readPDF(t, data)
	for _, c := range conditions() {
		for _, fault := range c.faults(whole) {
			t.Errorf("%s (%s): %s", c.asks, c.clause, fault)
		}
		if len(c.spoil) == 0 {
			t.Errorf("%s: nothing shows that it can fail", c.asks)
		}
		for i, spoil := range c.spoil {
			f := whole.copied()
			spoil(f)
			if len(c.faults(f)) == 0 {
				t.Errorf("%s (%s): spoiled in way %d of %d, it is met", c.asks, c.clause, i+1, len(c.spoil))
			}
		}
	}
}
