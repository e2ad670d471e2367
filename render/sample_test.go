package render

import (
	"os"
	"testing"
)

// sampleDocument is a technique of about fourteen pages with five figures.
func sampleDocument(t testing.TB) Document {
	t.Helper()
	markdown, err := os.ReadFile("testdata/sample.md")
	if err != nil {
		t.Fatal(err)
	}
	doc := Document{
		Markdown: markdown, Number: "HX-UT-0412", Revision: "2", Date: "2026-04-21", Status: "for approval",
		Title: "Phased array examination of girth weld FW-12, unit 3", Author: "M. Aldous", Draft: true,
	}
	doc.Figures = Figures(plateTechnique())
	return doc
}

// BenchmarkPDF is the whole way from Markdown to bytes, thirty pages with eight
// figures.
func BenchmarkPDF(b *testing.B) {
	doc := sampleDocument(b)
	once := doc.Markdown
	half := once[:len(once)*2/3]
	doc.Markdown = append(append([]byte{}, once...), half...)
	for b.Loop() {
		if _, err := PDF(doc); err != nil {
			b.Fatal(err)
		}
	}
}
