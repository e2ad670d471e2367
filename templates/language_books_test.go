package templates

import (
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// prose is a clause that is told in words of our own, and not by its number.
var prose = regexp.MustCompile(`^.*\b[a-z]{2,}\b.*$`)

// spoken lists what a document prints of a rule book, as the book writes it. The
// book is read as text here, without the reader of the program.
func spoken(t *testing.T, file string) []string {
	t.Helper()
	data, err := fs.ReadFile(schema.Books(), file)
	if err != nil {
		t.Fatal(err)
	}
	var book struct {
		Title, Kind, Caution string
		NotCovered           []string `yaml:"not_covered"`
		OnChange             string   `yaml:"on_change"`
		Rules                []struct {
			Clause, Asks, Unless, Confirm, Message, Missing, Expected, Variable string
		}
		Acceptance struct {
			Notes  []string
			Beyond string
			Rows   []struct{ Clause, Class, Verdict string }
		}
	}
	if err := yaml.Unmarshal(data, &book); err != nil {
		t.Fatal(err)
	}
	all := append([]string{book.Caution, book.OnChange, book.Acceptance.Beyond}, slices.Concat(book.NotCovered, book.Acceptance.Notes)...)
	if book.Kind == "acceptance" {
		all = append(all, book.Title)
	}
	for _, r := range book.Rules {
		all = append(all, r.Asks, r.Unless, r.Confirm, r.Message, r.Missing, r.Expected, r.Variable)
		all = append(all, prose.FindString(r.Clause))
	}
	for _, r := range book.Acceptance.Rows {
		all = append(all, r.Class, r.Verdict, prose.FindString(r.Clause))
	}
	all = slices.DeleteFunc(all, func(text string) bool { return text == "" })
	for i := range all {
		all[i] = strings.TrimSpace(all[i])
	}
	return all
}

// TestBooksSpeakGerman holds that every text a document prints of a built-in book
// has its German, with the same holes and numbers; and what facts are called, which
// is printed where one is not known.
func TestBooksSpeakGerman(t *testing.T) {
	written := germanLines(t)
	books, err := fs.Glob(schema.Books(), "*.yaml")
	if err != nil || len(books) < 10 {
		t.Fatal(books, err)
	}
	wanted := map[string]bool{}
	want := func(where, text string) {
		wanted[text] = true
		german, ok := written[text]
		if !ok {
			t.Errorf("%s: no German for %s", where, text)
			return
		}
		a, b := hole.FindAllString(text, -1), hole.FindAllString(german, -1)
		slices.Sort(a)
		slices.Sort(b)
		if !slices.Equal(a, b) {
			t.Errorf("%s: other holes in %s", where, german)
		}
		if !slices.Equal(numbersOf(text), numbersOf(german)) {
			t.Errorf("%s: other numbers in %s", where, german)
		}
	}
	for _, file := range books {
		for _, text := range spoken(t, file) {
			want(file, text)
		}
	}
	for _, f := range technique.Vocabulary() {
		want(f.Name, f.Doc)
		if name, _, more := strings.Cut(f.Doc, ";"); more {
			want(f.Name, name)
		}
	}
	parts, err := fs.Glob(languages, "languages/de-*.txt")
	if err != nil || len(parts) == 0 {
		t.Fatal(parts, err)
	}
	for _, file := range parts {
		if name := path.Base(file); name == "de-findings.txt" || name == "de-annex-b.txt" {
			continue // of the program, not of books
		}
		for english := range germanOf(t, file) {
			if !wanted[english] {
				t.Errorf("%s: no book has this text any more: %s", path.Base(file), english)
			}
		}
	}
}

// TestBooksKeepNamesApart holds that essential variables that differ in English do
// so in German: rows of alike ones are put together.
func TestBooksKeepNamesApart(t *testing.T) {
	german := Language("de")
	shelf, faults := rules.Open(schema.Books(), technique.Vocabulary())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	of := map[string]string{}
	apart := func(text string) {
		said := german.Say(text)
		if other, twice := of[said]; twice && other != text {
			t.Errorf("%q is the German both of %q and of %q", said, other, text)
		}
		of[said] = text
	}
	for _, h := range shelf.Heads {
		book, faults := shelf.Book(h.ID)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		for _, r := range book.Rules {
			apart(r.Variable)
		}
	}
	if len(of) < 50 {
		t.Errorf("only %d variables", len(of))
	}
}

// germanLines are all lines of the German files, by their English; one that stands
// in two files is an error.
func germanLines(t *testing.T) map[string]string {
	t.Helper()
	names, err := fs.Glob(languages, "languages/de*.txt")
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, name := range names {
		for english, german := range germanOf(t, name) {
			if _, twice := all[english]; twice {
				t.Errorf("%s: %q has its German in another file too", path.Base(name), english)
			}
			all[english] = german
		}
	}
	return all
}

// germanOf are the lines of one file.
func germanOf(t *testing.T, name string) map[string]string {
	t.Helper()
	data, err := fs.ReadFile(languages, name)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	english := ""
	for n, line := range strings.Split(string(data), "\n") {
		switch {
		case line == "" || strings.HasPrefix(line, "// "):
		case line[0] != '\t':
			english = line
		default:
			if other, twice := all[english]; twice && other != line[1:] {
				t.Errorf("%s:%d: %q stands twice, with two translations", path.Base(name), n+1, english)
			}
			all[english] = line[1:]
		}
	}
	return all
}
