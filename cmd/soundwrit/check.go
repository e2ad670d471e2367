package main

import (
	"soundwrit/internal/diag"
)

type checkVerb struct {
	jobArg
	Format string `enum:"text,json" default:"text" help:"text for people, json for programs."`
}

// Run prints every finding. Exit code 1 says that a requirement is not met, 2
// that the job cannot be computed with.
func (v *checkVerb) Run(s *streams) error {
	t, findings, err := v.technique(s)
	if err != nil {
		return err
	}
	if v.Format == "json" {
		if err := diag.JSON(s.out, v.name(), findings); err != nil {
			return &saveError{path: "standard output", err: err}
		}
	} else {
		after := ""
		switch {
		case t == nil:
			after = "Put the errors right first: advice, and what could not be checked because of them, follows then."
		case len(findings) == 0:
			after = v.name() + ": every requirement that was checked is met."
		}
		s.show(findings, after)
	}
	switch {
	case t == nil:
		return outcome(unusable)
	case hasUnmet(findings):
		return outcome(unmet)
	}
	return nil
}
