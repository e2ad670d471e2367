package render

import (
	"bytes"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/go-pdf/fpdf"
)

func newTestPDF() *fpdf.Fpdf { return fpdf.New("P", "mm", "A4", "") }

func TestSameBytesTwice(t *testing.T) {
	doc := sampleDocument(t)
	first, err := PDF(doc)
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		again, err := PDF(doc)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("two runs give different bytes")
		}
	}
	if !bytes.Contains(first, []byte("<xmp:CreateDate>2026-04-21T")) {
		t.Error("the file does not carry the document's date")
	}
}

// written writes the sample for the programs that read PDF.
func written(t *testing.T, doc Document) string {
	t.Helper()
	data, err := PDF(doc)
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "sample.pdf")
	if err := os.WriteFile(name, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// external runs a reader of documents; the test is skipped where it is not
// installed, but not where all tests have to run.
func external(t *testing.T, program string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(program); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatalf("%s is not installed", program)
		}
		t.Skipf("%s is not installed", program)
	}
	out, err := exec.Command(program, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", program, err, out)
	}
	return string(out)
}

func TestPDFIsSound(t *testing.T) {
	external(t, "qpdf", "--check", written(t, sampleDocument(t)))
}

func TestPDFTextCanBeRead(t *testing.T) {
	doc := sampleDocument(t)
	text := external(t, "pdftotext", "-layout", written(t, doc), "-")
	blocks, err := parseMarkdown(doc.Markdown, symbolsOf(doc.Symbols))
	if err != nil {
		t.Fatal(err)
	}
	fields := strings.Join(strings.Fields(text), " ")
	for _, b := range blocks {
		if h, ok := b.(heading); ok && !strings.Contains(fields, plain(h.spans)) {
			t.Errorf("heading %q cannot be read from the PDF", plain(h.spans))
		}
	}
	for _, want := range []string{"λ", "θ", "≤ 40 mm/s", "−14 dB", "page 1 of ", "not reached by this group"} {
		if !strings.Contains(fields, want) {
			t.Errorf("%q cannot be read from the PDF", want)
		}
	}
	// Of DRAFT across the pages nothing is in the text: only the running header.
	if drafts, pages := strings.Count(text, "DRAFT"), strings.Count(text, "\f"); drafts != pages {
		t.Errorf("%d times DRAFT on %d pages, want it once a page", drafts, pages)
	}
}

func TestPDFProperties(t *testing.T) {
	out := external(t, "pdfinfo", written(t, sampleDocument(t)))
	for _, want := range []string{"Phased array examination", "M. Aldous", "Producer:        Soundwrit", "A4",
		"Metadata Stream: yes", "Tagged:          yes", "Form:            AcroForm", "PDF version:     1.7"} {
		if !strings.Contains(out, want) {
			t.Errorf("pdfinfo does not say %q:\n%s", want, out)
		}
	}
}

// A document is refused with the reason and, where there is one, the line.
func TestDocumentsThatCannotBeSet(t *testing.T) {
	unknown := Figure{Name: "bad", Drawing: Drawing{width: 10, height: 10, shapes: []shape{{points: []xy{{math.NaN(), 0}}}}}}
	wide := Figure{Name: "wide", Drawing: Drawing{width: 400, height: 10}}
	for _, c := range []struct {
		name string
		doc  Document
		want []string
	}{
		{"HTML", Document{Markdown: []byte("text\n\n<div>x</div>\n")}, []string{"line 3", "<div>", "use Markdown"}},
		{"HTML in a line", Document{Markdown: []byte("a\n\nb <sub>2</sub>\n")}, []string{"line 3", "<sub>"}},
		{"no such figure", Document{Markdown: []byte("a\n\n![x](lost.svg)\n")}, []string{"line 3", "lost"}},
		{"no such heading", Document{Markdown: []byte("# A\n\n[x](#b)\n")}, []string{"#b"}},
		{"no heading at all", Document{Markdown: []byte("[x](#b)\n")}, []string{"#b"}},
		{"right to left", Document{Markdown: []byte("a\n\nb \u05E9\u05DC\u05D5\u05DD\n")}, []string{"line 3", "right to left"}},
		{"deep lists", Document{Markdown: []byte("a\n\n" + strings.Repeat("- ", 9) + "b\n")}, []string{"8 lists"}},
		{"deep heading", Document{Markdown: []byte("##### A\n")}, []string{"line 1", "level 4"}},
		{"unknown number", Document{Markdown: []byte("a"), Figures: []Figure{unknown}}, []string{"bad", "unknown"}},
		{"too wide", Document{Markdown: []byte("![x](wide.svg)"), Figures: []Figure{wide}}, []string{"wide", "400 mm", "173 mm"}},
		{"paper", Document{PageSize: "A5"}, []string{"A5", "A4 or Letter"}},
	} {
		_, err := PDF(c.doc)
		if err == nil {
			t.Errorf("%s: was set", c.name)
			continue
		}
		for _, want := range c.want {
			if !strings.Contains(err.Error(), want) {
				t.Errorf("%s: %q does not say %q", c.name, err, want)
			}
		}
	}
}

// Signs that the font lacks, or the PDF library cannot hold, do not stop it.
func TestStrangeCharacters(t *testing.T) {
	doc := Document{
		Markdown: []byte("# \U0001F600 title\n\na\U00010000b `\U0001F600 ∥` あ\n\n| \U0001F600 |\n| --- |\n| \x00 |\n"),
		Title:    "\U0001F600", Number: "\U0001F600", Author: "\U0001F600", Status: "\U0001F600", Date: "no date",
	}
	if _, err := PDF(doc); err != nil {
		t.Error(err)
	}
	if _, err := PDF(Document{}); err != nil {
		t.Errorf("an empty document: %v", err)
	}
}

func TestAnchors(t *testing.T) {
	blocks, err := parseMarkdown([]byte("## 9.1 Group `upper`: set-up & θ\n\n## Same\n\n## Same\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	// The anchors that readers of GitHub-flavoured Markdown make.
	for i, want := range []string{"91-group-upper-set-up--θ", "same", "same-1"} {
		if got := blocks[i].(heading).anchor; got != want {
			t.Errorf("anchor %q, want %q", got, want)
		}
	}
}

func TestEscapesAreResolved(t *testing.T) {
	blocks, err := parseMarkdown([]byte(`a \*b\* &lt;c&gt; &amp; \| \&amp; \\&#42; `+"`d\\*`"+"\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := plain(blocks[0].(paragraph).spans), `a *b* <c> & | &amp; \* d\*`; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
