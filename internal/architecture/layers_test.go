package architecture

import (
	"slices"
	"strings"
	"testing"
)

// allowed says which packages of the program each package may import. A new
// package is written in here by whoever decides where it stands.
func allowed() map[string][]string {
	return map[string][]string{
		"internal/si":           nil,
		"internal/diag":         nil,
		"internal/acoustics":    {"internal/si"},
		"internal/acquisition":  {"internal/si"},
		"internal/ray":          {"internal/si", "internal/acoustics"},
		"internal/imaging":      {"internal/si", "internal/ray"},
		"internal/field":        {"internal/si", "internal/acoustics", "internal/ray"},
		"internal/archive":      {"internal/si"},
		"schema":                {"internal/si", "internal/diag"},
		"internal/rules":        {"internal/si", "internal/diag"},
		"internal/geometry":     {"internal/si", "schema"},
		"internal/coverage":     {"internal/si", "schema", "internal/acoustics", "internal/geometry", "internal/ray"},
		"internal/technique":    {"internal/si", "internal/diag", "schema", "internal/rules", "internal/acoustics", "internal/acquisition", "internal/ray", "internal/imaging", "internal/field", "internal/geometry", "internal/coverage"},
		"internal/revision":     {"internal/si", "internal/diag", "schema", "internal/rules", "internal/technique"},
		"internal/approval":     nil,
		"internal/tune":         {"internal/si", "schema", "internal/technique"},
		"internal/sheets":       {"internal/si", "internal/diag", "schema", "internal/technique"},
		"templates":             {"internal/si", "internal/diag", "schema", "internal/rules", "internal/acquisition", "internal/geometry", "internal/coverage", "internal/technique"},
		"render":                {"internal/si", "internal/diag", "schema", "internal/geometry", "internal/coverage", "internal/technique", "internal/archive", "templates"},
		"cmd/soundwrit":         {"internal/si", "internal/diag", "schema", "internal/rules", "internal/technique", "internal/revision", "internal/approval", "internal/archive", "internal/sheets", "internal/tune", "templates", "render"},
		"internal/architecture": nil,
	}
}

func TestImportsPointOneWay(t *testing.T) {
	table := allowed()
	for path, p := range program(t).packages {
		may, listed := table[path]
		if !listed {
			t.Errorf("package %s is not in the table of allowed imports: decide where it stands, then add it", path)
			continue
		}
		for _, i := range p.Imports {
			if own, ok := strings.CutPrefix(i, module); ok && !slices.Contains(may, own) {
				t.Errorf("%s imports %s, which it may not: move the code, or change the table with a reason", path, own)
			}
		}
	}
	for path := range table {
		if program(t).packages[path] == nil {
			t.Errorf("package %s of the table does not exist", path)
		}
	}
}

// What computes does not know how a page looks, not even in its tests.
func TestPhysicsKnowsNoPage(t *testing.T) {
	for _, path := range []string{"internal/si", "internal/acoustics", "internal/acquisition", "internal/ray", "internal/imaging", "internal/field", "internal/geometry", "internal/coverage"} {
		p := program(t).packages[path]
		if p == nil {
			t.Fatalf("package %s does not exist", path)
		}
		for _, i := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			for _, page := range []string{"render", "templates", "cmd/soundwrit"} {
				if i == module+page {
					t.Errorf("%s imports %s", path, page)
				}
			}
		}
	}
}
