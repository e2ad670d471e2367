package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"soundwrit/internal/diag"
	"soundwrit/templates"
)

type newVerb struct {
	Kind   string `arg:"" optional:"" help:"Kind of starter; without it the kinds are listed."`
	Output string `short:"o" placeholder:"FILE" help:"File to write; - for standard output. By default KIND.yaml."`
	Force  bool   `help:"Replace the file if it exists."`
}

// Run writes a starter job. It replaces nothing unless told to, since what it
// would replace may be somebody's work.
func (v *newVerb) Run(s *streams) error {
	starters := templates.Starters()
	if v.Kind == "" {
		for _, st := range starters {
			if _, err := fmt.Fprintf(s.out, "%-16s %s\n", st.Kind, st.Purpose); err != nil {
				return &saveError{path: "standard output", err: err}
			}
		}
		return nil
	}
	var kinds []string
	for _, st := range starters {
		if st.Kind == v.Kind {
			return v.write(s, st)
		}
		kinds = append(kinds, st.Kind)
	}
	do := "the kinds are " + strings.Join(kinds, ", ")
	if near := diag.Nearest(v.Kind, kinds); near != "" {
		do = "did you mean " + near + "? " + do
	}
	return &refusal{fmt.Sprintf("there is no starter job %q", v.Kind), do}
}

func (v *newVerb) write(s *streams, st templates.Starter) error {
	path := v.Output
	if path == "-" {
		if _, err := s.out.Write(st.Job); err != nil {
			return &saveError{path: "standard output", err: err}
		}
		return nil
	}
	if path == "" {
		path = st.Kind + ".yaml"
	}
	if _, err := os.Lstat(path); err == nil && !v.Force {
		return &refusal{path + " exists already", "choose another file with -o, or replace it with --force"}
	}
	if err := save(filepath.Dir(path), []output{{filepath.Base(path), st.Job}}); err != nil {
		return err
	}
	_, err := fmt.Fprintf(s.err, "Wrote %s. Change it, then run: soundwrit check %s\n", path, path)
	if err == io.ErrClosedPipe {
		err = nil
	}
	return err
}
