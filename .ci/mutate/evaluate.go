package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/token"
	"go/types"
	"math"
	"strconv"
)

// made lists the roots that an expression is made of, through constants.
func (w *finder) made(e ast.Expr, out []*ast.BasicLit) []*ast.BasicLit {
	ast.Inspect(e, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BasicLit:
			if w.roots[n] != nil {
				for _, have := range out {
					if have == n {
						return true
					}
				}
				out = append(out, n)
			}
		case *ast.Ident:
			if init := w.inits[w.info.Uses[n]]; init != nil {
				out = w.made(init, out)
			}
		}
		return true
	})
	return out
}

// evaluate is the value of a constant expression in which one number is moved; nil
// where it cannot be told.
func (w *finder) evaluate(e ast.Expr, lit *ast.BasicLit, moved constant.Value) (v constant.Value) {
	defer func() { // go/constant panics for what has no value, such as x/0
		if recover() != nil {
			v = constant.MakeUnknown()
		}
	}()
	switch e := e.(type) {
	case *ast.BasicLit:
		if e == lit {
			return moved
		}
	case *ast.ParenExpr:
		return w.evaluate(e.X, lit, moved)
	case *ast.Ident:
		if init := w.inits[w.info.Uses[e]]; init != nil {
			return w.evaluate(init, lit, moved)
		}
	case *ast.SelectorExpr:
		if init := w.inits[w.info.Uses[e.Sel]]; init != nil {
			return w.evaluate(init, lit, moved)
		}
	case *ast.UnaryExpr:
		return constant.UnaryOp(e.Op, w.evaluate(e.X, lit, moved), 0)
	case *ast.BinaryExpr:
		op := e.Op
		b, ok := w.info.TypeOf(e).Underlying().(*types.Basic)
		if op == token.QUO && ok && b.Info()&types.IsInteger != 0 {
			op = token.QUO_ASSIGN // of integers
		}
		x, y := w.evaluate(e.X, lit, moved), w.evaluate(e.Y, lit, moved)
		if op == token.SHL || op == token.SHR {
			n, _ := constant.Uint64Val(y)
			return constant.Shift(x, op, uint(n))
		}
		return constant.BinaryOp(x, op, y)
	case *ast.CallExpr:
		if w.info.Types[e.Fun].IsType() && len(e.Args) == 1 {
			return w.evaluate(e.Args[0], lit, moved)
		}
	}
	return w.value(e)
}

// literal writes a value as a number of a type; ok is false where the type cannot hold
// it.
func literal(v constant.Value, b *types.Basic) (text string, ok bool) {
	if b.Info()&types.IsFloat != 0 {
		f, _ := constant.Float64Val(constant.ToFloat(v))
		if v.Kind() == constant.Unknown || math.IsInf(f, 0) {
			return "", false
		}
		return strconv.FormatFloat(f, 'g', -1, 64), true
	}
	i := constant.ToInt(v)
	if i.Kind() != constant.Int || b.Info()&types.IsUnsigned != 0 && constant.Sign(i) < 0 {
		return "", false
	}
	return fmt.Sprint(i.ExactString()), true
}
