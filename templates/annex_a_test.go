package templates

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"
	extension "github.com/yuin/goldmark/extension/ast"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// asked is one row of annex A as a reviewer reads it.
type asked struct {
	clause, asks, why, verdict string
}

// notApplicable reads an item of what does not apply: the reason in italics, then each
// clause in bold with what it asks. Any other item has none.
func notApplicable(item ast.Node, source []byte) (all []asked) {
	why, ok := item.FirstChild().(*ast.Emphasis)
	if !ok || why.Level != 1 {
		return nil
	}
	for n := why.NextSibling(); n != nil; n = n.NextSibling() {
		switch n := n.(type) {
		case *ast.Emphasis:
			all = append(all, asked{clause: plainText(n, source), why: plainText(why, source), verdict: "not applicable"})
		case *ast.Text:
			if len(all) > 0 {
				one := &all[len(all)-1]
				one.asks = strings.TrimSpace(one.asks + string(unescape(n.Segment.Value(source))))
			}
		}
	}
	return all
}

// annexA reads the tables and lists of annex A, by the heading of the book, with a
// Markdown reader that shares no code with the writer.
func annexA(source string) map[string][]asked {
	text := []byte(source)
	rows := map[string][]asked{}
	book := ""
	var head []string
	for n := parse(source).FirstChild(); n != nil; n = n.NextSibling() {
		if h, ok := n.(*ast.Heading); ok {
			title := plainText(h, text)
			number, name, _ := strings.Cut(title, " ")
			book = ""
			if h.Level == 3 && strings.HasPrefix(number, "A.") {
				book = name
			}
		}
		if list, ok := n.(*ast.List); ok && book != "" {
			for item := list.FirstChild(); item != nil; item = item.NextSibling() {
				rows[book] = append(rows[book], notApplicable(item.FirstChild(), text)...)
			}
		}
		table, ok := n.(*extension.Table)
		if !ok || book == "" {
			continue
		}
		for row := table.FirstChild(); row != nil; row = row.NextSibling() {
			cells := map[string]string{}
			var emphasis string
			i := 0
			for cell := row.FirstChild(); cell != nil; cell = cell.NextSibling() {
				if _, ok := row.(*extension.TableHeader); ok {
					if i == 0 {
						head = nil
					}
					head = append(head, plainText(cell, text))
				} else {
					cells[head[i]] = upright(cell, text)
					if head[i] == "Asks" {
						emphasis = strings.TrimSpace(strings.TrimPrefix(plainText(cell, text), cells[head[i]]))
					}
				}
				i++
			}
			if len(cells) == 0 {
				continue
			}
			one := asked{clause: cells["Clause"], asks: cells["Asks"], why: emphasis, verdict: cells["Verdict"]}
			rows[book] = append(rows[book], one)
		}
	}
	return rows
}

// upright is the text of a cell without what is set in italics.
func upright(n ast.Node, source []byte) string {
	var b strings.Builder
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch c := c.(type) {
		case *ast.Text:
			b.Write(unescape(c.Segment.Value(source)))
		case *ast.Emphasis:
			if c.Level > 1 {
				b.WriteString(plainText(c, source))
			}
		}
	}
	return strings.TrimSpace(b.String())
}

// A reviewer ticks the code's list against annex A: every requirement of every
// book that the job names stands there once for each of its subjects, with a
// verdict, and with a reason where it does not apply or was not checked. Books
// are read from their files here, not from what the technique kept of them.
func TestAnnexAHoldsEveryRequirementOnce(t *testing.T) {
	shelf, faults := rules.Open(schema.Books(), technique.Vocabulary())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	files, err := filepath.Glob("../testdata/jobs/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no jobs", err)
	}
	for _, file := range append(files, "../testdata/bad/wrong.yaml") {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			job, _ := schema.Load(file, data)
			job.Document.Language = "en" // what is read here; the German follows it line by line
			tech := technique.Compute(job)
			rows := annexA(written(t, tech, nil))
			books := []*rules.Book{}
			for _, c := range slices.Concat(job.Codes.Procedure, job.Codes.Acceptance) {
				book, _ := shelf.Find(c.Code, c.Edition)
				books = append(books, book)
			}
			practice, _ := shelf.Book("good-practice")
			for _, book := range append(books, practice) {
				if book == nil {
					t.Fatal("the job names a book that is not there")
				}
				everyRequirement(t, book, tech, rows[book.Cite()])
			}
		})
	}
}

func everyRequirement(t *testing.T, book *rules.Book, tech *technique.Technique, rows []asked) {
	t.Helper()
	for _, r := range book.Rules {
		var subjects []string
		for _, res := range tech.Rules {
			if res.Book == book.ID && res.Rule == r.ID {
				subjects = append(subjects, res.Subject)
			}
		}
		if len(subjects) == 0 {
			t.Errorf("%s/%s is not answered", book.ID, r.ID)
		}
		clause := r.Clause
		if clause == "" {
			clause = "–"
		}
		var found []string
		for _, row := range rows {
			rest, ok := strings.CutPrefix(row.asks, r.Asks)
			if own, _, _ := strings.Cut(row.clause+" ", " E "); !ok || strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(own), " advice")) != clause {
				continue
			}
			found = append(found, strings.Split(strings.Trim(strings.TrimSpace(rest), "()"), ", ")...)
			switch row.verdict {
			case "met", "not met", "confirm", "agreed deviation":
			case "not applicable", "not checked":
				if strings.Trim(row.why, "–.") == "" {
					t.Errorf("%s/%s is %s without a reason", book.ID, r.ID, row.verdict)
				}
			default:
				t.Errorf("%s/%s has the verdict %q", book.ID, r.ID, row.verdict)
			}
		}
		slices.Sort(found)
		slices.Sort(subjects)
		if !slices.Equal(found, subjects) {
			t.Errorf("%s/%s, %s: annex A answers it for %q, want %q once each", book.ID, r.ID, r.Clause, found, subjects)
		}
	}
	n := 0
	for _, r := range tech.Rules {
		if r.Book == book.ID {
			n++
		}
	}
	if n < len(book.Rules) {
		t.Errorf("%s: %d answers for %d rules", book.ID, n, len(book.Rules))
	}
}
