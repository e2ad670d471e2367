package templates

import (
	"fmt"
	"io/fs"
	"strings"

	"soundwrit/internal/technique"
)

// Since is what a revision changes of an earlier one, for its record. What is
// not known is empty.
type Since struct {
	Number, Revision, Date string // of the earlier document
	Verdict                string // whether it must be qualified or approved again
	Takes                  []string
	Changes                []Changed
	Variables              []Moved
}

// Changed is a value of the job that differs, as it is written.
type Changed struct {
	Place, Name   string // in the job; what the document calls it
	Before, After string
	Essential     bool
}

// Moved is an essential variable that moved.
type Moved struct {
	Variable, Subject     string // Subject: of which group or part, where it has one
	Before, After, Clause string
	Counts                bool
}

// Edition is a technique with its figures.
type Edition struct {
	*technique.Technique
	Figures []Figure
}

// Markdown is the function Markdown of the later edition, with a record of what
// changed since the earlier one, and Mark beside what reads differently.
func (s Since) Markdown(wording fs.FS, before, after Edition) ([]byte, error) {
	return s.write(wording, before, after, allSections)
}

// Sheet is the function Sheet, with marks.
func (s Since) Sheet(wording fs.FS, before, after Edition) ([]byte, error) {
	return s.write(wording, before, after, crewSheet)
}

// write writes the later edition twice: once to know which sections read
// differently, and once to say so.
func (s Since) write(wording fs.FS, before, after Edition, which string) ([]byte, error) {
	old, err := write(wording, before.Technique, before.Figures, which, nil)
	if err != nil {
		return nil, fmt.Errorf("the earlier revision: %w", err)
	}
	plain, err := write(wording, after.Technique, after.Figures, which, nil)
	if err != nil {
		return nil, err
	}
	drawnBefore, drawnAfter := before.drawn(), after.drawn()
	_, list := marked(string(old), string(plain), drawnBefore, drawnAfter, "")
	view := s.see(list, Of(after.Job))
	text, err := write(wording, after.Technique, after.Figures, which, view)
	if err != nil {
		return nil, err
	}
	out, _ := marked(string(old), string(text), drawnBefore, drawnAfter, string(view.Heading))
	return []byte(out), nil
}

// drawn is what tells the drawing of each figure from another.
func (e Edition) drawn() map[string]string {
	all := map[string]string{}
	for _, f := range e.Figures {
		all[f.Name+".svg"] = f.Drawn
	}
	return all
}

// since is the view of Since.
type since struct {
	Heading            md // by which its section is found again
	Of, Dated, Verdict md
	Takes              []md
	Changes            []changed
	Variables          []moved
	Sections           []touchedRow
}

type changed struct{ Name, Place, Before, After, Essential md }
type moved struct{ Variable, Before, After, Clause, Counts md }
type touchedRow struct{ Link, Marked, Removed md }

// see makes the words of the record. Names and values are said here, since the
// templates print them with what the program did not say.
func (s Since) see(list []touched, tongue *Tongue) *since {
	say := func(text string) md { return esc(tongue.Decimal(tongue.Say(text))) }
	v := &since{
		Heading: tongue.say("Changes since revision " + or(esc(s.Revision), "not stated")), Verdict: esc(s.Verdict),
		Of: or(esc(s.Number), "a document without a number"), Dated: esc(s.Date),
	}
	for _, line := range s.Takes {
		code, takes, _ := strings.Cut(line, ": ")
		v.Takes = append(v.Takes, esc(code+":")+" "+say(takes))
	}
	for _, c := range s.Changes {
		x := changed{Name: or(md(capital(string(say(c.Name)))), "–"), Place: "`" + md(strings.NewReplacer("`", "'", "|", "\\|").Replace(strings.Join(strings.Fields(c.Place), " "))) + "`",
			Before: or(say(c.Before), "none"), After: or(say(c.After), "none"), Essential: "no"}
		if c.Essential {
			x.Essential = "**yes**"
		}
		v.Changes = append(v.Changes, x)
	}
	for _, m := range s.Variables {
		name := md(capital(string(say(m.Variable))))
		if m.Subject != "" {
			name += " (" + esc(m.Subject) + ")"
		}
		x := moved{name, say(m.Before), say(m.After), esc(m.Clause), "no"}
		if m.Counts {
			x.Counts = "**yes**"
		}
		v.Variables = append(v.Variables, x)
	}
	for _, t := range list {
		x := touchedRow{Link: md(t.heading), Marked: tallyOf(t.marked), Removed: tallyOf(t.removed)}
		switch id := numbered.FindStringSubmatch(t.heading); {
		case t.gone:
			x.Removed = "all of it"
		case id != nil:
			x.Link = md(fmt.Sprintf("[%s](#section:%s)", t.heading, id[1]+id[2]+id[3]))
		default:
			x.Link = md(fmt.Sprintf("[%s](#%s)", t.heading, anchor(t.heading)))
		}
		v.Sections = append(v.Sections, x)
	}
	return v
}

func tallyOf(n int) md {
	if n == 0 {
		return "–"
	}
	return md(fmt.Sprint(n))
}
