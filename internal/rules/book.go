package rules

import (
	"slices"

	"soundwrit/internal/diag"
)

// Head is what a book says of itself.
type Head struct {
	ID         string   // "iso-13588-2019"
	Code       string   // "ISO 13588"
	Also       []string // other ways in which a job may write the code
	Edition    string   // "2019"
	Title      string
	Kind       string   // procedure, acceptance, practice, house
	Methods    []string // of groups it speaks of
	Caution    string
	NotCovered []string // what of the code is not in the book
	OnChange   string   // what a change of an essential variable takes
	File       string
}

// Cite names the code with its edition: "ISO 13588:2019". What is no year is the
// number of a revision, as code cases have: "ASME Code Case 2235-10".
func (h *Head) Cite() string {
	if h.Kind == "house" && h.Edition != "" {
		return h.Code + ", edition " + h.Edition
	}
	return Cite(h.Code, h.Edition)
}

// Cite names a code with its edition, as Head.Cite does.
func Cite(code, edition string) string {
	switch {
	case edition == "":
		return code
	case len(edition) < len("2019"):
		return code + "-" + edition
	}
	return code + ":" + edition
}

// Book is a rule book, read and compiled. Check answers it for a job.
type Book struct {
	Head
	Rules []Rule

	language   *language
	acceptance acceptance
}

// Rule is one requirement. The exported fields are for listings and documents.
type Rule struct {
	ID         string     // unique in its book: "scan-increment"
	Clause     string     // of the code; empty for common practice
	Level      diag.Level // Shall or Should
	Asks       string     // in own words
	Why        string     // why it matters on site
	Sure       string     // "seen", "from memory", "common practice"
	Source     string
	Essential  bool          // a change of its value may change what the technique finds
	Variable   string        // what is judged, in words
	Change     string        // of an essential variable, the direction that counts: "increase", "decrease"; empty: any
	AnsweredIn string        // section of the document
	Applies    string        // when it applies, as the book writes it; empty: always
	Limit      string        // as the book writes it
	Written    string        // words of the document that answer it; empty: it is answered otherwise
	Place      diag.Position // of the condition in the book

	unless   string
	applies  []*expression
	each     string
	at       string // fact whose place a finding points at
	value    *expression
	measure  measure
	atMost   *bound
	atLeast  *bound
	oneOf    []*bound // numbers
	texts    []string // one of these texts
	present  bool
	isTrue   []*expression // alternatives: one that is true suffices
	confirm  string
	expected string // limit of is_true, in words
	missing  string // message where the value is not given; empty: not checked then
	message  string
	remedy   string
}

// Find returns the rule with the given id.
func (b *Book) Find(id string) (*Rule, bool) {
	i := slices.IndexFunc(b.Rules, func(r Rule) bool { return r.ID == id })
	if i < 0 {
		return nil, false
	}
	return &b.Rules[i], true
}

// repeating are the scopes that exist once for each group or person.
func repeating(scope string) bool { return scope == "group" || scope == "person" }
