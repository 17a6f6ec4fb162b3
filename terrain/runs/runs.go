// Package runs tells cells of a window by the runs of its rows, and joins them into pieces.
package runs

import (
	"cmp"
	"fmt"
	"slices"
)

// Run is cells of a row side by side, from one to before another. Cells are numbered row by row.
type Run struct{ From, To int }

// InRow visits the longest runs of the cells of a row that are in, in order.
func InRow(cols, row int, in func(cell int) bool, visit func(from, to int)) {
	for c := 0; c < cols; c++ {
		if from := c; in(row*cols + c) {
			for c++; c < cols && in(row*cols+c); c++ {
			}
			visit(from, c)
		}
	}
}

// Of lists the longest runs of the cells of a window that are in, row by row. The list is never nil.
func Of(cols, rows int, in func(cell int) bool) []Run {
	list := []Run{}
	for r := range rows {
		InRow(cols, r, in, func(from, to int) { list = append(list, Run{r*cols + from, r*cols + to}) })
	}
	return list
}

// Has reports whether a cell is in one of the runs in a list, row by row.
func Has(list []Run, cell int) bool {
	n, found := slices.BinarySearchFunc(list, cell, func(r Run, cell int) int { return cmp.Compare(r.From, cell) })
	return found || n > 0 && cell < list[n-1].To
}

// Check returns what is wrong with a list of runs of a window: one off it, or over the end of a
// row, or before the one before.
func Check(list []Run, cols, rows int) error {
	before := 0
	for _, r := range list {
		if r.From < before || r.From >= r.To || r.To > cols*rows || r.From/cols != (r.To-1)/cols {
			return fmt.Errorf("a run from cell %d to %d after cell %d; those of %d × %d cells lie in rows, one after another", r.From, r.To, before, cols, rows)
		}
		before = r.To
	}
	return nil
}

// Rows visits, of each row after the one before, the runs in a list, as [Join] asks for them.
func Rows(list []Run, cols int) func(row int, visit func(from, to int)) {
	return func(row int, visit func(from, to int)) {
		for ; len(list) > 0 && list[0].From < (row+1)*cols; list = list[1:] {
			visit(list[0].From-row*cols, list[0].To-row*cols)
		}
	}
}

// Pieces are the runs of some cells, row by row, joined where they touch.
type Pieces struct {
	Runs  []Run
	first []int // by run, a run of its piece that is no later; the first of a piece is its own
}

// Join joins cells of a window by their sides, and where corners says so by their corners, by union-find.
// inRow visits the runs of a row that are not side by side, from a column to before another, in order.
func Join(cols, rows int, corners bool, inRow func(row int, visit func(from, to int))) Pieces {
	var p Pieces
	reach := 0
	if corners {
		reach = 1
	}
	above, first := 0, 0 // where the runs of the row above, and of this one, begin
	for r := range rows {
		above, first = first, len(p.Runs)
		at, before := above, (r-1)*cols
		inRow(r, func(from, to int) {
			n := len(p.Runs)
			p.Runs, p.first = append(p.Runs, Run{r*cols + from, r*cols + to}), append(p.first, n)
			for at < first && p.Runs[at].To+reach <= before+from {
				at++
			}
			for ; at < first && p.Runs[at].From < before+to+reach; at++ {
				a, b := p.First(at), p.First(n)
				p.first[max(a, b)] = min(a, b)
			}
			at = max(at-1, above) // the last may touch the next run, too
		})
	}
	return p
}

// First is the first run of the piece that a run is of.
func (p Pieces) First(n int) int {
	for p.first[n] != n {
		p.first[n] = p.first[p.first[n]]
		n = p.first[n]
	}
	return n
}

// Sizes are, by run, the size of its piece: the sum over its runs.
func (p Pieces) Sizes(of func(Run) int) []int {
	sizes := make([]int, len(p.Runs))
	for n, r := range p.Runs {
		sizes[p.First(n)] += of(r)
	}
	for n := range sizes {
		sizes[n] = sizes[p.First(n)]
	}
	return sizes
}

// Each visits the pieces, each as its runs, in the order of their first cells.
func (p Pieces) Each(visit func([]Run)) {
	ends := make([]int, len(p.Runs)+1) // where the runs of a piece end once they are sorted by pieces
	for n := range p.Runs {
		ends[p.First(n)+1]++
	}
	for n := range p.Runs {
		ends[n+1] += ends[n]
	}
	sorted := make([]Run, len(p.Runs))
	for n, r := range p.Runs {
		of := p.First(n)
		sorted[ends[of]] = r
		ends[of]++
	}
	from := 0
	for _, to := range ends[:len(p.Runs)] {
		if to > from {
			visit(sorted[from:to])
			from = to
		}
	}
}
