package render

import (
	"bytes"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	tables "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"soundwrit/internal/technique"
	"soundwrit/schema"
)

var update = flag.Bool("update", false, "write the golden documents anew")

// shippedJobs are the jobs that come with the program, by name.
func shippedJobs(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../testdata/jobs/*.yaml")
	if err != nil || len(files) < 3 {
		t.Fatalf("%d jobs found: %v", len(files), err)
	}
	var names []string
	for _, f := range files {
		names = append(names, strings.TrimSuffix(filepath.Base(f), ".yaml"))
	}
	return names
}

// computed is the technique of a shipped job, after some changes of the job. One
// that is not changed is shared.
func computed(t testing.TB, name string, edit ...func(*schema.Job)) *technique.Technique {
	t.Helper()
	return computedFrom(t, jobFile(name), edit...)
}

func jobFile(name string) string { return "../testdata/jobs/" + name + ".yaml" }

func computedFrom(t testing.TB, file string, edit ...func(*schema.Job)) *technique.Technique {
	t.Helper()
	if len(edit) == 0 {
		return techniqueOf(t, file)
	}
	tech, err := compute(file, edit...)
	if err != nil {
		t.Fatal(err)
	}
	return tech
}

// files writes a technique; it returns the Markdown and the PDF.
func files(t testing.TB, tech *technique.Technique, name string) (markdown, pdf []byte) {
	t.Helper()
	all := filesOf(t, named{tech, name})
	return all[1].Data, all[0].Data
}

// document is what Set lays out, for tests that look at the pages.
func document(t testing.TB, tech *technique.Technique, size string) Document {
	t.Helper()
	doc := documentOf(t, tech)
	doc.PageSize = size
	return doc
}

// The golden documents are read by people when they change: their numbers are
// held by the tests of the packages that compute them.
func TestGoldenDocuments(t *testing.T) {
	t.Parallel()
	names := shippedJobs(t)
	for _, name := range names {
		got, _ := files(t, computed(t, name), name)
		golden := "../testdata/golden/" + name + ".md"
		if *update {
			if err := os.WriteFile(golden, got, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(golden)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(got, want) {
			continue
		}
		a, b := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
		for i := range a {
			if i >= len(b) || a[i] != b[i] {
				t.Errorf("%s.md:%d differs; if the change is right, run this test with -update\ngot  %q\nwant %q", name, i+1, a[i], append(b, "")[min(i, len(b))])
				break
			}
		}
	}
	all, err := filepath.Glob("../testdata/golden/*.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		if name := strings.TrimSuffix(filepath.Base(f), ".md"); !slices.Contains(names, name) {
			t.Errorf("%s belongs to no job", f)
		}
	}
}

// number is a word that is a number, with its degree sign where it has one.
var number = regexp.MustCompile(`^[−+]?\d+([.,]\d+)?°?$`)

func numbersIn(text string) []string {
	var all []string
	for _, w := range strings.Fields(text) {
		if w = strings.Trim(w, ",;:()."); number.MatchString(w) {
			all = append(all, w)
		}
	}
	return all
}

// The PDF says what the Markdown says: each heading, and each number of a table
// at least as often. The Markdown is read by a parser that shares no code with
// the layout's own reading of it.
func TestPDFAgreesWithTheMarkdown(t *testing.T) {
	t.Parallel()
	for _, name := range shippedJobs(t) {
		markdown, pdf := files(t, computed(t, name), name)
		file := filepath.Join(t.TempDir(), name+".pdf")
		if err := os.WriteFile(file, pdf, 0o600); err != nil {
			t.Fatal(err)
		}
		external(t, "qpdf", "--check", file)
		read := external(t, "pdftotext", file, "-")
		flat := strings.Join(strings.Fields(read), " ")
		have := map[string]int{}
		for _, n := range numbersIn(read) {
			have[n]++
		}
		headings, cells := 0, map[string]int{}
		root := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(text.NewReader(markdown))
		err := ast.Walk(root, func(n ast.Node, in bool) (ast.WalkStatus, error) {
			switch n := n.(type) {
			case *ast.Heading:
				if in {
					headings++
					if h := words(n, markdown); !strings.Contains(flat, h) {
						t.Errorf("%s: heading %q is not in the PDF", name, h)
					}
				}
			case *tables.TableCell:
				if in {
					for _, w := range numbersIn(words(n, markdown)) {
						cells[w]++
					}
				}
			}
			return ast.WalkContinue, nil
		})
		if err != nil || headings < 60 || len(cells) < 200 {
			t.Fatalf("%s: %d headings, %d different numbers found, %v", name, headings, len(cells), err)
		}
		for n, times := range cells {
			if have[n] < times {
				t.Errorf("%s: %s stands %d times in the tables, %d times in the PDF", name, n, times, have[n])
			}
		}
	}
}

// words is the text of a node as goldmark reads it.
func words(n ast.Node, source []byte) string {
	var b strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		if s, ok := c.(*ast.Text); ok {
			b.WriteString(strings.ReplaceAll(string(s.Segment.Value(source)), `\`, ""))
			continue
		}
		b.WriteString(words(c, source))
	}
	return b.String()
}

// An underscore of a symbol is no emphasis for a reader of Markdown.
func TestSymbolsStandLiterallyInTheMarkdown(t *testing.T) {
	tech := computed(t, "plate-seam")
	markdown, _ := files(t, tech, "plate-seam")
	root := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(text.NewReader(markdown))
	shown := words(root, markdown)
	seen := 0
	for symbol := range symbolsOf(symbolTexts(tech)) {
		if strings.Contains(string(markdown), symbol) || strings.Contains(string(markdown), strings.ReplaceAll(symbol, "_", `\_`)) {
			seen++
			if !strings.Contains(shown, symbol) {
				t.Errorf("%s is not read as it is written", symbol)
			}
		}
	}
	if seen < 20 {
		t.Errorf("only %d symbols were looked for", seen)
	}
}

func TestPandocReadsTheMarkdown(t *testing.T) {
	t.Parallel()
	external(t, "pandoc", "--version")
	for _, name := range shippedJobs(t) {
		markdown, _ := files(t, computed(t, name), name)
		file := filepath.Join(t.TempDir(), name+".md")
		if err := os.WriteFile(file, markdown, 0o600); err != nil {
			t.Fatal(err)
		}
		var warnings bytes.Buffer
		cmd := exec.Command("pandoc", "--from=gfm", "--to=html", "--output="+file+".html", file)
		cmd.Stderr = &warnings
		if err := cmd.Run(); err != nil || warnings.Len() > 0 {
			t.Errorf("%s: %v\n%s", name, err, warnings.Bytes())
		}
	}
}

// Maps are walked in another order in each process, so that a document may be
// the same twice in one and still differ in two.
func TestSameBytesInTwoProcesses(t *testing.T) {
	const key = "SOUNDWRIT_TEST_FOLDER"
	if folder := os.Getenv(key); folder != "" {
		for _, name := range shippedJobs(t) {
			for _, f := range filesOf(t, named{computed(t, name), name}) {
				if err := os.WriteFile(filepath.Join(folder, f.Name), f.Data, 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}
		return
	}
	t.Parallel()
	folder := t.TempDir()
	other := exec.Command(os.Args[0], "-test.run=^TestSameBytesInTwoProcesses$")
	other.Env = append(os.Environ(), key+"="+folder)
	if out, err := other.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, name := range shippedJobs(t) {
		anew, err := compute(jobFile(name))
		if err != nil {
			t.Fatal(err)
		}
		again, err := write(anew, name)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range slices.Concat(filesOf(t, named{computed(t, name), name}), again) {
			theirs, err := os.ReadFile(filepath.Join(folder, f.Name))
			if err != nil || !bytes.Equal(theirs, f.Data) {
				t.Errorf("%s differs from that of another process (%v)", f.Name, err)
			}
		}
	}
}

// What is not looked at stands on the page that is signed, in plain words.
func TestLimitationsStandOnTheApprovalPage(t *testing.T) {
	markdown, _ := files(t, computed(t, "plate-seam", func(j *schema.Job) {
		j.Part.Sides = j.Part.Sides[:1]
		for i := range j.Groups {
			j.Groups[i].Sides = j.Groups[i].Sides[:1]
		}
	}), "x")
	signed, rest, _ := strings.Cut(string(markdown), "## Approver's checklist")
	checklist, _, _ := strings.Cut(rest, "## Revision record")
	for _, want := range []string{"**Access from one side only.**", "**Part of the volume is not reached.**", "not wholly met within 10° of square"} {
		if !strings.Contains(signed, want) {
			t.Errorf("the approval page does not say %q", want)
		}
	}
	if !strings.Contains(checklist, "access from one side only") {
		t.Error("the checklist does not say that access is from one side only")
	}
}

// BenchmarkTechnique is what the command does with a computed job: Markdown,
// figures and PDF of about forty pages.
func BenchmarkTechnique(b *testing.B) {
	tech := computed(b, "plate-seam")
	for b.Loop() {
		if _, err := write(tech, "x"); err != nil {
			b.Fatal(err)
		}
	}
}
