package render

import (
	"os"
	"testing"

	"soundwrit/internal/technique"
)

// sampleDocument is a technique of about twelve pages, with drawings that stand
// in for the figures.
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
	for _, name := range []string{"section-upper", "section-all", "plan", "block", "speed"} {
		d := draft{type_: newTypeface(), size: 7.5}
		d.area(outline(), tint(), xy{0, 0}, xy{150, 0}, xy{150, 60}, xy{0, 60})
		d.write(75, 30, name, alignCentre)
		doc.Figures = append(doc.Figures, Figure{Name: name, Caption: name, Alt: name, Drawing: d.finish()})
	}
	return doc
}

func TestX(t *testing.T) {
	b, err := PDF(sampleDocument(t))
	if err != nil {
		t.Fatal(err)
	}
	os.WriteFile("/tmp/sample.pdf", b, 0o644)
}
func BenchmarkPDF(b *testing.B) {
	doc := sampleDocument(b)
	for b.Loop() {
		PDF(doc)
	}
}
func TestY(t *testing.T) {
	for n, tq := range map[string]*technique.Technique{"plate": plateTechnique(), "pipe": pipeTechnique()} {
		for _, f := range Figures(tq) {
			os.WriteFile("/tmp/fig/"+n+"-"+f.Name+".svg", f.SVG(), 0o644)
			println(f.Name, f.Caption, int(f.Drawing.width), int(f.Drawing.height))
		}
	}
}
