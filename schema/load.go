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
	root, findings := read(file, data)
	return settle(file, root, findings)
}

// settle makes a job of the values of a file, of which reading found the given
// findings; root is nil where it could not be read.
func settle(file string, root *node, findings []diag.Finding) (*Job, []diag.Finding) {
	s := load()
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
