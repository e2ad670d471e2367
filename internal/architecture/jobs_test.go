package architecture

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"soundwrit/internal/technique"
	"soundwrit/render"
	"soundwrit/schema"
	"soundwrit/templates"
)

// node is what the JSON Schema says of one key.
type node struct {
	Ref                  string `json:"$ref"`
	Properties           map[string]node
	AdditionalProperties json.RawMessage
	Items                *node
}

// below follows a dotted path; a number is an item of a list, and where names
// are free any name will do.
func (n node) below(path string) bool {
	for key := range strings.SplitSeq(path, ".") {
		_, notIndex := strconv.Atoi(key)
		next, known := n.Properties[key]
		switch {
		case known:
		case n.Items != nil && notIndex == nil:
			next = *n.Items
		case json.Unmarshal(n.AdditionalProperties, &next) != nil:
			return false
		}
		n = next
	}
	return true
}

// A finding points at the line of its fact. A path that the schema does not
// know would point at the top of the file, and nobody would notice.
func TestFactsPointIntoTheJob(t *testing.T) {
	var top node
	if err := json.Unmarshal(schema.JSON(), &top); err != nil {
		t.Fatal(err)
	}
	if top.below("part.thickness.no") || top.below("part.no") || !top.below("groups.any.angles.to") || !top.below("document.people.0.level") {
		t.Fatal("the test follows paths wrongly")
	}
	subject := map[string]string{"group": "groups.any", "person": "document.people.0"}
	for _, f := range technique.Vocabulary() {
		scope, _, _ := strings.Cut(f.Name, ".")
		path := strings.Trim(subject[scope]+"."+f.Path, ".")
		if !top.below(path) {
			t.Errorf("fact %s points at %s, which is not in the schema", f.Name, path)
		}
	}
}

func TestRulesPointAtFacts(t *testing.T) {
	facts := map[string]bool{}
	for _, f := range technique.Vocabulary() {
		facts[f.Name] = true
	}
	files, err := fs.Glob(schema.Books(), "*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no rule books", err)
	}
	for _, file := range files {
		data, err := fs.ReadFile(schema.Books(), file)
		if err != nil {
			t.Fatal(err)
		}
		var book struct {
			Rules []struct{ ID, At string }
		}
		if err := yaml.Unmarshal(data, &book); err != nil {
			t.Fatal(err)
		}
		for _, r := range book.Rules {
			if r.At != "" && !facts[r.At] {
				t.Errorf("%s: rule %s points at %s, which is no fact", file, r.ID, r.At)
			}
		}
	}
}

// Each shipped job meets every requirement that can be checked, and is written.
func TestShippedJobs(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(root, "testdata/jobs/*"))
	if err != nil || len(files) < 3 {
		t.Fatal("the shipped jobs are missing", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		job, findings := schema.Load(filepath.Base(file), data)
		tech := technique.Compute(job)
		for _, f := range append(findings, tech.Findings...) {
			if f.Open() {
				t.Errorf("%s:%d: %s [%s]", f.At.File, f.At.Line, f.Message, f.Rule)
			}
		}
		if out, err := (render.Set{Technique: tech, Wording: templates.Files(), Sources: []render.File{{Name: "job.yaml", Data: data}}, Name: "technique", Program: "test"}).Files(); err != nil || len(out) < 4 {
			t.Errorf("%s: %d files, %v", file, len(out), err)
		}
	}
}
