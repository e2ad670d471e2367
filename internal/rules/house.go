package rules

import (
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// MaxHouse is the size of the largest house book that is read, in bytes; a
// hundred rules are a quarter of it.
const MaxHouse = 1 << 18

// House reads a house book: the rules of a company or a client, in the format
// of the books on the shelf. It adds rules, and it may tighten those of a code
// by a rule of the same id; Loosens says where it does the opposite. What it
// may not be is a book of a code: its kind is house, its id is its own, and
// acceptance it leaves to the codes.
func (s *Shelf) House(file string, text []byte) (*Book, []diag.Finding) {
	r := &reader{file: file, language: s.language}
	start := diag.Position{File: file, Line: 1, Column: 1}
	refuse := func(rule, message, actual, limit, remedy string) (*Book, []diag.Finding) {
		return nil, []diag.Finding{{Rule: rule, Level: diag.Error, At: start, Message: message, Actual: actual, Limit: limit, Remedy: remedy}}
	}
	switch {
	case len(text) > MaxHouse:
		return refuse("book-too-large", "the file is larger than a rule book can be", "", "at most 256 kB", "check that this is the house book")
	case !utf8.Valid(text):
		return refuse("book-not-utf8", "the rule book is not UTF-8 text", "", "plain text in UTF-8", "save it as UTF-8 in your editor")
	}
	b, findings := r.read(text)
	if b == nil {
		return nil, findings
	}
	switch {
	case b.Kind != "house":
		return refuse("book-wrong-kind", "a job names this rule book as a house book, but it does not say that it is one", "kind: "+b.Kind, "kind: house", "write kind: house at its head")
	case slices.ContainsFunc(s.Heads, func(h Head) bool { return h.ID == b.ID }):
		return refuse("book-name", "the house book has the id of a book of the program", "book: "+b.ID, "an id of its own", "name it after the house, such as book: our-house-1")
	case slices.ContainsFunc(b.Rules, func(r Rule) bool { return r.Written != "" }):
		r := b.Rules[slices.IndexFunc(b.Rules, func(r Rule) bool { return r.Written != "" })]
		return nil, []diag.Finding{{Rule: "book-written", Level: diag.Error, At: r.Place, Message: "rule " + r.ID + " takes the document's own words for an answer, which only the books of the program may",
			Actual: r.Written, Limit: "another condition", Remedy: "use confirm, so that a person sees that the document says it"}}
	case b.acceptance.rows != nil:
		return refuse("book-acceptance", "the house book has an acceptance table", "acceptance", "rules only", "leave acceptance to the code, and put what goes beyond it into the document as a limitation")
	}
	return b, nil
}

// Loosens compares the rules of a house book with those of the same id in the
// book of a code. Each must be at least as strict: of the same level or higher,
// asked wherever the code's is asked, judging the same value, with a limit that
// nowhere goes beyond the code's, in mm and in inches. A finding stands at each
// that is not, or that cannot be compared. The code's own rule is checked in any
// case; a looser one beside it would only mislead.
func (b *Book) Loosens(code *Book) []diag.Finding {
	var findings []diag.Finding
	for i := range b.Rules {
		own := &b.Rules[i]
		theirs, shared := code.Find(own.ID)
		if !shared {
			continue
		}
		reason := looser(own, theirs, b.language)
		if reason == "" {
			continue
		}
		findings = append(findings, diag.Finding{
			Rule: "house-looser", Level: diag.Error, At: own.Place,
			Message: "the house rule " + own.ID + " is not stricter than " + code.ID + "/" + theirs.ID + ": " + reason,
			Actual:  own.Limit, Limit: theirs.Limit + ", or stricter", Code: code.Cite(), Clause: theirs.Clause, Sure: theirs.Sure,
			Remedy: "tighten the rule, or give it an id of its own if it asks something else",
		})
	}
	return findings
}

// looser says why a rule is not at least as strict as that of the code; it is
// empty where it is.
func looser(own, code *Rule, l *language) string {
	switch {
	case own.Level == diag.Should && code.Level == diag.Shall:
		return "it only advises what the code demands"
	case own.each != "" && own.each != code.each:
		return "it is asked for each " + own.each + ", and the code's rule is not"
	case !within(own.applies, code.applies):
		return "it does not apply wherever the code's rule does"
	}
	sameValue := own.value == nil && code.value == nil || own.value != nil && code.value != nil && sameText(own.value, code.value)
	if !sameValue {
		return "it judges another value"
	}
	limited := own.atMost != nil || own.atLeast != nil || own.oneOf != nil || own.texts != nil
	switch {
	case code.Written != "", code.confirm != "" && own.confirm != "":
		return ""
	case code.present && (own.present || limited && own.missing != ""):
		return ""
	case code.isTrue != nil && own.isTrue != nil && within(own.isTrue, code.isTrue):
		return ""
	case code.texts != nil && own.texts != nil:
		if i := slices.IndexFunc(own.texts, func(t string) bool { return !slices.Contains(code.texts, t) }); i >= 0 {
			return "it permits " + own.texts[i]
		}
		return ""
	case code.oneOf != nil && own.oneOf != nil:
		for _, o := range own.oneOf {
			if !slices.ContainsFunc(code.oneOf, func(c *bound) bool { return beyond(o, c, l, same) == "" }) {
				return "it permits " + o.String()
			}
		}
		return ""
	case code.atMost == nil && code.atLeast == nil:
		return "the two demand different kinds of things, and cannot be compared"
	}
	for _, side := range []struct {
		own, code *bound
		fine      func(own, code float64) bool
		end       string
	}{
		{own.atMost, code.atMost, atMost, "upper"},
		{own.atLeast, code.atLeast, func(own, code float64) bool { return atMost(code, own) }, "lower"},
	} {
		switch {
		case side.code == nil:
		case side.own == nil:
			return "it has no " + side.end + " limit"
		default:
			if reason := beyond(side.own, side.code, l, side.fine); reason != "" {
				return reason
			}
		}
	}
	return ""
}

func sameText(a, b *expression) bool {
	return strings.Join(strings.Fields(a.text), " ") == strings.Join(strings.Fields(b.text), " ")
}

// within reports whether each of some expressions is among others.
func within(some, others []*expression) bool {
	return !slices.ContainsFunc(some, func(a *expression) bool {
		return !slices.ContainsFunc(others, func(b *expression) bool { return sameText(a, b) })
	})
}

// beyond says where a limit goes beyond the code's. Tables are compared at
// every end of a step of either, just past it, and far out, which settles it for
// limits that are straight lines in between; in mm and in inches.
func beyond(own, code *bound, l *language, fine func(own, code float64) bool) string {
	by := code.by
	if by == nil {
		by = own.by
	}
	if own.by != nil && code.by != nil && !sameText(own.by, code.by) {
		return "its table goes by another quantity, so that the two cannot be compared"
	}
	for _, inch := range []bool{false, true} {
		for _, x := range places(inch, own, code) {
			f := newFacts(nil, inch)
			if by != nil {
				fact := l.facts[by.text]
				f = newFacts(map[string]any{fact.Name: si.Quantity{SI: x, Kind: fact.Kind}}, inch)
			}
			theirs, m := code.resolve(f, l, inch)
			ours, n := own.resolve(f, l, inch)
			if m != nil || n != nil {
				if own.String() == code.String() {
					return ""
				}
				return "a limit depends on more than its table says, so that the two cannot be compared"
			}
			if math.IsNaN(theirs) || !math.IsNaN(ours) && fine(ours, theirs) {
				continue
			}
			system := ""
			if inch {
				system = " for a job in inches"
			}
			if by == nil {
				return "its limit goes beyond the code's" + system
			}
			m2 := measureOf(l.facts[by.text])
			return "its limit goes beyond the code's at " + by.text + " of " + m2.text(x, si.Nearest, inch) + system
		}
	}
	return ""
}

// places are the values of the quantity a table goes by at which two tables
// are compared.
func places(inch bool, tables ...*bound) []float64 {
	var list []float64
	for _, b := range tables {
		for _, s := range b.steps {
			if s.end == "" {
				continue
			}
			to := s.to
			if inch {
				to = s.toInch
			}
			list = append(list, to*(1-1e-6), to, to*(1+1e-6))
		}
	}
	if list == nil {
		return []float64{1} // a limit that is the same everywhere
	}
	slices.Sort(list)
	last := list[len(list)-1]
	return append(list, 2*last, 1000*last)
}
