package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"

	"soundwrit/internal/diag"
	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
)

// jobArg is the job file as every verb takes it.
type jobArg struct {
	Job string `arg:"" help:"Job file; - reads standard input."`
}

// technique reads the job and computes what follows from it. It shows nothing:
// the verb decides where findings go. A job that cannot be used gives its
// findings and a nil technique.
func (a jobArg) technique(s *streams) (*technique.Technique, []diag.Finding, error) {
	_, t, findings, err := a.load(s)
	return t, findings, err
}

// load is technique with the job as it was read.
func (a jobArg) load(s *streams) ([]byte, *technique.Technique, []diag.Finding, error) {
	data, err := a.read(s.in)
	if err != nil {
		return nil, nil, nil, err
	}
	t, findings := compute(a.name(), data, func(names []string) []technique.HouseBook { return houseBooks(a.folder(), names) })
	return data, t, findings, nil
}

// current is load for a verb by whose result people work: a job that was
// changed under an approved revision is refused.
func (a jobArg) current(s *streams) ([]byte, *technique.Technique, []diag.Finding, error) {
	data, t, findings, err := a.load(s)
	if t == nil || err != nil {
		return data, t, findings, err
	}
	if findings, err = a.hold(t.Job, findings); err != nil {
		return nil, nil, nil, err
	}
	if hasError(findings) {
		return data, nil, pressing(findings), nil
	}
	return data, t, diag.Sort(append(findings, unseen(t.Job)...)), nil
}

// unseen are the texts of a job that the PDF does not show as they are. They are
// no part of the document, whose Markdown holds them whole.
func unseen(job *schema.Job) []diag.Finding {
	var all []diag.Finding
	job.Texts(func(path, text string) {
		if r := render.Lacking(text); r != 0 {
			all = append(all, diag.Finding{Rule: "sign-lacking", Level: diag.Should, At: job.At(path), Path: path, Actual: job.Written(path),
				Message: fmt.Sprintf("the PDF has no sign for %c (U+%04X) and shows \uFFFD in its place", r, r),
				Limit:   "Latin, Greek or Cyrillic letters, numbers and technical signs", Remedy: "write it in other letters; the Markdown holds it as it is"})
		}
	})
	return all
}

// compute works a job out; books reads the house books it names. A job that
// cannot be used gives its findings and a nil technique.
func compute(name string, data []byte, books func(names []string) []technique.HouseBook) (*technique.Technique, []diag.Finding) {
	job, findings := schema.Load(name, data)
	if slices.ContainsFunc(findings, tooMuch) {
		return nil, findings
	}
	return settle(job, findings, books(job.Codes.House))
}

// settle works out a job that was read with the given findings.
func settle(job *schema.Job, findings []diag.Finding, books []technique.HouseBook) (*technique.Technique, []diag.Finding) {
	if slices.ContainsFunc(findings, tooMuch) {
		return nil, findings
	}
	t := technique.Compute(job, books...)
	findings = diag.Sort(append(findings, t.Findings...))
	if hasError(findings) {
		return nil, pressing(findings)
	}
	t.Findings = findings
	return t, findings
}

// tooMuch reports a finding that the job asks for so much that computing it, only
// to see what else is wrong, would take time and memory.
func tooMuch(f diag.Finding) bool {
	return slices.Contains([]string{"too-many", "too-many-beams", "grid-too-fine"}, f.Rule)
}

// pressing leaves out advice and points to confirm: they wait until the job can
// be used, so that the errors stand alone with the requirements not met.
func pressing(findings []diag.Finding) []diag.Finding {
	return slices.DeleteFunc(findings, func(f diag.Finding) bool { return f.Level != diag.Error && f.Level != diag.Shall })
}

func hasError(findings []diag.Finding) bool {
	return slices.ContainsFunc(findings, func(f diag.Finding) bool { return f.Level == diag.Error })
}

func hasUnmet(findings []diag.Finding) bool {
	return slices.ContainsFunc(findings, func(f diag.Finding) bool { return f.Level == diag.Shall && f.Open() })
}

// name is how messages call the job.
func (a jobArg) name() string {
	if a.Job == "-" {
		return "(standard input)"
	}
	return a.Job
}

// read takes no more of the file than a job can have, so that a wrong path to
// something huge costs nothing.
func (a jobArg) read(stdin io.Reader) ([]byte, error) {
	in := stdin
	if a.Job == "" {
		return nil, &refusal{"the name of the job file is empty", "name a file, or - for standard input"}
	}
	if a.Job != "-" {
		info, err := os.Stat(a.Job)
		if err == nil && info.IsDir() {
			return nil, &refusal{fmt.Sprintf("%s is a folder, not a job file", a.Job), "name the job file in it"}
		}
		if err == nil && info.Size() > schema.MaxSize {
			return nil, tooLarge(a.name())
		}
		f, err := os.Open(a.Job)
		if err != nil {
			return nil, cannotRead(a.Job, err)
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, schema.MaxSize+1))
	if err != nil {
		return nil, cannotRead(a.name(), err)
	}
	if len(data) > schema.MaxSize {
		return nil, tooLarge(a.name())
	}
	return data, nil
}

func tooLarge(name string) error {
	return &refusal{
		fmt.Sprintf("%s is larger than a job file can be (%d MB)", name, schema.MaxSize>>20),
		"check the path: a job is a text file of a few kilobytes",
	}
}

func cannotRead(name string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return &refusal{fmt.Sprintf("%s does not exist", name), "check the path, or write a starter job with: soundwrit new"}
	case errors.Is(err, fs.ErrPermission):
		return &refusal{fmt.Sprintf("%s may not be read", name), "ask for permission to read it"}
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return &refusal{fmt.Sprintf("%s cannot be read: %v", name, err), "check the path and the disk"}
}
