package rules

import (
	"bytes"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/diag"
)

// Shelf is a folder of rule books. Only their heads are read at first; a book
// is read and compiled when it is asked for, once. It may be used from several
// goroutines.
type Shelf struct {
	Heads    []Head // sorted by id
	fsys     fs.FS
	language *language
	books    map[string]*Book
	reading  sync.Mutex // of books
}

// Open reads the heads of all books (*.yaml) in the top folder of fsys.
func Open(fsys fs.FS, vocabulary []Fact) (*Shelf, []diag.Finding) {
	s := &Shelf{fsys: fsys, language: newLanguage(vocabulary), books: map[string]*Book{}}
	files, err := fs.Glob(fsys, "*.yaml")
	if err != nil {
		return s, []diag.Finding{unreadable(".", err)}
	}
	var findings []diag.Finding
	for _, file := range files {
		text, err := fs.ReadFile(fsys, file)
		if err != nil {
			findings = append(findings, unreadable(file, err))
			continue
		}
		r := &reader{file: file}
		var document yaml.Node
		if err := yaml.Unmarshal(headOnly(text), &document); err != nil {
			findings = append(findings, notYAML(file, err))
			continue
		}
		if len(document.Content) == 0 {
			continue
		}
		h := r.head(r.fields(document.Content[0], "the book", headKeys()...))
		if h.ID != strings.TrimSuffix(path.Base(file), ".yaml") {
			r.fail(document.Content[0], "book-name", "the book's id is not the name of its file", h.ID, strings.TrimSuffix(path.Base(file), ".yaml"))
		}
		findings = append(findings, r.findings...)
		s.Heads = append(s.Heads, h)
	}
	return s, findings
}

// headOnly cuts a book off where its rules begin: parsing them is most of the
// work, and not needed to know what the book is.
func headOnly(text []byte) []byte {
	for _, key := range []string{"\nrules:", "\nacceptance:"} {
		if i := bytes.Index(text, []byte(key)); i >= 0 {
			text = text[:i+1]
		}
	}
	return text
}

// Named returns the head of the book for a code and its edition, as a job
// writes them; case and spacing do not matter.
func (s *Shelf) Named(code, edition string) (Head, bool) {
	i := slices.IndexFunc(s.Heads, func(h Head) bool {
		if plainName(h.Edition) != plainName(edition) {
			return false
		}
		return slices.ContainsFunc(append([]string{h.Code}, h.Also...), func(name string) bool { return plainName(name) == plainName(code) })
	})
	if i < 0 {
		return Head{}, false
	}
	return s.Heads[i], true
}

func plainName(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// Find returns the book for a code and its edition, read and compiled. There
// is no book and no finding where the shelf has none for them.
func (s *Shelf) Find(code, edition string) (*Book, []diag.Finding) {
	h, ok := s.Named(code, edition)
	if !ok {
		return nil, nil
	}
	return s.Book(h.ID)
}

// Book returns the book with this id, read and compiled.
func (s *Shelf) Book(id string) (*Book, []diag.Finding) {
	s.reading.Lock()
	defer s.reading.Unlock()
	if b := s.books[id]; b != nil {
		return b, nil
	}
	i := slices.IndexFunc(s.Heads, func(h Head) bool { return h.ID == id })
	if i < 0 {
		return nil, nil
	}
	b, findings := load(s.fsys, s.Heads[i].File, s.language)
	if b != nil {
		s.books[id] = b
	}
	return b, findings
}
