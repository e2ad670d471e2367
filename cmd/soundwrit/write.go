package main

import (
	"fmt"
	"path/filepath"
	"strings"
)

type writeVerb struct {
	jobArg
	templatesArg
	sinceArg
	Output string `short:"o" placeholder:"DIR" help:"Folder for the files; by default one named like the job, beside you."`
	Only   string `enum:"all,sheet" default:"all" placeholder:"PART" help:"Write a part alone: sheet, the crew's sheet."`
}

// Run writes the technique. Requirements that are not met do not keep it from
// being written, since the author needs the document to see them; it is marked
// DRAFT then, and the exit code says so.
func (v *writeVerb) Run(s *streams) error {
	data, t, findings, err := v.current(s)
	if err != nil {
		return err
	}
	if t == nil {
		s.show(findings, "Nothing was written.")
		return outcome(unusable)
	}
	name := baseName(v.Job)
	dir := v.Output
	if dir == "" {
		dir = name
	}
	wording, err := v.wording()
	if err != nil {
		return err
	}
	of := set(v.jobArg, data, t, wording)
	if err := v.mark(&of, s); err != nil {
		return err
	}
	write, text := of.Files, name
	if v.Only == "sheet" {
		write, text = of.Sheet, name+".sheet"
	}
	files, err := write()
	if err != nil {
		return v.mistake(err)
	}
	var outputs []output
	for _, f := range files {
		outputs = append(outputs, output{f.Name, f.Data})
	}
	if err := save(dir, outputs); err != nil {
		return err
	}
	after := fmt.Sprintf("Wrote %s, %s.md and %s in %s.", filepath.Join(dir, text+".pdf"), text, figuresText(len(files)-2), dir)
	if hasUnmet(findings) {
		after += " The document is marked DRAFT until the requirements are met or agreed deviations cover them."
	}
	s.show(findings, after)
	if hasUnmet(findings) {
		return outcome(unmet)
	}
	return nil
}

func figuresText(n int) string {
	if n == 1 {
		return "1 figure"
	}
	return fmt.Sprintf("%d figures", n)
}

// attachedName is that of the job as it is attached to the document.
func attachedName(job string) string {
	if job == "-" {
		return baseName(job) + ".yaml"
	}
	return filepath.Base(job)
}

// baseName is the job's file name without its ending.
func baseName(job string) string {
	if job == "-" {
		return "technique"
	}
	base := filepath.Base(job)
	for _, ending := range []string{".yaml", ".yml"} {
		if trimmed := strings.TrimSuffix(base, ending); trimmed != "" && trimmed != base {
			return trimmed
		}
	}
	return base + ".technique"
}
