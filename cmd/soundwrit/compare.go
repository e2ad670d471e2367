package main

import (
	"fmt"
	"slices"

	"soundwrit/internal/diag"
	"soundwrit/internal/revision"
	"soundwrit/internal/technique"
	"soundwrit/schema"
	"soundwrit/templates"
)

type compareVerb struct {
	Old    revisionArg `arg:"" help:"The earlier job: a file, or REV:path as git has it, such as HEAD~1:seam.yaml."`
	New    revisionArg `arg:"" optional:"" help:"The later job, likewise; - reads standard input."`
	Found  string      `name:"as-found" placeholder:"FILE" help:"In place of a later job, what the crew has on site: a file with the keys of the job that differ or were measured."`
	Format string      `enum:"text,json,markdown" default:"text" help:"text for people, json for programs, markdown for a comment on a change."`
}

// Run compares two jobs. Exit code 1 says that an essential variable changed,
// so that a qualification or an approval is due.
func (v *compareVerb) Run(s *streams) error {
	switch {
	case v.New == "" && v.Found == "":
		return &refusal{"the later job is missing", "name it after the earlier one, or name with --as-found what the crew has"}
	case v.New != "" && v.Found != "":
		return &refusal{"a later job and --as-found are two questions", "ask one at a time"}
	}
	before, err := v.Old.computed(s)
	if err != nil {
		return err
	}
	if v.Found != "" {
		return v.onSite(s, before)
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

// onSite judges what a crew found. Exit code 1 says that work must stop.
func (v *compareVerb) onSite(s *streams, before *technique.Technique) error {
	data, err := jobArg{v.Found}.read(s.in)
	if err != nil {
		return err
	}
	items, findings := before.Job.AsFound(v.Found, data)
	if hasError(findings) || len(items) == 0 {
		if len(items) == 0 && len(findings) == 0 {
			return &refusal{v.Found + " says nothing that was found", "write keys of the job with what the crew has, such as part: {thickness: 20.4 mm}"}
		}
		s.show(findings, "Nothing was compared.")
		return outcome(unusable)
	}
	books := v.Old.house(before.Job.Codes.House)
	judged := revision.OnSite(before, items, func(some ...schema.Found) (*technique.Technique, []diag.Finding) {
		job, findings := before.Job.With(some...)
		return settle(job, findings, books)
	})
	if v.Format == "json" {
		err = writeJSON(s.out, revision.OnSiteJSON(judged))
	} else {
		err = revision.WriteOnSite(s.out, judged)
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	if slices.ContainsFunc(judged, func(j revision.Judgement) bool { return j.Standing == revision.Stop }) {
		return outcome(unmet)
	}
	return nil
}

// computed is the technique of a job that can be used; the findings of one that
// cannot are shown.
func (a revisionArg) computed(s *streams) (*technique.Technique, error) {
	_, t, findings, err := a.load(s)
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
		text, err := templates.Markdown(templates.Files(), t, nil)
		if err != nil {
			return nil, err
		}
		texts[i] = string(text)
	}
	return revision.Sections(texts[0], texts[1]), nil
}
