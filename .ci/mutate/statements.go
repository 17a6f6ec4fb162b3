package main

import (
	"go/ast"
	"go/token"
	"go/types"
	"strings"
	"unicode"
)

// statements leaves out statements of a block. The only one of an if without else is
// left out with its condition.
func (w *finder) statements(list []ast.Stmt, guarded bool) {
	if guarded && len(list) == 1 {
		return
	}
	for _, s := range list {
		if w.droppable(s) {
			site := w.site(s, "left out")
			w.edits[w.f] = append(w.edits[w.f], edit{site: site, start: w.offset(s.Pos()), end: w.offset(s.End()), open: "if MutantOn(" + itoa(site) + ") {} else { ", close: " }"})
		}
	}
}

func (w *finder) droppable(s ast.Stmt) bool {
	switch s := s.(type) {
	case *ast.AssignStmt:
		if s.Tok == token.DEFINE {
			return false
		}
		for _, l := range s.Lhs {
			if id, ok := l.(*ast.Ident); !ok || id.Name != "_" {
				return true
			}
		}
	case *ast.IncDecStmt:
		return true
	case *ast.BranchStmt:
		return s.Tok == token.CONTINUE || s.Tok == token.BREAK
	case *ast.ReturnStmt:
		return len(s.Results) == 0
	case *ast.ExprStmt:
		call, ok := s.X.(*ast.CallExpr)
		if !ok {
			return false
		}
		switch f := call.Fun.(type) {
		case *ast.Ident:
			return f.Name != "panic" && f.Name != "close"
		case *ast.SelectorExpr:
			// Locks and waits left out are seen by the race detector, not by results.
			if fn, ok := w.info.Uses[f.Sel].(*types.Func); ok && fn.Pkg() != nil && fn.Pkg().Path() == "sync" {
				return false
			}
			return f.Sel.Name != "Wait" && f.Sel.Name != "Unlock" && f.Sel.Name != "Lock"
		}
	}
	return false
}

// assign turns += and its like.
func (w *finder) assign(n *ast.AssignStmt) {
	if n.Tok == token.ASSIGN || n.Tok == token.DEFINE || w.info.Types[n.Rhs[0]].Value != nil {
		return
	}
	b, ok := w.info.TypeOf(n.Lhs[0]).Underlying().(*types.Basic)
	if !ok || b.Info()&(types.IsInteger|types.IsFloat) == 0 {
		return
	}
	text := func(op string) string { return w.text(n.Lhs[0]) + " " + op + " " + w.text(n.Rhs[0]) }
	switch {
	case n.Tok == token.ADD_ASSIGN:
		w.wrap(w.site(n, text("-=")), n.Rhs[0], "MutantNegative", "")
	case n.Tok == token.SUB_ASSIGN:
		w.wrap(w.site(n, text("+=")), n.Rhs[0], "MutantNegative", "")
	case n.Tok == token.MUL_ASSIGN && b.Info()&types.IsFloat != 0:
		w.wrap(w.site(n, text("/=")), n.Rhs[0], "MutantInverse", "")
	case n.Tok == token.QUO_ASSIGN && b.Info()&types.IsFloat != 0:
		w.wrap(w.site(n, text("*=")), n.Rhs[0], "MutantInverse", "")
	}
}

// field takes a field's neighbour of the same type and a like name for it, such as the
// limit across for the limit along.
func (w *finder) field(n *ast.SelectorExpr) {
	sel, ok := w.info.Selections[n]
	if !ok || sel.Kind() != types.FieldVal || len(sel.Index()) != 1 || !w.read(n) || !isPlace(n.X) {
		return
	}
	t := sel.Recv()
	if ptr, ok := t.Underlying().(*types.Pointer); ok {
		t = ptr.Elem()
	}
	s, ok := t.Underlying().(*types.Struct)
	if !ok {
		return
	}
	at := sel.Index()[0]
	_, plain := sel.Type().(*types.Basic)
	_, holds := sel.Type().Underlying().(*types.Struct)
	if !plain && !holds {
		return
	}
	for i := 1; i < s.NumFields(); i++ {
		o := s.Field((at + i) % s.NumFields())
		if types.Identical(o.Type(), sel.Type()) && (o.Exported() || o.Pkg() == w.types) && (holds || alike(n.Sel.Name, o.Name())) {
			other := w.text(n.X) + "." + o.Name()
			w.wrap(w.site(n, other), n, "MutantPick", ", "+other)
			return
		}
	}
}

// read reports whether the node visited is read, not written nor pointed at.
func (w *finder) read(n ast.Expr) bool {
	switch p := w.parent(1).(type) {
	case *ast.AssignStmt:
		for _, l := range p.Lhs {
			if l == n {
				return false
			}
		}
	case *ast.IncDecStmt:
		return false
	case *ast.UnaryExpr:
		return p.Op != token.AND
	case *ast.SelectorExpr: // m.Wet.AlongPct may be written
		for i := 1; ; i++ {
			switch q := w.parent(i).(type) {
			case *ast.SelectorExpr:
				continue
			case *ast.CallExpr:
				return q.Fun == w.parent(i-1)
			}
			return false
		}
	case *ast.RangeStmt:
		return p.X == n
	}
	return true
}

// isPlace reports whether an expression names a place without calling anything.
func isPlace(e ast.Expr) bool {
	switch e := e.(type) {
	case *ast.Ident:
		return true
	case *ast.SelectorExpr:
		return isPlace(e.X)
	}
	return false
}

// alike reports whether two names share their first or last word.
func alike(a, b string) bool {
	x, y := words(a), words(b)
	return x[0] == y[0] && len(x[0]) > 1 || x[len(x)-1] == y[len(y)-1]
}

func words(name string) []string {
	var out []string
	from := 0
	r := []rune(name)
	for i := 1; i < len(r); i++ {
		if unicode.IsUpper(r[i]) && !unicode.IsUpper(r[i-1]) {
			out = append(out, strings.ToLower(string(r[from:i])))
			from = i
		}
	}
	return append(out, strings.ToLower(string(r[from:])))
}
