package diag

import (
	"encoding/json"
	"io"
)

// JSON writes findings for other programs. The names and their meaning are a
// promise to those programs; a text that does not apply is empty.
func JSON(w io.Writer, job string, findings []Finding) error {
	type finding struct {
		Rule    string `json:"rule"`
		Level   Level  `json:"level"`
		File    string `json:"file"`
		Line    int    `json:"line"`
		Column  int    `json:"column"`
		Path    string `json:"path"`
		Message string `json:"message"`
		Actual  string `json:"actual"`
		Limit   string `json:"limit"`
		Clause  string `json:"clause"`
		Code    string `json:"code"`
		Remedy  string `json:"remedy"`
	}
	out := struct {
		Job      string    `json:"job"`
		Findings []finding `json:"findings"`
		Summary  Summary   `json:"summary"`
	}{Job: job, Findings: []finding{}, Summary: Count(findings)}
	for _, f := range findings {
		out.Findings = append(out.Findings, finding{
			f.Rule, f.Level, f.At.File, f.At.Line, f.At.Column, f.Path,
			f.Message, f.Actual, f.Limit, f.Clause, f.Code, f.Remedy,
		})
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false) // "<" and ">" are common in limits
	e.SetIndent("", "  ")
	return e.Encode(out)
}
