package templates

import (
	"fmt"
	"strings"

	"soundwrit/internal/technique"
	"soundwrit/schema"
)

// comment is one line of the comment sheet.
type comment struct{ Number, About, By, Comment, Answer, ClosedIn md }

// returned is one return of the document by the client.
type returned struct{ Revision, Date, Result, By, Reference md }

// comments fills in what reviewers said and what the client returned.
func (v *document) comments(d *schema.Document) {
	for _, c := range d.Comments {
		about := strings.Trim(c.Revision+", "+c.Section, ", ")
		by := strings.Trim(c.By+", "+c.Date, ", ")
		v.Comments = append(v.Comments, comment{
			esc(c.Number), or(esc(about), "–"), or(esc(by), "–"), esc(c.Comment), or(esc(c.Answer), "not answered"), or(esc(c.ClosedIn), "**open**"),
		})
	}
	for _, r := range d.Returns {
		v.Returns = append(v.Returns, returned{esc(r.Revision), esc(r.Date), esc(r.Result), or(esc(r.By), "–"), or(esc(r.Reference), "–")})
	}
	last, may := technique.Return(d)
	if last == nil {
		return
	}
	said := fmt.Sprintf("The client returned this revision on %s: %s", last.Date, last.Result)
	if last.Reference != "" {
		said += ", " + last.Reference
	}
	switch may {
	case technique.Granted:
		v.Start = "**Work may start by this revision.** "
	case technique.Refused:
		v.Start = "**Work may not start by this revision.** "
	case technique.Unsaid:
		v.Start = "**This return neither approves nor refuses; the contract says whether work may start.** "
	}
	v.Start += esc(said) + "."
}
