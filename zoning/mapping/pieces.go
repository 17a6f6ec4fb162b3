package mapping

import (
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/runs"
)

// cellsIn are the cells of a window that are in.
type cellsIn struct {
	cols, rows int
	in         func(i int) bool
	watch      *beside.Watch
}

// piece is cells that are joined by their sides, as the longest runs, in order.
type piece []runs.Run

// pieces visits the pieces of the cells, in the order of their first ones.
func (s cellsIn) pieces(visit func(piece)) {
	runs.Join(s.cols, s.rows, false, func(r int, visit func(from, to int)) {
		s.watch.Did(s.cols)
		runs.InRow(s.cols, r, s.in, visit)
	}).Each(func(p []runs.Run) { visit(p) })
}

// rim visits the steps from a piece to the cells around it.
func (s cellsIn) rim(p piece, visit func(from, to int)) {
	for _, r := range p {
		s.watch.Did(r.To - r.From)
		if r.From%s.cols > 0 {
			visit(r.From, r.From-1)
		}
		if r.To%s.cols > 0 {
			visit(r.To-1, r.To)
		}
		for i := r.From; i < r.To; i++ {
			if j := i - s.cols; j >= 0 && !s.in(j) {
				visit(i, j)
			}
			if j := i + s.cols; j < s.cols*s.rows && !s.in(j) {
				visit(i, j)
			}
		}
	}
}

// cells is how many there are.
func (p piece) cells() (n int) {
	for _, r := range p {
		n += r.To - r.From
	}
	return n
}

// each visits the cells.
func (p piece) each(visit func(i int)) {
	for _, r := range p {
		for i := r.From; i < r.To; i++ {
			visit(i)
		}
	}
}

// any reports whether one of the cells is so.
func (p piece) any(is func(i int) bool) bool {
	for _, r := range p {
		for i := r.From; i < r.To; i++ {
			if is(i) {
				return true
			}
		}
	}
	return false
}
