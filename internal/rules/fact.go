package rules

import (
	"soundwrit/internal/diag"
	"soundwrit/internal/si"
)

// Type is what an expression of a rule book may do with a fact.
type Type uint8

// The types. A quantity is a number in SI with a kind; in an expression it is a
// plain number, and mm(12), inch(0.5), deg(60), MHz(5) and so on make numbers
// to compare it with.
const (
	Quantity Type = iota
	Text
	Flag
	List // of texts
)

// Fact is a name that a rule book may use. The part before the first dot is
// its scope: "part", "scan" and so on exist once; "group", "person" exist once
// for each group or person, and only in a rule with `each`.
type Fact struct {
	Name     string // "group.pitch_ratio"
	Type     Type
	Kind     si.Kind // of a quantity
	Unit     string  // in which it is printed for a metric job
	Inch     string  // in which it is printed for an inch job; empty: as Unit
	Decimals int
	Path     string // place in the job that a finding points at; relative to the subject's path for a scope used with `each`
	Doc      string // what it is, one line
}

// Subject is one group or one person: a set of facts of a scope that repeats.
type Subject struct {
	Name  string         // "upper"
	Path  string         // "groups.upper"
	Facts map[string]any // by full fact name; si.Quantity, string, bool or []string
}

// Input is everything a job offers to the rules. A fact that is missing from
// the maps, or is a NaN quantity, is unknown: a rule that needs it is answered
// "not checked", never "met". Where the rule demands that the job states it, it
// is answered "not met"; so is an empty text.
type Input struct {
	Facts    map[string]any       // facts of the scopes that exist once
	Subjects map[string][]Subject // by scope: "group", "person"
	Partial  bool                 // the job has errors, so that a fact it lacks need not be missing
	Inch     bool                 // the job is in inches: tables with inch limits use those
	Levels   map[string]string    // testing or acceptance level, by book id
	At       func(path string) diag.Position
}
