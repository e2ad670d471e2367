package templates

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestFindingsOfTheProgramHaveGerman reads in the source what the computation can
// find: a draft prints its message, and what is written and expected. What no shipped
// job and no test provokes lacks no German either. A number stands for all that is
// not a text in the source.
func TestFindingsOfTheProgramHaveGerman(t *testing.T) {
	german, n := Language("de"), 0
	sources, err := filepath.Glob("../internal/technique/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range sources {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		set := token.NewFileSet()
		source, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(source, func(node ast.Node) bool {
			for _, text := range found(node) {
				if !words.MatchString(text) {
					continue
				}
				n++
				if said := german.Say(text); said == text || englishWord.MatchString(said) {
					t.Errorf("%s: %q is said as %q", set.Position(node.Pos()), text, said)
				}
			}
			return true
		})
	}
	if n < 40 {
		t.Errorf("only %d texts of findings found", n)
	}
}

var englishWord = regexp.MustCompile(`\b(the|of|is|are|and|with|from|by|than|which|each|not|would)\b`)

// alike are findings that come at every size of part or at none: they are errors of
// the part that is drawn, and no document is written.
var alike = []string{"past-critical-angle", "path-not-open", "cladding-not-computed", "unknown-code", "house-unreadable", "book-twice"}

// found are the message, the actual value and the limit of a call that adds a finding.
func found(node ast.Node) (texts []string) {
	call, ok := node.(*ast.CallExpr)
	if !ok {
		return nil
	}
	name, first := "", 2
	switch fun := call.Fun.(type) {
	case *ast.Ident:
		name = fun.Name
	case *ast.SelectorExpr:
		name = fun.Sel.Name
	}
	switch name {
	case "problem", "need":
	case "advise":
		first = 3
	default:
		return nil
	}
	if slices.Contains(alike, said(call.Args[1])) {
		return nil
	}
	for _, arg := range call.Args[first : first+3] {
		texts = append(texts, said(arg))
	}
	return texts
}

var verb = regexp.MustCompile(`%[a-z]`)

// said is what an expression of the source says.
func said(e ast.Expr) string {
	const number = "7°"
	switch e := e.(type) {
	case *ast.BasicLit:
		if text, err := strconv.Unquote(e.Value); err == nil && e.Kind == token.STRING {
			return text
		}
	case *ast.BinaryExpr:
		return said(e.X) + said(e.Y)
	case *ast.CallExpr:
		if fun, ok := e.Fun.(*ast.SelectorExpr); ok && fun.Sel.Name == "Sprintf" {
			return verb.ReplaceAllString(said(e.Args[0]), number)
		}
	}
	return number
}
