package render

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// sourced is the sample with a job attached.
func sourced(t *testing.T, name, job string) Document {
	doc := sampleDocument(t)
	doc.Sources = []File{{Name: name, Says: "The job", Data: []byte(job)}}
	return doc
}

func TestJobIsAttachedAsItIs(t *testing.T) {
	for _, name := range []string{"job.yaml", `hull (2) "ö" \ a.yaml`} {
		job := "part:\r\n  thickness: 12 mm # \u00B5 \x00\n" + strings.Repeat("x", 70_000)
		file := written(t, sourced(t, name, job))
		out := filepath.Join(filepath.Dir(file), "out")
		list := external(t, "pdfdetach", "-list", file)
		if !strings.Contains(list, "1: "+name) {
			t.Errorf("the attachment is not called %s: %s", name, list)
		}
		external(t, "pdfdetach", "-save", "1", "-o", out, file)
		if got, err := os.ReadFile(out); err != nil || string(got) != job {
			t.Errorf("the attachment is not the job: %d bytes, %v", len(got), err)
		}
		external(t, "qpdf", "--check", file)
	}
	if out := external(t, "pdfdetach", "-list", written(t, sampleDocument(t))); !strings.HasPrefix(out, "0 ") {
		t.Errorf("a document without a job has an attachment: %s", out)
	}
}

// Who hears the document read hears all of its text, in the order of the
// Markdown, and no running header.
func TestStructureHoldsTheText(t *testing.T) {
	doc := sampleDocument(t)
	out := external(t, "pdfinfo", "-struct-text", written(t, doc))
	var said strings.Builder
	for _, m := range regexp.MustCompile(`(?m)^\s*"(.*)"$`).FindAllStringSubmatch(out, -1) {
		said.WriteString(m[1] + " ")
	}
	spoken := strings.Join(strings.Fields(said.String()), " ")
	at := 0
	look := func(spans []span) {
		text := strings.NewReplacer("\u200B", "", "\u00AD", "").Replace(plain(spans))
		text = strings.Join(strings.Fields(text), " ")
		i := strings.Index(spoken[at:], text)
		if i < 0 {
			t.Errorf("%q is not read, or not after %q", text, spoken[max(0, at-40):at])
			return
		}
		at += i + len(text)
	}
	blocks, err := parseMarkdown(doc.Markdown, symbolsOf(doc.Symbols))
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range blocks {
		switch b := b.(type) {
		case heading:
			look(b.spans)
		case paragraph:
			look(b.spans)
		case picture:
			look(b.caption)
		}
	}
	if at == 0 {
		t.Error("nothing is read")
	}
	if strings.Contains(spoken, "page 1 of") {
		t.Error("the footer is read as text")
	}
	for _, want := range []string{"H1", "H2", "H3", "P", "L", "LI", "Lbl", "LBody", "Table", "THead", "TH", "TBody", "TD", "Figure", "Caption", "TOC", "TOCI", "Link", "Form"} {
		if !regexp.MustCompile(`(?m)^\s+` + want + `\b`).MatchString(out) {
			t.Errorf("the structure has no %s", want)
		}
	}
}

// All text of a page but its header and footer, and heads of tables that are
// repeated, is part of the structure, and each piece of it is marked once.
func TestTextIsMarked(t *testing.T) {
	t.Parallel()
	for _, name := range shippedJobs(t) {
		pages, s := placed(t, document(t, computed(t, name), "A4"))
		for n, p := range pages {
			seen, left := map[int]bool{}, 0
			for _, x := range p.texts {
				if x.part != nil {
					seen[x.id] = true
				} else if x.y > s.top && x.y < s.foot() && x.style != bold {
					left++
				}
			}
			for _, f := range p.figures {
				seen[f.id] = true
				if f.part.Alt == "" {
					t.Errorf("%s, page %d: figure %s has no text in its stead", name, n+1, f.figure.Name)
				}
			}
			if left > 0 || len(seen) != p.marked {
				t.Errorf("%s, page %d: %d texts are not marked; %d pieces of %d", name, n+1, left, len(seen), p.marked)
			}
		}
	}
}

// A field lies within the margins, over no text but a box to be crossed, and
// over no other field. The record forms and the approval page have some.
func TestFieldsAreFree(t *testing.T) {
	pages, s := placed(t, document(t, computed(t, "vessel-seam"), "A4"))
	crosses := 0
	for n, p := range pages {
		for i, f := range p.fields {
			own := box{f.x, f.y, f.x + f.width, f.y + f.height}
			if own.left < s.left || own.right > s.width-s.right || own.top < s.top || own.bottom > s.foot() || f.says == "" {
				t.Errorf("page %d: field %q leaves the margins", n+1, f.says)
			}
			for _, g := range p.fields[:i] {
				if own.overlaps(box{g.x, g.y, g.x + g.width, g.y + g.height}) {
					t.Errorf("page %d: fields %q and %q lie over each other", n+1, f.says, g.says)
				}
			}
			if f.cross {
				crosses++
				continue
			}
			for _, x := range p.texts {
				if own.overlaps(box{x.x, x.y - 0.7*x.size*point, x.x + x.width, x.y}) {
					t.Errorf("page %d: field %q lies over %q", n+1, f.says, x.text)
				}
			}
		}
		for title, least := range map[string]int{"Approval": 2, "Annex D": 20, "D.2": 100, "D.4": 200} {
			for _, m := range p.marks {
				if strings.HasPrefix(m.title, title) && m.title != "Approver's checklist" && len(p.fields) < least {
					t.Errorf("page %d with %q has %d fields, want %d or more", n+1, m.title, len(p.fields), least)
				}
			}
		}
	}
	if crosses == 0 {
		t.Error("there is no box to be crossed")
	}
}

func TestWhatFieldsAsk(t *testing.T) {
	blocks, err := parseMarkdown([]byte("| Item | Entry | Item | Entry |\n| --- | --- | --- | --- |\n| No. | | Date | |\n\n| Group | Probe | Wedge |\n| --- | --- | --- |\n| upper | | |\n| | | |\n\n| | |\n| --- | --- |\n| Name | |\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		table, row, column int
		want               string
	}{
		{0, 0, 1, "No.: Entry"}, {0, 0, 3, "Date: Entry"}, {1, 0, 2, "upper: Wedge"}, {1, 1, 1, "row 2: Probe"}, {2, 0, 1, "Name"},
	} {
		if got := blocks[c.table].(*table).asks(c.row, c.column); got != c.want {
			t.Errorf("table %d, row %d, column %d asks for %q, want %q", c.table, c.row, c.column, got, c.want)
		}
	}
}

// What is typed into fields by an independent program stands where it was typed,
// each text once, in a typeface that is embedded.
func TestTypedTextIsEmbedded(t *testing.T) {
	t.Parallel()
	file := written(t, sampleDocument(t))
	plain, typed, filled := file+".plain.pdf", file+".typed.pdf", file+".filled.pdf"
	external(t, "qpdf", "--qdf", "--object-streams=disable", file, plain)
	data, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	data = bytes.Replace(data, []byte("/NeedAppearances false"), []byte("/NeedAppearances true"), 1)
	n := 0
	data = regexp.MustCompile(`(?m)^  /FT /Tx$`).ReplaceAllFunc(data, func(entry []byte) []byte {
		n++
		return fmt.Appendf(nil, "%s\n  /V (%d\xE4)", entry, n) // ä
	})
	if n < 10 {
		t.Fatalf("only %d fields to be typed into", n)
	}
	if err := os.WriteFile(typed, data, 0o600); err != nil {
		t.Fatal(err)
	}
	whole := external(t, "fix-qdf", typed) // with its offsets right again
	if err := os.WriteFile(typed, []byte(whole), 0o600); err != nil {
		t.Fatal(err)
	}
	external(t, "qpdf", "--generate-appearances", typed, filled)
	said := map[string]int{}
	for _, word := range regexp.MustCompile(`\d+ä`).FindAllString(external(t, "pdftotext", filled, "-"), -1) {
		said[word]++
	}
	for i := range n {
		if word := fmt.Sprintf("%dä", i+1); said[word] != 1 {
			t.Errorf("%s was typed once and is read %d times", word, said[word])
		}
	}
	fonts := strings.Split(strings.TrimSpace(external(t, "pdffonts", filled)), "\n")[2:]
	for _, font := range fonts {
		if columns := strings.Fields(font); columns[len(columns)-5] != "yes" || !strings.Contains(font, "DejaVuSans") {
			t.Errorf("a typeface is not embedded: %s", font)
		}
	}
	if !strings.Contains(strings.Join(fonts, "\n"), "WinAnsi") {
		t.Errorf("no typeface of what was typed: %s", fonts)
	}
}

// The one independent judge of archives that can be had, of PDFBox, knows the
// first part of ISO 19005 only. It is shown the file in the older form, which
// allows no attachment, and asks for a set of the embedded characters, which part
// 3 no longer does. That the file is of part 3 follows from no judge.
func TestArchiveHoldsBeforeAJudge(t *testing.T) {
	t.Parallel()
	jars := []string{"preflight", "pdfbox2", "fontbox2", "xmpbox", "commons-logging", "commons-io", "javax.activation", "jaxb-api"}
	for i, name := range jars {
		jars[i] = filepath.Join("/usr/share/java", name+".jar")
		if _, err := os.Stat(jars[i]); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatal(err)
			}
			t.Skip(err)
		}
	}
	file := written(t, sampleDocument(t))
	older := filepath.Join(filepath.Dir(file), "older.pdf")
	external(t, "qpdf", "--object-streams=disable", "--stream-data=preserve", "--newline-before-endstream", "--force-version=1.4", file, older)
	data, err := os.ReadFile(older)
	if err != nil || !bytes.Contains(data, []byte("<pdfaid:part>3")) {
		t.Fatal("the file does not claim to be of part 3", err)
	}
	data = bytes.Replace(data, []byte("<pdfaid:part>3"), []byte("<pdfaid:part>1"), 1)
	if err := os.WriteFile(older, data, 0o600); err != nil {
		t.Fatal(err)
	}
	// It answers with exit code 1 where it finds anything.
	out, _ := exec.Command("java", "-XX:TieredStopAtLevel=1", "-cp", strings.Join(jars, ":"), "org.apache.pdfbox.preflight.Validator_A1b", older).CombinedOutput()
	answered := false
	for line := range strings.Lines(string(out)) {
		answered = answered || strings.Contains(line, "valid PDF/A-1b file")
		if regexp.MustCompile(`^\d[.\d]* : `).MatchString(line) && !strings.Contains(line, "The CIDSet entry is missing") {
			t.Error(strings.TrimSpace(line))
		}
	}
	if !answered {
		t.Errorf("no answer:\n%s", out)
	}
}
