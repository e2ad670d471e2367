// Package rules reads the rule books and answers each of their requirements
// for a job. A book is data that a level-3 can read and correct; its conditions
// are expressions whose names are checked when the book is read.
package rules

import (
	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Verdict is the answer to one requirement.
type Verdict string

// The verdicts. Unchecked means that a value the rule needs is not known.
const (
	Met           Verdict = "met"
	NotMet        Verdict = "not met"
	Confirm       Verdict = "confirm" // a person must confirm it on site or on paper
	NotApplicable Verdict = "not applicable"
	Unchecked     Verdict = "not checked"
)

// Result is one requirement, answered for a job.
type Result struct {
	Book, Rule string // ids
	Code       string // "ISO 13588:2019"
	Clause     string
	Asks       string // in own words
	Level      diag.Level
	Sure       string // "seen", "from memory", "common practice"
	Subject    string // the group, block or person it was answered for; empty for the job
	Verdict    Verdict
	Actual     string // the value here, as printed
	Limit      string // the limit, as printed
	AnsweredIn string // section of the document: "11.1"
	Essential  bool
	Why        string      // reason, where not applicable or unchecked
	Low, High  si.Quantity // the limits as numbers, NaN where open
}
