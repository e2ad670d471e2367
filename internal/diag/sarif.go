package diag

import (
	"encoding/json"
	"io"
	"net/url"
	"path"
	"strings"
)

// SARIF writes findings as a log of SARIF 2.1.0, the OASIS standard by which
// code hosts and editors show what a checker found at its line. A finding that
// an agreed deviation answers is there, and marked as suppressed by it. Files
// are named as the findings name them, relative to where the program ran.
//
// Source: OASIS, Static Analysis Results Interchange Format 2.1.0.
func SARIF(w io.Writer, version string, findings []Finding) error {
	run := sarifRun{
		Tool:    sarifTool{Driver: sarifDriver{Name: "soundwrit", Version: version, Rules: []sarifRule{}}},
		Columns: "unicodeCodePoints", // as Position counts
		Results: []sarifResult{},
	}
	index := map[string]int{}
	for _, f := range findings {
		i, known := index[f.Rule]
		if !known {
			i = len(run.Tool.Driver.Rules)
			index[f.Rule] = i
			run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, sarifRule{
				ID: f.Rule, Short: sarifText{oneLine(f.Message)}, Default: sarifDefault{sarifLevel(f.Level)}, Properties: sarifRuleProperties{f.Code, f.Clause, f.Sure},
			})
		}
		run.Results = append(run.Results, resultOf(f, i))
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(sarifLog{
		Schema: "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json", Version: "2.1.0", Runs: []sarifRun{run},
	})
}

func resultOf(f Finding, rule int) sarifResult {
	r := sarifResult{
		Rule: f.Rule, Index: rule, Level: sarifLevel(f.Level), Message: sarifText{sentences(f)},
		Locations: []sarifLocation{locationOf(f.At)},
	}
	if f.Path != "" {
		r.Locations[0].Logical = []sarifLogical{{f.Path}}
	}
	for _, a := range f.Also {
		l := locationOf(a.At)
		l.Message = &sarifText{oneLine(a.Message)}
		r.Related = append(r.Related, l)
	}
	if f.Deviation != "" {
		r.Suppressions = []sarifSuppression{{"inSource", "accepted", oneLine(f.Deviation)}}
	}
	return r
}

// sentences is what Text prints in rows, in the one message that SARIF has.
func sentences(f Finding) string {
	text := oneLine(f.Message)
	for _, part := range [][2]string{{"written: ", f.Actual}, {"expected: ", f.Limit}, {"clause: ", f.Reference()}, {"do: ", f.Remedy}} {
		if part[1] != "" {
			text += "; " + part[0] + oneLine(part[1])
		}
	}
	return text
}

func sarifLevel(l Level) string {
	switch l {
	case Error, Shall:
		return "error"
	case Should:
		return "warning"
	}
	return "note"
}

// locationOf leaves the region out where the line is not known: SARIF counts
// from 1.
func locationOf(at Position) sarifLocation {
	p := sarifPlace{Artifact: sarifArtifact{fileURI(at.File)}}
	if at.Line > 0 {
		p.Region = &sarifRegion{at.Line, max(at.Column, 0)}
	}
	return sarifLocation{Physical: p}
}

// fileURI is a file name as a URI reference; one that begins at the root of the
// disk, as the systems write it, becomes a file URI.
func fileURI(file string) string {
	file = strings.ReplaceAll(file, `\`, "/")
	letter := len(file) > 2 && file[1] == ':' && file[2] == '/'
	u := url.URL{Path: path.Clean(file)}
	if letter {
		u.Path = "/" + u.Path
	}
	if strings.HasPrefix(u.Path, "/") {
		u.Scheme = "file"
	}
	return u.String()
}

// The parts of the log that are used, by the names of the standard.
type (
	sarifLog struct {
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool    sarifTool     `json:"tool"`
		Columns string        `json:"columnKind"`
		Results []sarifResult `json:"results"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name    string      `json:"name"`
		Version string      `json:"version"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct {
		ID         string              `json:"id"`
		Short      sarifText           `json:"shortDescription"`
		Default    sarifDefault        `json:"defaultConfiguration"`
		Properties sarifRuleProperties `json:"properties"`
	}
	sarifDefault struct {
		Level string `json:"level"`
	}
	sarifRuleProperties struct {
		Code   string `json:"code,omitempty"`
		Clause string `json:"clause,omitempty"`
		Sure   string `json:"sure,omitempty"`
	}
	sarifText struct {
		Text string `json:"text"`
	}
	sarifResult struct {
		Rule         string             `json:"ruleId"`
		Index        int                `json:"ruleIndex"`
		Level        string             `json:"level"`
		Message      sarifText          `json:"message"`
		Locations    []sarifLocation    `json:"locations"`
		Related      []sarifLocation    `json:"relatedLocations,omitempty"`
		Suppressions []sarifSuppression `json:"suppressions,omitempty"`
	}
	sarifLocation struct {
		Physical sarifPlace     `json:"physicalLocation"`
		Logical  []sarifLogical `json:"logicalLocations,omitempty"`
		Message  *sarifText     `json:"message,omitempty"`
	}
	sarifPlace struct {
		Artifact sarifArtifact `json:"artifactLocation"`
		Region   *sarifRegion  `json:"region,omitempty"`
	}
	sarifArtifact struct {
		URI string `json:"uri"`
	}
	sarifRegion struct {
		Line   int `json:"startLine"`
		Column int `json:"startColumn,omitempty"`
	}
	sarifLogical struct {
		Name string `json:"fullyQualifiedName"`
	}
	sarifSuppression struct {
		Kind          string `json:"kind"`
		Status        string `json:"status"`
		Justification string `json:"justification"`
	}
)
