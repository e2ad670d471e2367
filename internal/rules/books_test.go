package rules_test

import (
	"io/fs"
	"os"
	"testing"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
)

// shipped is the folder of the books that come with the program.
func shipped() fs.FS { return os.DirFS("../../schema/rules") }

func TestShippedBooksLoad(t *testing.T) {
	shelf, findings := rules.Open(shipped(), technique.Vocabulary())
	for _, f := range findings {
		t.Errorf("%s:%d:%d: %s (%s)", f.At.File, f.At.Line, f.At.Column, f.Message, f.Actual)
	}
	n := 0
	for _, h := range shelf.Heads {
		b, findings := shelf.Book(h.ID)
		for _, f := range findings {
			t.Errorf("%s:%d:%d: %s: %s (%s; %s)", f.At.File, f.At.Line, f.At.Column, f.Rule, f.Message, f.Actual, f.Limit)
		}
		if b != nil {
			n += len(b.Rules)
		}
	}
	t.Log(len(shelf.Heads), n)
}

func BenchmarkLoad(b *testing.B) {
	v := technique.Vocabulary()
	for b.Loop() {
		if _, f := rules.Load(shipped(), "iso-13588-2019.yaml", v); f != nil {
			b.Fatal(f)
		}
	}
}

func BenchmarkOpen(b *testing.B) {
	v := technique.Vocabulary()
	for b.Loop() {
		if _, f := rules.Open(shipped(), v); f != nil {
			b.Fatal(f)
		}
	}
}
