package main

import (
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"path/filepath"
	"strconv"
)

func itoa(n int) string { return strconv.Itoa(n) }

// root is a number written in the source: what constants are made of.
type root struct {
	site  int
	moved []constant.Value // what it is moved to, one for each way
}

// unitRatios are numbers that turn a unit into another: they are also left out.
var unitRatios = map[string]bool{"0.3048": true, "3.28084": true, "4046.8564224": true, "0.0254": true, "2.54": true, "25.4": true, "1200.0": true, "3937.0": true}

// gatherConstants notes what the package's constants are made of, and makes roots of
// the numbers in those of the files that are changed.
func (w *finder) gatherConstants(in func(string) bool) {
	lengths := w.lengths()
	for _, f := range w.files {
		if f.test {
			continue
		}
		w.f = f
		ast.Inspect(f.ast, func(n ast.Node) bool {
			d, ok := n.(*ast.GenDecl)
			if !ok || d.Tok != token.CONST {
				return true
			}
			for _, s := range d.Specs {
				v := s.(*ast.ValueSpec)
				for i, name := range v.Names {
					if i >= len(v.Values) || w.usesIota(v.Values[i]) || lengths[w.info.Defs[name]] {
						continue
					}
					w.inits[w.info.Defs[name]] = v.Values[i]
					if in(filepath.Base(f.name)) {
						w.stack = []ast.Node{v}
						w.rootsIn(v.Values[i])
						w.stack = nil
					}
				}
			}
			return false
		})
	}
}

// lengths are the constants that tell how long arrays are, which cannot be moved.
func (w *finder) lengths() map[types.Object]bool {
	out := map[types.Object]bool{}
	for _, f := range w.files {
		ast.Inspect(f.ast, func(n ast.Node) bool {
			if a, ok := n.(*ast.ArrayType); ok && a.Len != nil {
				ast.Inspect(a.Len, func(n ast.Node) bool {
					if id, ok := n.(*ast.Ident); ok {
						out[w.info.Uses[id]] = true
					}
					return true
				})
			}
			return true
		})
	}
	return out
}

func (w *finder) usesIota(e ast.Expr) bool {
	found := false
	ast.Inspect(e, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && id.Name == "iota" {
			found = true
		}
		return true
	})
	return found
}

// rootsIn makes roots of the numbers of an expression.
func (w *finder) rootsIn(e ast.Expr) {
	ast.Inspect(e, func(n ast.Node) bool {
		if lit, ok := n.(*ast.BasicLit); ok && (lit.Kind == token.INT || lit.Kind == token.FLOAT) {
			w.root(lit)
		}
		return true
	})
}

func (w *finder) root(lit *ast.BasicLit) {
	v := constant.MakeFromLiteral(lit.Value, lit.Kind, 0)
	var moved []constant.Value
	b, ok := w.info.TypeOf(lit).Underlying().(*types.Basic)
	switch {
	case !ok:
		return
	case b.Info()&types.IsInteger != 0 && b.Kind() != types.UntypedFloat:
		n, exact := constant.Int64Val(constant.ToInt(v))
		if !exact {
			return
		}
		step := max(1, int64(math.Round(float64(n)/10)))
		moved = append(moved, constant.MakeInt64(n+step))
		if n > 0 || b.Info()&types.IsUnsigned == 0 {
			moved = append(moved, constant.MakeInt64(n-step))
		}
	case b.Info()&types.IsFloat != 0 && constant.Sign(v) != 0:
		v = constant.ToFloat(v)
		tenth := constant.MakeFromLiteral("0.1", token.FLOAT, 0)
		by := constant.BinaryOp(v, token.MUL, tenth)
		moved = append(moved, constant.BinaryOp(v, token.ADD, by), constant.BinaryOp(v, token.SUB, by))
		if unitRatios[lit.Value] {
			moved = append(moved, constant.MakeFloat64(1))
		}
	default:
		return
	}
	r := &root{site: w.sites, moved: moved}
	w.sites++
	w.roots[lit] = r
	for way, m := range moved {
		w.add(r.site, way, lit, m.String())
	}
	if p := w.parent(0); p != nil { // tell the whole of it, one number says little
		for i := len(w.mutants) - len(moved); i < len(w.mutants); i++ {
			w.mutants[i].text += " in " + w.around()
		}
	}
}

// around is the source about the node visited, as much as fits a line.
func (w *finder) around() string {
	best := ""
	for i := 0; ; i++ {
		n := w.parent(i)
		switch n.(type) {
		case ast.Expr, *ast.AssignStmt, *ast.ReturnStmt, *ast.ValueSpec:
			if t := w.text(n); len(t) <= 70 {
				best = t
				continue
			}
		}
		return best
	}
}

// constant lets a constant expression be moved with each number that it is made of.
func (w *finder) constant(e ast.Expr, tv types.TypeAndValue, change bool) {
	if change && w.isBool(e) {
		if id, ok := e.(*ast.Ident); ok && (id.Name == "true" || id.Name == "false") {
			w.wrap(w.site(e, "not "+id.Name), e, "MutantNot", "")
		}
		return
	}
	b, ok := tv.Type.Underlying().(*types.Basic)
	if !ok {
		return
	}
	if c, ok := w.parent(1).(*ast.CaseClause); ok && change {
		if s, ok := w.parent(3).(*ast.SwitchStmt); ok && s.Tag != nil && inList(c.List, e) {
			name := "MutantCase"
			if b.Info()&types.IsString != 0 {
				name = "MutantCaseText"
			} else if b.Info()&types.IsInteger == 0 {
				return
			}
			w.wrap(w.site(e, "left out of the switch"), e, name+"["+w.typeName(tv.Type)+"]", "")
		}
		return
	}
	if b.Info()&(types.IsInteger|types.IsFloat) == 0 || w.fixed(e) {
		return
	}
	if change {
		w.rootsIn(e)
	}
	for _, lit := range w.made(e, nil) {
		r := w.roots[lit]
		more, any := "", false
		for _, m := range r.moved {
			moved := w.evaluate(e, lit, m)
			text, ok := literal(moved, b)
			if !ok || constant.Compare(constant.ToFloat(moved), token.EQL, constant.ToFloat(tv.Value)) {
				text, _ = literal(tv.Value, b)
			} else {
				any = true
			}
			more += ", " + text
		}
		if !any {
			continue
		}
		name := "MutantNumber"
		if w.f.external {
			name = w.name + "." + name
		}
		w.wrap(r.site, e, name+"["+w.typeName(tv.Type)+"]", more)
	}
}

func (w *finder) typeName(t types.Type) string {
	return types.TypeString(types.Default(t), func(p *types.Package) string {
		if p == w.types && !w.f.external {
			return ""
		}
		return p.Name()
	})
}

func inList(list []ast.Expr, e ast.Expr) bool {
	for _, l := range list {
		if l == e {
			return true
		}
	}
	return false
}

// fixed reports whether the node visited must stay a constant, or says nothing of what
// is worked out: an index, a size to make, a shift.
func (w *finder) fixed(e ast.Expr) bool {
	if w.makes() {
		return true
	}
	switch p := w.parent(1).(type) {
	case *ast.IndexExpr:
		return p.Index == e
	case *ast.SliceExpr, *ast.CaseClause:
		return true
	case *ast.BinaryExpr:
		return p.Op == token.SHL || p.Op == token.SHR
	case *ast.KeyValueExpr:
		if p.Key != e {
			return false
		}
		c, ok := w.parent(2).(*ast.CompositeLit)
		if !ok {
			return true
		}
		_, isMap := w.info.TypeOf(c).Underlying().(*types.Map)
		return !isMap
	case *ast.CallExpr:
		if s, ok := p.Fun.(*ast.SelectorExpr); ok {
			if x, ok := s.X.(*ast.Ident); ok && (x.Name == "strconv" || x.Name == "math" && s.Sel.Name == "Inf") {
				return true
			}
		}
		if tv := w.info.Types[p.Fun]; tv.IsType() {
			if b, ok := tv.Type.Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
				return true
			}
		}
	}
	return false
}

// makes reports whether the node visited is part of the size of something made.
func (w *finder) makes() bool {
	for i := 1; ; i++ {
		switch p := w.parent(i).(type) {
		case ast.Expr:
			if c, ok := p.(*ast.CallExpr); ok {
				if id, ok := c.Fun.(*ast.Ident); ok && id.Name == "make" {
					return true
				}
			}
		default:
			return false
		}
	}
}
