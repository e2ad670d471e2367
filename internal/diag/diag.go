// Package diag holds findings: what is wrong with a job, where it stands, what
// was expected and what to do. It sorts them and writes them as text or JSON.
// It knows nothing of ultrasonics, and it never decides whether a thing is
// wrong: that is the business of package schema, technique and the rule books.
package diag

import (
	"cmp"
	"slices"
)

// Level says how much a finding weighs.
type Level string

// The levels. An Error cannot be computed with, and nothing is written; a
// Shall is a requirement that is not met, which only an agreed deviation in
// the job answers; a Should is advice; a Note tells what a person must confirm.
const (
	Error  Level = "error"
	Shall  Level = "shall"
	Should Level = "should"
	Note   Level = "note"
)

// Position is a place in a file; line and column count from 1, in characters.
type Position struct {
	File         string
	Line, Column int
}

// A Finding is one thing to put right. Message is a sentence in the present
// tense with the job's own field names, without a full stop.
type Finding struct {
	Rule      string // id of the rule, or of the kind of error
	Level     Level
	At        Position
	Path      string // place in the job: "groups.upper.angles.to"
	Subject   string // the group or person it was asked of, for a rule that is asked of each
	Message   string
	Actual    string // what is written or computed
	Limit     string // what is allowed or expected
	Code      string // "ISO 13588:2019", for a rule of a code
	Clause    string // "7.3"
	Sure      string // "seen" or "from memory", for a rule
	Also      []Also // other places that have a part in it
	Remedy    string // what would satisfy it
	Deviation string // the agreed deviation that answers it, if any
}

// Also is another place that has a part in a finding.
type Also struct {
	At      Position
	Message string
}

// Open reports whether the finding still stands in the way of an approval: a
// requirement not met and not covered by an agreed deviation, or an error.
func (f Finding) Open() bool {
	return f.Level == Error || f.Level == Shall && f.Deviation == ""
}

// Summary counts findings by level.
type Summary struct {
	Error  int `json:"error"`
	Shall  int `json:"shall"`
	Should int `json:"should"`
	Note   int `json:"note"`
}

// Count returns how many findings there are of each level.
func Count(findings []Finding) Summary {
	var s Summary
	for _, f := range findings {
		switch f.Level {
		case Error:
			s.Error++
		case Shall:
			s.Shall++
		case Should:
			s.Should++
		case Note:
			s.Note++
		}
	}
	return s
}

// Sort puts findings in the order of the file and drops repetitions.
func Sort(findings []Finding) []Finding {
	slices.SortStableFunc(findings, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File),
			cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.Path, b.Path),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Message, b.Message),
		)
	})
	return slices.CompactFunc(findings, func(a, b Finding) bool {
		return a.At == b.At && a.Path == b.Path && a.Rule == b.Rule && a.Message == b.Message && a.Deviation == b.Deviation
	})
}
