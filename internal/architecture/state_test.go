package architecture

import (
	"go/ast"
	"go/token"
	"go/types"
	"testing"
)

// A package has no state: what it declares at the top is never changed, and
// nothing runs before main. A lock, a cache or a counter shows by being
// assigned, by its address being taken, or by a method that changes it.
func TestNoPackageState(t *testing.T) {
	s := program(t)
	for _, p := range s.packages {
		for _, f := range p.files {
			for _, d := range f.Decls {
				fn, ok := d.(*ast.FuncDecl)
				if ok && fn.Recv == nil && fn.Name.Name == "init" {
					t.Errorf("%s: init runs before main: call it where it is needed", s.place(fn.Pos()))
				}
			}
			ast.Inspect(f, func(n ast.Node) bool {
				for _, e := range changed(n, p.info) {
					if v := p.packageVariable(e); v != nil {
						t.Errorf("%s: the package variable %s is changed, or handed out to be changed", s.place(e.Pos()), v.Name())
					}
				}
				return true
			})
		}
	}
}

// changed lists what a piece of source changes, or may have changed for it.
func changed(n ast.Node, info *types.Info) []ast.Expr {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok != token.DEFINE {
			return n.Lhs
		}
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	case *ast.UnaryExpr:
		// The address of one row of a table is how it is read without a copy.
		if _, row := n.X.(*ast.IndexExpr); n.Op == token.AND && !row {
			return []ast.Expr{n.X}
		}
	case *ast.CallExpr:
		if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "delete" || id.Name == "clear" || id.Name == "append" || id.Name == "copy") && len(n.Args) > 0 {
			return n.Args[:1]
		}
		if sel, ok := n.Fun.(*ast.SelectorExpr); ok && changes(sel, info) {
			return []ast.Expr{sel.X}
		}
	}
	return nil
}

// changes reports whether a method takes its receiver by address, from a
// variable that is no pointer itself: the way a lock is used.
func changes(sel *ast.SelectorExpr, info *types.Info) bool {
	fn, ok := info.Uses[sel.Sel].(*types.Func)
	if !ok || fn.Signature().Recv() == nil {
		return false
	}
	_, byAddress := fn.Signature().Recv().Type().(*types.Pointer)
	id, ok := sel.X.(*ast.Ident)
	if !byAddress || !ok || info.Uses[id] == nil {
		return false
	}
	_, pointer := info.Uses[id].Type().(*types.Pointer)
	return !pointer
}

// packageVariable returns the variable of this package at the root of an
// expression such as table[i].field.
func (p *pack) packageVariable(e ast.Expr) *types.Var {
	for {
		switch x := e.(type) {
		case *ast.IndexExpr:
			e = x.X
		case *ast.SliceExpr:
			e = x.X
		case *ast.SelectorExpr:
			e = x.X
		case *ast.StarExpr:
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		case *ast.Ident:
			v, ok := p.info.Uses[x].(*types.Var)
			if ok && v.Parent() == p.types.Scope() {
				return v
			}
			return nil
		default:
			return nil
		}
	}
}
