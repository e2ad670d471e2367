package architecture

import (
	"go/ast"
	"go/types"
	"strings"
	"testing"
)

// An exported number is a quantity with a type of its own, so that an angle
// cannot be passed for a length. Only a ratio may be a bare number, and its
// comment says so.
func TestNoBareNumbers(t *testing.T) {
	s := program(t)
	for path, p := range s.packages {
		if path == "internal/si" {
			continue
		}
		for _, f := range p.files {
			for _, e := range exports(f) {
				if p.bare(e.expr) && !strings.Contains(e.comment, "ratio") {
					t.Errorf("%s: %s is a bare float64: give it a type of internal/si, or say in its comment that it is a ratio", s.place(e.expr.Pos()), e.name)
				}
			}
		}
	}
}

// export is the type of one exported thing, with the comment that explains it.
type export struct {
	name, comment string
	expr          ast.Expr
}

// exports lists the signatures, struct fields and defined types that other
// packages see.
func exports(f *ast.File) []export {
	var list []export
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if seen(d) {
				list = append(list, export{d.Name.Name, d.Doc.Text(), d.Type})
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				ts, ok := spec.(*ast.TypeSpec)
				if !ok || !ts.Name.IsExported() {
					continue
				}
				st, ok := ts.Type.(*ast.StructType)
				if !ok {
					list = append(list, export{ts.Name.Name, d.Doc.Text(), ts.Type})
					continue
				}
				for _, field := range st.Fields.List {
					for _, name := range field.Names {
						if name.IsExported() {
							list = append(list, export{ts.Name.Name + "." + name.Name, field.Doc.Text() + field.Comment.Text(), field.Type})
						}
					}
				}
			}
		}
	}
	return list
}

// seen reports whether other packages can call a function: it is exported, and
// so is the type it is a method of.
func seen(d *ast.FuncDecl) bool {
	if !d.Name.IsExported() {
		return false
	}
	if d.Recv == nil {
		return true
	}
	visible := false
	ast.Inspect(d.Recv.List[0].Type, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok {
			visible = visible || id.IsExported()
		}
		return true
	})
	return visible
}

// bare reports whether float64 itself is written anywhere in a type.
func (p *pack) bare(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && p.info.Uses[id] == types.Universe.Lookup("float64") {
			found = true
		}
		return true
	})
	return found
}

// Whoever reads a formula must learn where it holds and where it comes from.
func TestFormulasNameRangeAndSource(t *testing.T) {
	exempt := map[string]string{
		"FieldEdge": "names a convention, computes nothing",
		"EchoEdge":  "names a convention, computes nothing",
		"NullEdge":  "names a convention, computes nothing",
		"Every":     "lists elements, computes nothing",
	}
	s := program(t)
	formulas := 0
	for _, path := range []string{"internal/acoustics", "internal/acquisition", "internal/imaging"} {
		for _, f := range s.packages[path].files {
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if !ok || !seen(fn) || exempt[fn.Name.Name] != "" {
					continue
				}
				formulas++
				for _, row := range []string{"Valid: ", "Source: "} {
					if !strings.Contains(fn.Doc.Text(), "\n"+row) {
						t.Errorf("%s: the comment of %s has no line %q", s.place(fn.Pos()), fn.Name.Name, row)
					}
				}
			}
		}
	}
	if formulas < 30 {
		t.Errorf("only %d formulas found: the test looks in the wrong place", formulas)
	}
}
