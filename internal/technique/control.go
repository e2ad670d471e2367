package technique

import (
	"fmt"
	"slices"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/schema"
)

// Permission says whether work may start under the present revision, as far as
// the client's returns go.
type Permission uint8

// The permissions.
const (
	Unsaid  Permission = iota // nothing was returned for this revision, or for information only
	Granted                   // approved, with or without comments
	Refused                   // to be revised, or rejected
)

// Return is the client's last return of the present revision, nil where there
// is none, and whether work may start by it.
func Return(d *schema.Document) (*schema.Return, Permission) {
	var last *schema.Return
	for i := range d.Returns {
		if r := &d.Returns[i]; r.Revision == d.Revision && (last == nil || r.Date >= last.Date) {
			last = r
		}
	}
	if last == nil {
		return nil, Unsaid
	}
	switch last.Result {
	case "approved", "approved with comments":
		return last, Granted
	case "revise and resubmit", "rejected":
		return last, Refused
	}
	return last, Unsaid
}

// control holds the document's status against what it needs: a draft needs
// nothing; what is sent for approval has an author, and every comment answered; what is
// approved has every comment closed by the reviewer, a level 3 who approves it,
// and no return by the client that forbids it. Common practice, no source.
func (s *sheet) control() {
	d := &s.Job.Document
	need := func(path, rule, message, actual, limit, remedy string) {
		s.advise(path, rule, diag.Shall, message, actual, limit, remedy)
	}
	status := "document.status"
	if d.Status != "for approval" && d.Status != "approved" {
		return
	}
	if last := lastRevision(d.History); last != "" && d.Revision != "" && last != d.Revision {
		need("document.history", "status-history", "the revision record does not have the present revision", "last entry: revision "+last,
			"an entry for revision "+d.Revision, "write what changed in revision "+d.Revision+" at the end of document.history")
	}
	var unanswered, open []string
	for _, c := range d.Comments {
		if strings.TrimSpace(c.Answer) == "" && c.ClosedIn == "" {
			unanswered = append(unanswered, c.Number)
		}
		if c.ClosedIn == "" {
			open = append(open, c.Number)
		}
	}
	if d.Status == "for approval" {
		if len(unanswered) > 0 {
			need(status, "status-unanswered-comments", "the document is sent for approval with comments unanswered", "without answer: "+strings.Join(unanswered, ", "),
				"an answer to every comment", "write answer under each of them, or set status to draft")
		}
		return
	}
	if len(open) > 0 {
		need(status, "status-open-comments", "the document is called approved while comments are open", "open: "+strings.Join(open, ", "),
			"every comment closed by the reviewer", "have the reviewer close them, and write closed_in; until then the status is for approval")
	}
	approver := slices.ContainsFunc(d.People, func(p schema.Person) bool { return p.Task == "approves" && p.Name != "" })
	if !approver {
		need(status, "status-no-approver", "the document is called approved, and nobody is named who approved it", "nobody with the task approves and a name",
			"a level 3 by name", "name the person under document.people, or set status to for approval")
	}
	if last, may := Return(d); may == Refused {
		need(status, "status-returned", "the document is called approved, and the client returned this revision otherwise",
			last.Result+", "+last.Date, "a return that lets work start, or a new revision", fmt.Sprintf("write the next revision, or the client's later return of revision %s", d.Revision))
	}
}

// lastRevision is the revision of the last line of the record.
func lastRevision(history []schema.Revision) string {
	if len(history) == 0 {
		return ""
	}
	return history[len(history)-1].Revision
}
