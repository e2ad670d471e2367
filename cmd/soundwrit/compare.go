package main

import (
	"fmt"

	"soundwrit/internal/revision"
	"soundwrit/internal/technique"
	"soundwrit/templates"
)

type compareVerb struct {
	Old    revisionArg `arg:"" help:"The earlier job: a file, or REV:path as git has it, such as HEAD~1:seam.yaml."`
	New    revisionArg `arg:"" help:"The later job, likewise; - reads standard input."`
	Format string      `enum:"text,json,markdown" default:"text" help:"text for people, json for programs, markdown for a comment on a change."`
}

// Run compares two jobs. Exit code 1 says that an essential variable changed,
// so that a qualification or an approval is due.
func (v *compareVerb) Run(s *streams) error {
	before, err := v.Old.computed(s)
	if err != nil {
		return err
	}
	after, err := v.New.computed(s)
	if err != nil {
		return err
	}
	c := revision.Compare(before, after)
	if c.Sections, err = sections(before, after); err != nil {
		return err
	}
	switch v.Format {
	case "json":
		err = writeJSON(s.out, c.JSON())
	case "markdown":
		err = c.Markdown(s.out)
	default:
		err = c.Text(s.out)
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	if c.Essential() {
		return outcome(unmet)
	}
	return nil
}

// computed is the technique of a job that can be used; the findings of one that
// cannot are shown.
func (a revisionArg) computed(s *streams) (*technique.Technique, error) {
	t, findings, err := a.technique(s)
	if err == nil && t == nil {
		s.show(findings, fmt.Sprintf("Nothing was compared: %s cannot be computed.", string(a)))
		err = outcome(unusable)
	}
	return t, err
}

// sections lists the sections of the document that read differently.
func sections(before, after *technique.Technique) ([]string, error) {
	var texts [2]string
	for i, t := range []*technique.Technique{before, after} {
		text, err := templates.Markdown(t, nil)
		if err != nil {
			return nil, err
		}
		texts[i] = string(text)
	}
	return revision.Sections(texts[0], texts[1]), nil
}
