package templates

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// What rule books take for said by the document itself stands in the section
// that they name, in every document of a job that is held against them.
func TestDocumentHoldsWhatBooksTakeForWritten(t *testing.T) {
	type document struct{ name, source string }
	documents := map[string][]document{} // by the book's id
	add := func(name string, tech *technique.Technique, figures []Figure) {
		source := written(t, tech, figures)
		for _, h := range tech.Books {
			documents[h.ID] = append(documents[h.ID], document{name, source})
		}
	}
	add("sample", sample(), drawings)
	files, err := filepath.Glob("../testdata/jobs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no jobs", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		job, _ := schema.Load(file, data)
		job.Document.Language = "en" // what is read here; the German follows it line by line
		add(file, technique.Compute(job), nil)
	}
	shelf, _ := rules.Open(schema.Books(), technique.Vocabulary())
	n := 0
	for _, h := range shelf.Heads {
		book, _ := shelf.Book(h.ID)
		for _, r := range book.Rules {
			if r.Written == "" {
				continue
			}
			n++
			for _, d := range documents[h.ID] {
				if !strings.Contains(section(d.source, r.AnsweredIn), r.Written) {
					t.Errorf("%s/%s: section %s of %s does not hold %q", h.ID, r.ID, r.AnsweredIn, d.name, r.Written)
				}
			}
		}
	}
	if n == 0 {
		t.Error("no rule is answered by the document itself")
	}
}

// section is the text under a numbered heading, with what is under it.
func section(source, number string) string {
	depth := strings.Count(number, ".") + 2
	_, text, _ := strings.Cut(source, "\n"+strings.Repeat("#", depth)+" "+number+" ")
	if next := regexp.MustCompile(`\n#{2,` + string(rune('0'+depth)) + `} `).FindStringIndex(text); next != nil {
		text = text[:next[0]]
	}
	return strings.ReplaceAll(text, "\n", " ")
}
