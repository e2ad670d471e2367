package main

import (
	"soundwrit/internal/diag"
	"soundwrit/templates"
)

type checkVerb struct {
	jobArg
	templatesArg
	Format string `enum:"text,json,sarif" default:"text" help:"text for people, json for programs, sarif for code hosts and editors."`
}

// Run prints every finding. Exit code 1 says that a requirement is not met, 2
// that the job cannot be computed with.
func (v *checkVerb) Run(s *streams) error {
	_, t, findings, err := v.current(s)
	if err != nil {
		return err
	}
	if t != nil && v.Templates != "" {
		wording, err := v.wording()
		if err != nil {
			return err
		}
		if _, err := templates.Markdown(wording, t, nil); err != nil {
			return v.mistake(err)
		}
	}
	switch v.Format {
	case "json":
		err = diag.JSON(s.out, v.name(), findings)
	case "sarif":
		err = diag.SARIF(s.out, version, findings)
	default:
		after := ""
		switch {
		case t == nil:
			after = "Put the errors right first: advice, and what could not be checked because of them, follows then."
		case len(findings) == 0:
			after = v.name() + ": every requirement that was checked is met."
		}
		s.show(findings, after)
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	switch {
	case t == nil:
		return outcome(unusable)
	case hasUnmet(findings):
		return outcome(unmet)
	}
	return nil
}
