package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"path/filepath"
	"strings"
)

// mutant is one small breakage.
type mutant struct {
	site, way int
	file      string
	line      int
	function  string
	text      string // the source that is changed, on one line
	change    string // what it becomes
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d: %s: %s => %s", m.file, m.line, m.function, m.text, m.change)
}

// finder finds the mutants of a package and the edits that hold them.
type finder struct {
	*pkg
	sites   int
	mutants []mutant
	edits   map[*file][]edit
	roots   map[*ast.BasicLit]*root
	inits   map[types.Object]ast.Expr // constants of the package, by what they are made of

	f     *file
	stack []ast.Node
}

// find finds the mutants of the files that in tells of.
func find(p *pkg, in func(name string) bool) *finder {
	w := &finder{pkg: p, edits: map[*file][]edit{}, roots: map[*ast.BasicLit]*root{}, inits: map[types.Object]ast.Expr{}}
	w.gatherConstants(in)
	for _, f := range p.files {
		w.f = f
		change := !f.test && in(filepath.Base(f.name)) && !imports(f.ast, "C")
		ast.Inspect(f.ast, func(n ast.Node) bool {
			if n == nil {
				w.stack = w.stack[:len(w.stack)-1]
				return true
			}
			w.stack = append(w.stack, n)
			if w.visit(n, change) {
				return true
			}
			w.stack = w.stack[:len(w.stack)-1]
			return false
		})
	}
	return w
}

func imports(f *ast.File, path string) bool {
	for _, i := range f.Imports {
		if i.Path.Value == `"`+path+`"` {
			return true
		}
	}
	return false
}

// parent is the node i levels above the one visited.
func (w *finder) parent(i int) ast.Node {
	if n := len(w.stack) - 1 - i; n >= 0 {
		return w.stack[n]
	}
	return nil
}

// visit finds what may be changed at a node, and reports whether to look inside.
func (w *finder) visit(n ast.Node, change bool) bool {
	switch n := n.(type) {
	case *ast.GenDecl:
		return n.Tok == token.VAR
	case *ast.ArrayType:
		return false
	case ast.Expr:
		if tv, ok := w.info.Types[n]; ok && tv.Value != nil {
			w.constant(n, tv, change)
			return false
		}
		if tv := w.info.Types[n]; tv.IsType() {
			return false
		}
	}
	if !change {
		return true
	}
	switch n := n.(type) {
	case *ast.BinaryExpr:
		if !w.makes() {
			w.binary(n)
		}
	case *ast.UnaryExpr:
		if n.Op == token.NOT && w.isBool(n) {
			w.wrap(w.site(n, w.text(n.X)), n, "MutantNot", "")
		}
	case *ast.IfStmt:
		w.condition(n.Cond)
	case *ast.ForStmt:
		if n.Cond != nil && w.info.Types[n.Cond].Value == nil && w.isBool(n.Cond) {
			site := w.sites // forced true it would only never end
			w.sites++
			w.add(site, 1, n.Cond, "false")
			w.wrap(site, n.Cond, "MutantForce", "")
		}
	case *ast.CaseClause:
		if s, ok := w.parent(2).(*ast.SwitchStmt); ok && s.Tag == nil {
			for _, c := range n.List {
				w.condition(c)
			}
		}
		w.statements(n.Body, false)
	case *ast.BlockStmt:
		i, ok := w.parent(1).(*ast.IfStmt)
		w.statements(n.List, ok && i.Else == nil)
	case *ast.CallExpr:
		w.call(n)
	case *ast.SelectorExpr:
		w.field(n)
	case *ast.AssignStmt:
		w.assign(n)
	}
	return true
}

func (w *finder) offset(p token.Pos) int { return w.fset.Position(p).Offset }

// text is the source of a node on one line.
func (w *finder) text(n ast.Node) string {
	return strings.Join(strings.Fields(string(w.f.src[w.offset(n.Pos()):w.offset(n.End())])), " ")
}

// add notes a mutant of a site.
func (w *finder) add(site, way int, n ast.Node, change string) {
	pos := w.fset.Position(n.Pos())
	text := w.text(n)
	if len(text) > 110 {
		text = text[:107] + "..."
	}
	w.mutants = append(w.mutants, mutant{site, way, filepath.Base(w.f.name), pos.Line, w.function(), text, change})
}

// site notes a site whose ways to change it are told by the source they make.
func (w *finder) site(n ast.Node, changes ...string) int {
	site := w.sites
	w.sites++
	for way, c := range changes {
		w.add(site, way, n, c)
	}
	return site
}

// wrap calls a function of the support file with a node as its last argument.
func (w *finder) wrap(site int, n ast.Node, name, more string) {
	w.edits[w.f] = append(w.edits[w.f], edit{site: site, start: w.offset(n.Pos()), end: w.offset(n.End()), open: fmt.Sprintf("%s(%d, ", name, site), close: more + ")"})
}

func (w *finder) replace(site int, from, to token.Pos, text string) {
	w.edits[w.f] = append(w.edits[w.f], edit{site: site, start: w.offset(from), end: w.offset(to), open: text, instead: true})
}

// function names the function around the node visited.
func (w *finder) function() string {
	for _, n := range w.stack {
		if d, ok := n.(*ast.FuncDecl); ok {
			if d.Recv == nil {
				return d.Name.Name
			}
			t := d.Recv.List[0].Type
			if s, ok := t.(*ast.StarExpr); ok {
				t = s.X
			}
			return w.text(t) + "." + d.Name.Name
		}
		if v, ok := n.(*ast.ValueSpec); ok {
			return v.Names[0].Name
		}
	}
	return "package"
}
