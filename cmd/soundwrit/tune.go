package main

import (
	"fmt"
	"math"
	"path/filepath"

	"soundwrit/internal/si"
	"soundwrit/internal/tune"
	"soundwrit/schema"
)

type tuneVerb struct {
	jobArg
	Fix    []string `placeholder:"PATH" help:"Values that must stay, by their place in the job or its beginning: groups.upper, scan.increment."`
	Speed  string   `name:"at-least" placeholder:"SPEED" help:"Mean speed that must be possible, such as 60 mm/s."`
	First  string   `enum:"coverage,speed,data" default:"coverage" help:"What comes first once every rule is met: coverage, speed or data."`
	Apply  bool     `help:"Write the proposal into the job file, comments and order kept."`
	Format string   `enum:"text,json" default:"text" help:"text for people, json for programs."`
}

// Run searches for better values. Exit code 1 says that no values tried meet
// every requirement.
func (v *tuneVerb) Run(s *streams) error {
	speed := math.NaN()
	if v.Speed != "" {
		x, err := si.Parse(v.Speed, si.KindSpeed)
		if err != nil || !(x > 0) {
			return &refusal{fmt.Sprintf("--at-least=%s is no speed", v.Speed), "write it with its unit, such as 60 mm/s"}
		}
		speed = x
	}
	if v.Apply && v.Job == "-" {
		return &refusal{"a job from standard input cannot be written", "name the job file"}
	}
	data, t, findings, err := v.current(s)
	if err != nil {
		return err
	}
	if t == nil {
		s.show(findings, "Nothing was tried: put the errors right first.")
		return outcome(unusable)
	}
	for _, path := range v.Fix {
		if !t.Job.Has(path) {
			return &refusal{fmt.Sprintf("--fix=%s is nothing the job has", path), "name a place in the job, such as groups." + t.Job.Groups[0].Name}
		}
	}
	progress := s.progress("set-ups worked out")
	house := houseBooks(v.folder(), t.Job.Codes.House)
	result := tune.Run(&tune.Request{
		File: v.name(), Text: data, House: house, Fixed: v.Fix, Speed: si.Speed(speed), First: v.First,
		Progress: func(tried int) { progress.at(tried, 0) },
	}, t.Job)
	progress.end()
	if v.Format == "json" {
		err = writeJSON(s.out, result.JSON(t.Job.Written))
	} else {
		err = result.Text(s.out, t.Job.Written)
	}
	if err != nil {
		return &saveError{path: "standard output", err: err}
	}
	if v.Apply && len(result.Best.Edits) > 0 {
		text, err := schema.Set(data, result.Best.Edits...)
		if err != nil {
			return err
		}
		if err := save(filepath.Dir(v.Job), []output{{filepath.Base(v.Job), text}}); err != nil {
			return err
		}
		fmt.Fprintf(s.err, "Written into %s; check it, and compare it with what it was.\n", v.Job)
	}
	if len(result.Best.Measure.Unmet) > 0 {
		return outcome(unmet)
	}
	return nil
}
