package schema

import (
	"slices"

	"soundwrit/internal/diag"
)

// Load reads a job file. It reports every problem of the file at once, in the
// order of the file, each with its place. The job is never nil: what could not
// be read is unknown in it (NaN, or empty), so that the rest can still be
// looked at. A job with a finding of level error must not be computed with.
//
// Any bytes may be given: the time and memory taken are bounded.
func Load(file string, data []byte) (*Job, []diag.Finding) {
	s := load()
	root, findings := read(file, data)
	job := &Job{File: file, root: root}
	if root == nil {
		s.decode(job, &node{})
		job.Partial = true
		return job, findings
	}
	findings = append(findings, s.validate(root)...)
	s.decode(job, root)
	job.complete()
	findings = append(findings, check(job)...)
	job.Partial = slices.ContainsFunc(findings, func(f diag.Finding) bool { return f.Level == diag.Error })
	return job, diag.Sort(findings)
}
