package technique

import (
	"fmt"

	"soundwrit/internal/rules"
)

// HouseBook is a house book that the job names, as the caller read it.
type HouseBook struct {
	Name    string // as the job names it
	File    string // for messages
	Text    []byte
	Problem string // why it could not be read; empty where it was
	Remedy  string // of that problem
}

// house takes the house books of the job onto the shelf. A house adds rules to
// those of the codes and may tighten them, never loosen them: a rule with the id
// of one in a book of this job must be at least as strict.
func (s *sheet) house(shelf *rules.Shelf, codes []*rules.Book, given []HouseBook) []*rules.Book {
	var books []*rules.Book
	for i, name := range s.Job.Codes.House {
		path := fmt.Sprintf("codes.house.%d", i)
		h := HouseBook{Name: name, Problem: "it was not read"}
		for _, g := range given {
			if g.Name == name {
				h = g
			}
		}
		if h.Problem != "" {
			s.problem(path, "house-unreadable", "the house rule book cannot be used: "+h.Problem, name, "a rule book, in the folder of the job or below it", h.Remedy)
			continue
		}
		book, faults := shelf.House(h.File, h.Text)
		s.Findings = append(s.Findings, faults...)
		if book == nil {
			continue
		}
		for _, other := range books {
			if other.ID == book.ID {
				s.problem(path, "book-twice", "two house books have the same id", book.ID, "an id of its own for each", "rename one of them")
			}
		}
		for _, code := range codes {
			if code.Kind != "practice" {
				s.Findings = append(s.Findings, book.Loosens(code)...)
			}
		}
		books = append(books, book)
		s.House = append(s.House, book.Head)
	}
	return books
}
