// Package architecture holds tests of the source as a whole: which package may
// import which, what may be exported, what a formula's comment must say, and
// whether the documents for readers still tell the truth. It has no code of
// its own.
package architecture

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

const (
	root   = "../.."
	module = "soundwrit/"
)

// source is the whole program: its packages by their path in the module
// ("internal/si"), parsed and type-checked.
type source struct {
	fset     *token.FileSet
	packages map[string]*pack
}

// pack is one package. Tests are parsed, not type-checked.
type pack struct {
	ImportPath, Dir, Export            string
	Standard                           bool
	GoFiles, TestGoFiles, XTestGoFiles []string
	Imports, TestImports, XTestImports []string

	files, tests []*ast.File
	types        *types.Package
	info         *types.Info
}

// The program is read once for all tests, about a second.
var read = sync.OnceValues(func() (*source, error) {
	list := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Dir,Export,Standard,GoFiles,TestGoFiles,XTestGoFiles,Imports,TestImports,XTestImports", "./...")
	list.Dir = root
	out, err := list.Output()
	if err != nil {
		var failed *exec.ExitError
		if errors.As(err, &failed) {
			return nil, fmt.Errorf("go list: %s", failed.Stderr)
		}
		return nil, err
	}
	s := &source{fset: token.NewFileSet(), packages: map[string]*pack{}}
	exports := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p pack
		if err := d.Decode(&p); err == io.EOF {
			break
		} else if err != nil {
			return nil, err
		}
		exports[p.ImportPath] = p.Export
		if path, ok := strings.CutPrefix(p.ImportPath, module); ok && !p.Standard {
			s.packages[path] = &p
		}
	}
	exported := importer.ForCompiler(s.fset, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	for _, p := range s.packages {
		if err := p.load(s.fset, exported); err != nil {
			return nil, err
		}
	}
	return s, nil
})

func (p *pack) load(fset *token.FileSet, from types.Importer) (err error) {
	if p.files, err = parse(fset, p.Dir, p.GoFiles); err != nil {
		return err
	}
	if p.tests, err = parse(fset, p.Dir, slices.Concat(p.TestGoFiles, p.XTestGoFiles)); err != nil {
		return err
	}
	p.info = &types.Info{Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	p.types, err = (&types.Config{Importer: from}).Check(p.ImportPath, fset, p.files, p.info)
	return err
}

func parse(fset *token.FileSet, dir string, names []string) ([]*ast.File, error) {
	var files []*ast.File
	for _, name := range names {
		f, err := parser.ParseFile(fset, filepath.Join(dir, name), nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		files = append(files, f)
	}
	return files, nil
}

// program returns the whole program.
func program(t *testing.T) *source {
	t.Helper()
	s, err := read()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// place writes a position as file:line, from the top of the project.
func (s *source) place(p token.Pos) string {
	at := s.fset.Position(p)
	top, err := filepath.Abs(root)
	if err != nil {
		return at.String()
	}
	name, err := filepath.Rel(top, at.Filename)
	if err != nil {
		return at.String()
	}
	return fmt.Sprintf("%s:%d", name, at.Line)
}

// text reads a file of the project.
func text(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// walk calls f with every file of the project that is kept in it, by its path
// from the top.
func walk(t *testing.T, f func(name string)) {
	t.Helper()
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case (name == ".git" || name == "out") && d.IsDir():
			return fs.SkipDir
		case name == ".git": // a file, in a working tree beside the repository
			return nil
		case !d.IsDir():
			f(name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
