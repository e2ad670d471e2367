package architecture

import (
	"go/ast"
	"go/types"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every path and every Go name that DEVELOPERS.md writes in backticks exists.
func TestDevelopersNamesWhatExists(t *testing.T) {
	s := program(t)
	file := regexp.MustCompile(`^[\w.*-]+(/[\w.*-]+)+/?$|^[\w.-]+\.(go|md|yaml|json|csv|conf|mod)$|^\.ci/run$`)
	name := regexp.MustCompile(`^(?:(\w+)\.)?\(?\*?(\w+)\)?(?:\.(\w+))?(?:\(\))?$`)
	paths, names := 0, 0
	for _, m := range regexp.MustCompile("`([^`\n]+)`").FindAllStringSubmatch(text(t, "DEVELOPERS.md"), -1) {
		word := m[1]
		if file.MatchString(word) && !imported(s, word) {
			paths++
			if found, err := filepath.Glob(filepath.Join(root, word)); err != nil || len(found) == 0 {
				t.Errorf("DEVELOPERS.md names the file %s, which does not exist", word)
			}
			continue
		}
		parts := name.FindStringSubmatch(word)
		if parts == nil || parts[1] == "" && !ast.IsExported(parts[2]) {
			continue // a command, a key, a flag
		}
		if parts[1] != "" && !s.has(parts[1]) {
			continue // a dotted path of a job
		}
		names++
		if !s.declares(parts[1], parts[2], parts[3]) {
			t.Errorf("DEVELOPERS.md names %s, which does not exist", word)
		}
	}
	if paths < 30 || names < 30 {
		t.Errorf("only %d paths and %d names found: the test looks in the wrong place", paths, names)
	}
}

// imported reports whether a word is a module that the program imports.
func imported(s *source, word string) bool {
	for _, p := range s.packages {
		for _, i := range p.Imports {
			if strings.HasPrefix(i, word) || strings.HasSuffix(i, "/"+word) && !strings.HasPrefix(i, module) {
				return true
			}
		}
	}
	return false
}

// has reports whether a package has that name; the command is "main".
func (s *source) has(name string) bool {
	for _, p := range s.packages {
		if p.types.Name() == name {
			return true
		}
	}
	return false
}

// declares reports whether a package, or any where it is empty, declares a
// name, in its tests too, and where one is given the field or method of it.
func (s *source) declares(pack, name, member string) bool {
	for _, p := range s.packages {
		if pack != "" && p.types.Name() != pack {
			continue
		}
		if o := p.types.Scope().Lookup(name); o != nil {
			if member == "" {
				return true
			}
			if found, _, _ := types.LookupFieldOrMethod(o.Type(), true, p.types, member); found != nil {
				return true
			}
		}
		for _, f := range p.tests {
			for _, d := range f.Decls {
				if fn, ok := d.(*ast.FuncDecl); ok && member == "" && fn.Name.Name == name {
					return true
				}
			}
		}
	}
	return false
}
