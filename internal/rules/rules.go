// Package rules reads the rule books and answers each of their requirements
// for a job. A book is data that a level-3 can read and correct; its conditions
// are expressions whose names are checked when the book is read.
//
// # The book
//
// A book is one YAML file for one code and edition. Its head says what it is
// (book, code, also, edition, title, kind, methods), how far to trust it
// (caution), what it leaves out (not_covered), and what a change of an essential
// variable takes (on_change). Then come rules, and in a book of
// acceptance a table.
//
// A rule has an id, a clause, a level (shall, should), what it asks, why, how
// sure it is (seen, from memory, common practice) with its source, whether a
// change of its value asks for a new qualification (essential; variable names
// it, where the fact that is judged does not, and change is increase or decrease
// where only that counts), and the section of the document that answers it
// (answered_in). It may depend:
//
//	applies: part.kind == "pipe"       # or a list: the first that is false ends it
//	unless: the reason, in words, why it is not asked
//	each: group                        # asked once for each group, or person
//
// It has a value, a fact or an expression, and exactly one condition:
//
//	at_most, at_least                  # a limit; both may stand together
//	within: {from: limit, to: limit}
//	one_of: [texts] or [limits]
//	present: true                      # the job states it
//	is_true: expression                # or a list, of which one suffices; needs no value
//	confirm: what a person must confirm
//	written: words of the document     # that every document holds in the section named
//
// A limit is a quantity (2 mm), an expression, a pair {limit, limit_inch}, or a
// table {by: fact, steps: [{up_to: 10 mm, limit: 1 mm}, {limit: 2 mm}]}, where
// up_to belongs to the step and below does not; up_to_inch, below_inch and
// limit_inch hold the code's own rounded inch values for a job in inches.
//
// What the document says by itself, whatever the job, is answered by written; a
// test of templates holds it to stand in the section. A house book has none.
//
// A value that the job does not give leaves the rule unchecked, unless the rule
// has a message for it (missing): then the job owes it, and the rule is not met.
// Message and remedy may hold {limit}, {low}, {high}, {actual} and {subject}; at
// names the fact whose place in the job the finding points at. expected says in
// words what is_true demands. A value that is no single fact states its kind,
// unit, inch and decimals, for printing.
//
// A row of an acceptance table names a class of indications and a verdict, in
// words, and its limits of length, height and amplitude, by the thickness. For
// judging one indication it says of which it speaks: when (an expression over
// indication.length, height, amplitude, planar and at_surface), covers: length
// (only up to its length limit) or beyond (only longer ones), rejects: true
// (whatever the size), several: true (of several together, so never of one). The
// first row that speaks of an indication decides.
//
// # The expressions
//
// Quantities are numbers in SI. mm, inch, deg, MHz, dB, mps (m/s), mmps (mm/s),
// degC, K, percent and hours make numbers to compare them with; dB_of(ratio) is
// the level of an amplitude ratio, by_units(metric, inch) picks one by the
// job's units, smaller and larger pick one of two, begun(x, step) counts the
// steps begun. Every comparison allows for float noise of 1e-9, and nothing more.
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
	Book, Rule string // ids; a finding and a deviation name the rule as Book/Rule
	Code       string // "ISO 13588:2019"
	Clause     string
	Asks       string // in own words
	Level      diag.Level
	Sure       string // "seen", "from memory", "common practice"
	Subject    string // the group, block or person it was answered for; empty for the job
	Verdict    Verdict
	Judges     string // what is judged, as the book writes it; empty where nothing is compared
	Actual     string // the value here, as printed
	Limit      string // the limit, as printed
	AnsweredIn string // section of the document: "11.1"
	Essential  bool
	Variable   string      // what is judged, in words
	Change     string      // of an essential variable, the direction that counts: "increase", "decrease"; empty: any
	OnChange   string      // what a change that counts takes
	Why        string      // reason, where not applicable or unchecked
	Low, High  si.Quantity // the limits as numbers, NaN where open
	Value      any         // the value here, unrounded: float64 in SI, string, bool or []string; nil where unknown
	Paths      []string    // places in the job of what is judged: that of a finding first, then those of the facts in the value
}
