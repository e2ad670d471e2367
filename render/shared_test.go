package render

import (
	"fmt"
	"os"
	"sync"
	"testing"

	"soundwrit/internal/technique"
	"soundwrit/schema"
	"soundwrit/templates"
)

// once keeps what was made of a key, so that the tests of a process share it.
// They read it, and alter nothing of it.
func once[K comparable, V any](make func(K) (V, error)) func(testing.TB, K) V {
	var kept sync.Map
	return func(t testing.TB, key K) V {
		t.Helper()
		f, _ := kept.LoadOrStore(key, sync.OnceValues(func() (V, error) { return make(key) }))
		value, err := f.(func() (V, error))()
		if err != nil {
			t.Fatal(err)
		}
		return value
	}
}

var (
	techniqueOf = once(func(file string) (*technique.Technique, error) { return compute(file) })
	filesOf     = once(func(n named) ([]File, error) { return write(n.Technique, n.name) })
	documentOf  = once(readied)
)

// named is a technique and what its files are called.
type named struct {
	*technique.Technique
	name string
}

// compute is the technique of a job, after some changes of the job.
func compute(file string, edit ...func(*schema.Job)) (*technique.Technique, error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, err
	}
	job, findings := schema.Load(file, data)
	if job == nil {
		return nil, fmt.Errorf("%s: %v", file, findings)
	}
	for _, change := range edit {
		change(job)
	}
	return technique.Compute(job), nil
}

// write makes the files of a technique: PDF, Markdown, figures.
func write(tech *technique.Technique, name string) ([]File, error) {
	return Set{Technique: tech, Wording: templates.Files(), Name: name, Program: "test"}.Files()
}

// readied is a technique as Set lays it out, on A4.
func readied(tech *technique.Technique) (Document, error) {
	figures := Figures(tech)
	markdown, err := templates.Markdown(templates.Files(), tech, captions(figures))
	d := tech.Job.Document
	return Document{Markdown: markdown, Figures: figures, Number: d.Number, Title: d.Title, Revision: d.Revision,
		Date: d.Date, Status: d.Status, Language: d.Language, PageSize: "A4", Symbols: symbolTexts(tech)}, err
}
