package main

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/internal/rules"
	"soundwrit/internal/technique"
	"soundwrit/schema"
)

type rulesVerb struct {
	ID     string `arg:"" optional:"" help:"A rule to explain, as check prints it in brackets, or a book to list."`
	Book   string `placeholder:"FILE" help:"A house book to validate and list, in place of the books of the program."`
	Format string `enum:"text,json" default:"text" help:"text for people, json for programs."`
}

// Run lists the books with their rules, or explains one rule.
func (v *rulesVerb) Run(s *streams) error {
	shelf, books, err := allBooks()
	if err != nil {
		return err
	}
	notes := ""
	if v.Book != "" {
		house, err := v.house(s, shelf)
		if err != nil {
			return err
		}
		notes = houseText(house, books)
		books = []*rules.Book{house}
	}
	books, rule, err := v.chosen(books)
	if err != nil {
		return err
	}
	switch {
	case v.Format == "json":
		err = rulesJSON(s.out, books, rule)
	case rule != nil:
		_, err = io.WriteString(s.out, ruleText(books[0], rule))
	default:
		_, err = io.WriteString(s.out, bookText(books)+notes)
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	return nil
}

// house reads the house book named on the command line. What is wrong with it
// is shown, each with its line.
func (v *rulesVerb) house(s *streams, shelf *rules.Shelf) (*rules.Book, error) {
	text, problem, remedy := readBook(filepath.Dir(v.Book), filepath.Base(v.Book))
	if problem != "" {
		return nil, &refusal{fmt.Sprintf("the house rule book %s cannot be used: %s", v.Book, problem), remedy}
	}
	book, findings := shelf.House(v.Book, text)
	if book == nil {
		s.show(findings, "")
		return nil, outcome(unusable)
	}
	return book, nil
}

// houseText says how the rules of a house book stand to those of the codes that
// have the same id. Which codes count, only a job says.
func houseText(house *rules.Book, books []*rules.Book) string {
	var b strings.Builder
	for _, code := range books {
		loose := map[diag.Position]diag.Finding{}
		for _, f := range house.Loosens(code) {
			loose[f.At] = f
		}
		for i := range house.Rules {
			r := &house.Rules[i]
			theirs, shared := code.Find(r.ID)
			if !shared || code.Kind == "practice" {
				continue
			}
			f, looser := loose[r.Place]
			if looser {
				fmt.Fprintf(&b, "%s: an error in a job to %s: %s\n", f.At, code.Cite(), f.Message)
				continue
			}
			fmt.Fprintf(&b, "%s: at least as strict as %s/%s\n", r.Place, code.ID, theirs.ID)
		}
	}
	return b.String()
}

func allBooks() (*rules.Shelf, []*rules.Book, error) {
	shelf, findings := rules.Open(schema.Books(), technique.Vocabulary())
	var books []*rules.Book
	for _, head := range shelf.Heads {
		book, faults := shelf.Book(head.ID)
		findings = append(findings, faults...)
		if book != nil {
			books = append(books, book)
		}
	}
	if len(findings) > 0 {
		return nil, nil, fmt.Errorf("a rule book of the program is wrong: %s: %s", findings[0].At, findings[0].Message)
	}
	return shelf, books, nil
}

func (v *rulesVerb) chosen(books []*rules.Book) ([]*rules.Book, *rules.Rule, error) {
	if v.ID == "" {
		return books, nil, nil
	}
	bookID, ruleID, _ := strings.Cut(v.ID, "/")
	var ids []string
	for _, b := range books {
		ids = append(ids, b.ID)
		if b.ID == bookID {
			if ruleID == "" {
				return []*rules.Book{b}, nil, nil
			}
			if r, ok := b.Find(ruleID); ok {
				return []*rules.Book{b}, r, nil
			}
		}
		for i := range b.Rules {
			ids = append(ids, b.ID+"/"+b.Rules[i].ID)
			if ruleID == "" && b.Rules[i].ID == bookID {
				return []*rules.Book{b}, &b.Rules[i], nil
			}
		}
	}
	do := "soundwrit rules lists all of them"
	if near := diag.Nearest(v.ID, ids); near != "" {
		do = "did you mean " + near + "?"
	}
	return nil, nil, &refusal{fmt.Sprintf("there is no rule or rule book %q", v.ID), do}
}

func bookText(books []*rules.Book) string {
	var b strings.Builder
	total := 0
	for _, book := range books {
		sure := map[string]int{}
		for _, r := range book.Rules {
			sure[r.Sure]++
		}
		total += len(book.Rules)
		fmt.Fprintf(&b, "%s\n    %s (%s), %s: %d seen, %d from memory, %d common practice\n",
			book.ID, book.Title, book.Cite(), counted(len(book.Rules), "rule"), sure["seen"], sure["from memory"], sure["common practice"])
		for _, r := range book.Rules {
			fmt.Fprintf(&b, "    %-34s %-16s %-7s %s\n", r.ID, r.Clause, r.Level, r.Asks)
		}
		for _, n := range book.NotCovered {
			fmt.Fprintf(&b, "    not covered: %s\n", n)
		}
		b.WriteByte('\n')
	}
	fmt.Fprintf(&b, "%s in %s.\n%s\n", counted(total, "rule"), counted(len(books), "book"), caution)
	return b.String()
}

func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprint(n, " ", thing, "s")
}

// caution stands under every list of rules.
const caution = "The rules restate codes in our own words and are no substitute for them: the licensed text governs, and the responsible level 3 decides.\n" +
	"\"From memory\" means that nobody has checked the rule against the code's text yet."

func ruleText(book *rules.Book, r *rules.Rule) string {
	var b strings.Builder
	row := func(label, text string) {
		if text != "" {
			fmt.Fprintf(&b, "    %-10s %s\n", label, text)
		}
	}
	fmt.Fprintf(&b, "%s/%s\n", book.ID, r.ID)
	row("asks", r.Asks)
	row("level", string(r.Level))
	row("clause", strings.TrimSuffix(book.Cite()+", "+r.Clause, ", "))
	row("applies", r.Applies)
	row("limit", r.Limit)
	for i, line := range r.Boundaries() {
		row(map[bool]string{true: "boundary"}[i == 0], line)
	}
	row("why", r.Why)
	row("answered", "section "+r.AnsweredIn+" of the document")
	if r.Essential {
		change := map[string]string{"": "a change", "increase": "an increase", "decrease": "a decrease"}[r.Change]
		row("essential", r.Variable+": "+change+" takes: "+book.OnChange)
	}
	row("how sure", r.Sure)
	row("source", r.Source)
	b.WriteString(caution + "\n")
	return b.String()
}

// rulesJSON writes the books for programs; names and meaning are a promise.
func rulesJSON(w io.Writer, books []*rules.Book, only *rules.Rule) error {
	type rule struct {
		ID         string `json:"id"`
		Clause     string `json:"clause"`
		Level      string `json:"level"`
		Summary    string `json:"summary"`
		Applies    string `json:"applies"`
		Limit      string `json:"limit"`
		AnsweredIn string `json:"answered_in"`
		Essential  bool   `json:"essential"`
		Certainty  string `json:"certainty"`
		Source     string `json:"source"`
	}
	type book struct {
		ID      string `json:"id"`
		Title   string `json:"title"`
		Edition string `json:"edition"`
		Rules   []rule `json:"rules"`
	}
	out := struct {
		Books []book `json:"books"`
	}{Books: []book{}}
	for _, b := range books {
		list := book{b.ID, b.Title, b.Edition, []rule{}}
		for i := range b.Rules {
			r := &b.Rules[i]
			if only == nil || only == r {
				list.Rules = append(list.Rules, rule{b.ID + "/" + r.ID, r.Clause, string(r.Level), r.Asks, r.Applies, r.Limit, r.AnsweredIn, r.Essential, r.Sure, r.Source})
			}
		}
		out.Books = append(out.Books, list)
	}
	return writeJSON(w, out)
}
