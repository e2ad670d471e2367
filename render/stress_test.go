package render

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/text"

	"soundwrit/internal/diag"
	"soundwrit/schema"
)

// stressed is a job made to strain the document.
const stressed = "../testdata/stress/column.yaml"

// odd are texts of that job whose signs mean something to Markdown, HTML, PDF or
// the templates, each by the words that it begins with.
var odd = map[string]string{
	"Markdown: ":      "Markdown: **bold**, _emphasis_, `code`, [link](https://example.invalid), ![image](x.png), | cell | cell |, # no heading, - no item, 1. no number, > no quote, ~~struck~~, $y_1$, :smile:, <!-- page -->, ---",
	"HTML: ":          "HTML: <script>alert('1')</script> <b>b</b> &amp; &lt; &#60; <img src=x onerror=y> </td></tr>",
	"PDF: ":           `PDF: (a) \(b\) << /Type /Catalog >> endobj endstream ET Q BT (x) Tj % comment`,
	"Go: ":            `Go: {{.Document}} {{printf "%s" .}} %s %d %n %!v(MISSING)`,
	"Right to left: ": "Right to left: 12 mm x", // nothing reorders what follows
	"No glyph: ":      "No glyph: \u3042 \u4E2D \uAC00; joined: e\u0301 n\u0303",
	"Unbroken: ":      "Unbroken: " + strings.Repeat("Schweissnahtpruefungsanweisungsverzeichnis", 6) + " " + strings.Repeat("0123456789", 25) + " " + strings.TrimSuffix(strings.Repeat("long/path/", 30), "/"),
}

// closed is a text without its white space, which lines and cells divide anew,
// and without what has no width.
func closed(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("\u200B", "", "\u00AD", "").Replace(s)), "")
}

// holdsOdd looks for odd texts that were changed on their way into a document.
// Each stands in it several times: signs mean other things in a paragraph, in an
// item and in a table. A few may be cut, where the foot of a page is read between
// their lines, and on the crew's sheet.
func holdsOdd(t *testing.T, where, said string, drawn func(string) string, cut int, except ...string) {
	t.Helper()
	said = closed(drawn(said))
	for begin, literal := range odd {
		if slices.Contains(except, begin) {
			continue
		}
		begun, whole := strings.Count(said, closed(drawn(begin))), strings.Count(said, closed(drawn(literal)))
		if whole < 3 || whole < begun-cut {
			t.Errorf("%s: of %d texts that begin with %q %d are as they were written", where, begun, begin, whole)
		}
	}
}

// without makes a text of which some signs are left out, since a reader drops them.
func without(signs string) func(string) string {
	return func(s string) string {
		return strings.Map(func(r rune) rune {
			if strings.ContainsRune(signs, r) {
				return -1
			}
			return r
		}, s)
	}
}

// Long texts, endless words, lists of forty and signs that mean something
// elsewhere are laid out as well as a usual job, and read as they were written.
func TestStressedJob(t *testing.T) {
	t.Parallel()
	for _, language := range []string{"en", "de"} {
		tech := computedFrom(t, stressed, func(j *schema.Job) { j.Document.Language = language })
		open, agreed := 0, 0
		for _, f := range tech.Findings {
			switch {
			case f.Level == diag.Error:
				t.Fatal(f)
			case f.Open():
				open++
			case f.Level == diag.Shall:
				agreed++
			}
		}
		if open == 0 || agreed != 12 {
			t.Errorf("%d requirements are not met and %d deviations agreed, want some and 12", open, agreed)
		}
		for _, size := range []string{"A4", "Letter"} {
			doc := document(t, tech, size)
			pages, s := placed(t, doc)
			for _, fault := range faults(pages, s) {
				t.Errorf("%s, %s: %s", language, size, fault)
			}
			var said strings.Builder
			for _, p := range pages {
				for _, x := range p.texts {
					if x.part != nil {
						said.WriteString(x.text)
					}
				}
			}
			holdsOdd(t, language+", "+size+", pages", said.String(), func(s string) string { return newTypeface().clean(s, regular) }, 1)
		}
		markdown := document(t, tech, "A4").Markdown
		root := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(text.NewReader(markdown))
		holdsOdd(t, language+", Markdown", words(root, markdown), without(`\`), 1)
	}
}

// The file holds before programs that share no code, and its text is read as it
// was written.
func TestStressedJobAsAFile(t *testing.T) {
	t.Parallel()
	markdown, pdf := files(t, computedFrom(t, stressed), "column")
	file := filepath.Join(t.TempDir(), "column.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	external(t, "qpdf", "--check", file)
	// The program joins lines that end with a hyphen.
	holdsOdd(t, "PDF", external(t, "pdftotext", file, "-"), without("-"), 3, "No glyph: ")
	if err := os.WriteFile(file+".md", markdown, 0o600); err != nil {
		t.Fatal(err)
	}
	holdsOdd(t, "pandoc", external(t, "pandoc", "--from=gfm", "--to=plain", "--wrap=none", file+".md"), without(""), 1, "No glyph: ")
}

// What no face has is seen to be missing, and stops nothing.
func TestStressedSigns(t *testing.T) {
	t.Parallel()
	hostile := "\U0001F600 \U00010348 \x07 \x1B \u0085 \u2028 \u202E12 \uFEFF e\u0301 \uE000 \xFF"
	tech := computedFrom(t, stressed, func(j *schema.Job) {
		d := &j.Document
		for _, s := range []*string{&d.Number, &d.Title, &d.Client, &d.Contractor, &d.Purpose, &j.Part.Description, &j.Scan.Datum, &j.Groups[0].Purpose} {
			*s = hostile + " " + *s
		}
	})
	pages, s := placed(t, document(t, tech, "A4"))
	for _, fault := range faults(pages, s) {
		t.Error(fault)
	}
	seen := 0
	for _, p := range pages {
		for _, x := range p.texts {
			for _, r := range x.text {
				if r > 0xFFFF || r < ' ' || r >= 0x80 && r < 0xA0 {
					t.Fatalf("%q is to be drawn", x.text)
				}
				if r == '\uFFFD' {
					seen++
				}
			}
		}
	}
	if seen < 8 {
		t.Errorf("%d signs stand for what no face has", seen)
	}
	if _, err := PDF(document(t, tech, "A4")); err != nil {
		t.Error(err)
	}
}
