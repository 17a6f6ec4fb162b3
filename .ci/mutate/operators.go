package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"strings"
)

func (w *finder) isBool(e ast.Expr) bool {
	t := w.info.TypeOf(e)
	return t != nil && (types.Identical(t, types.Typ[types.Bool]) || types.Identical(t, types.Typ[types.UntypedBool]))
}

// condition forces a condition either way.
func (w *finder) condition(e ast.Expr) {
	if w.info.Types[e].Value == nil && w.isBool(e) {
		w.wrap(w.site(e, "true", "false"), e, "MutantForce", "")
	}
}

var compared = map[token.Token]struct {
	name    string
	changes [2]string
}{
	token.LSS: {"MutantLess", [2]string{"<=", ">="}},
	token.LEQ: {"MutantAtMost", [2]string{"<", ">"}},
	token.GTR: {"MutantMore", [2]string{">=", "<="}},
	token.GEQ: {"MutantAtLeast", [2]string{">", "<"}},
}

var reckoned = map[token.Token]struct{ name, change string }{
	token.ADD: {"MutantAdd", "-"},
	token.SUB: {"MutantSub", "+"},
	token.MUL: {"MutantMul", "/"},
	token.QUO: {"MutantDiv", "*"},
}

func (w *finder) binary(n *ast.BinaryExpr) {
	with := func(op string) string { return w.text(n.X) + " " + op + " " + w.text(n.Y) }
	if c, ok := compared[n.Op]; ok {
		site := w.site(n, with(c.changes[0]), with(c.changes[1]))
		w.wrap(site, n, c.name, "")
		w.replace(site, n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), ",")
		return
	}
	if r, ok := reckoned[n.Op]; ok {
		if b, ok := w.info.TypeOf(n).Underlying().(*types.Basic); !ok || b.Info()&(types.IsInteger|types.IsFloat) == 0 {
			return
		}
		site := w.site(n, with(r.change))
		w.wrap(site, n, r.name, "")
		w.replace(site, n.OpPos, n.OpPos+1, ",")
		return
	}
	switch n.Op {
	case token.EQL, token.NEQ:
		if !w.isBool(n) {
			return
		}
		w.wrap(w.site(n, with(map[token.Token]string{token.EQL: "!=", token.NEQ: "=="}[n.Op])), n, "MutantNot", "")
	case token.LAND, token.LOR:
		if !w.isBool(n) {
			return
		}
		// a && b is turned to a || b as !(!a && !b), which asks as much of b as before.
		site := w.site(n, with(map[token.Token]string{token.LAND: "||", token.LOR: "&&"}[n.Op]))
		for _, e := range []ast.Expr{n.X, n.Y} {
			w.wrap(site, e, "MutantNot", "")
			if b, ok := ast.Unparen(e).(*ast.BinaryExpr); ok && b.Op == n.Op || w.info.Types[e].Value != nil {
				continue // its own operands are left out one by one
			}
			drop := w.sites
			w.sites++
			way := map[token.Token]int{token.LAND: 0, token.LOR: 1}[n.Op]
			w.add(drop, way, e, [2]string{"true", "false"}[way]+" in "+w.text(n))
			w.wrap(drop, e, "MutantForce", "")
		}
		w.wrap(site, n, "MutantNot", "")
	}
}

// call changes min and max, and what is turned from one unit into another.
func (w *finder) call(n *ast.CallExpr) {
	if id, ok := n.Fun.(*ast.Ident); ok && (id.Name == "min" || id.Name == "max") && len(n.Args) > 1 {
		if _, builtin := w.info.Uses[id].(*types.Builtin); builtin {
			w.extreme(n, map[string]string{"min": "Min", "max": "Max"}[id.Name])
		}
		return
	}
	if tv := w.info.Types[n.Fun]; tv.IsType() || tv.IsBuiltin() || len(n.Args) != 1 {
		if fn := w.named(n); fn == "math.Min" || fn == "math.Max" {
			w.extreme(n, strings.TrimPrefix(fn, "math."))
		}
		return
	}
	sig, ok := w.info.TypeOf(n.Fun).(*types.Signature)
	if !ok || sig.Variadic() || sig.Results().Len() != 1 || !types.Identical(sig.Results().At(0).Type(), sig.Params().At(0).Type()) {
		return
	}
	if b, ok := sig.Results().At(0).Type().Underlying().(*types.Basic); !ok || b.Info()&(types.IsInteger|types.IsFloat) == 0 {
		return
	}
	fun, changes := w.text(n.Fun), []string{w.text(n.Args[0])}
	other := fun
	if back := w.inverse(n); back != "" {
		other = back
		changes = append(changes, back+"("+w.text(n.Args[0])+")")
	}
	site := w.site(n, changes...)
	w.wrap(site, n, "MutantCall", "")
	w.replace(site, n.Lparen, n.Lparen+1, ", "+other+", ")
	w.replace(site, n.Rparen, n.Rparen+1, "")
}

// extreme changes a call of min or max.
func (w *finder) extreme(n *ast.CallExpr, name string) {
	changes := []string{map[string]string{"Min": "max", "Max": "min"}[name]}
	for _, a := range n.Args {
		changes = append(changes, "without "+w.text(a))
	}
	site := w.site(n, changes...)
	w.replace(site, n.Pos(), n.Lparen+1, fmt.Sprintf("Mutant%s(%d, ", name, site))
}

// named is the name of the function called, with its package.
func (w *finder) named(n *ast.CallExpr) string {
	if s, ok := n.Fun.(*ast.SelectorExpr); ok {
		if f, ok := w.info.Uses[s.Sel].(*types.Func); ok && f.Pkg() != nil {
			return f.Pkg().Path() + "." + f.Name()
		}
	}
	return ""
}

// inverse names the function that turns a unit back: XOfY of YOfX; "" where none is.
func (w *finder) inverse(n *ast.CallExpr) string {
	id, before := (*ast.Ident)(nil), ""
	switch f := n.Fun.(type) {
	case *ast.Ident:
		id = f
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok {
			id, before = f.Sel, x.Name+"."
		}
	}
	if id == nil {
		return ""
	}
	f, ok := w.info.Uses[id].(*types.Func)
	if !ok || f.Pkg() == nil {
		return ""
	}
	from, to, ok := strings.Cut(f.Name(), "Of")
	if !ok || from == "" || to == "" || f.Pkg().Scope().Lookup(to+"Of"+from) == nil {
		return ""
	}
	return before + to + "Of" + from
}

// value is a constant's value in an expression of the package.
func (w *finder) value(e ast.Expr) constant.Value { return w.info.Types[e].Value }
