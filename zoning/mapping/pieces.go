package mapping

import "github.com/acreband/acreband/terrain/beside"

// cellsIn are the cells of a window that are in.
type cellsIn struct {
	cols, rows int
	in         func(i int) bool
	watch      *beside.Watch
}

// run is cells of a row side by side, from one to before another.
type run struct{ from, to int }

// piece is cells that are joined by their sides, as the longest runs, in order.
type piece []run

// pieces visits the pieces of the cells, in the order of their first ones. They are joined by
// union-find.
func (s cellsIn) pieces(visit func(piece)) {
	var runs []run
	var parent []int // by run; the first of a piece is its own
	root := func(n int) int {
		for parent[n] != n {
			parent[n] = parent[parent[n]]
			n = parent[n]
		}
		return n
	}
	above, first := 0, 0 // where the runs of the row above, and of this one, begin
	for r := range s.rows {
		s.watch.Did(s.cols)
		above, first = first, len(runs)
		at, end := above, (r+1)*s.cols
		for i := r * s.cols; i < end; i++ {
			if !s.in(i) {
				continue
			}
			n, from := len(runs), i
			for i++; i < end && s.in(i); i++ {
			}
			runs, parent = append(runs, run{from, i}), append(parent, n)
			for at < first && runs[at].to <= from-s.cols {
				at++
			}
			for ; at < first && runs[at].from < i-s.cols; at++ {
				a, b := root(at), root(n)
				parent[max(a, b)] = min(a, b)
			}
			at = max(at-1, above) // the last may lie above the next run, too
		}
	}
	ends := make([]int, len(runs)+1) // where the runs of a piece end once they are sorted by pieces
	for n := range runs {
		ends[root(n)+1]++
	}
	for n := range runs {
		ends[n+1] += ends[n]
	}
	sorted := make(piece, len(runs))
	for n, r := range runs {
		of := root(n)
		sorted[ends[of]] = r
		ends[of]++
	}
	from := 0
	for _, to := range ends[:len(runs)] {
		if to > from {
			visit(sorted[from:to])
			from = to
		}
	}
}

// rim visits the steps from a piece to the cells around it.
func (s cellsIn) rim(p piece, visit func(from, to int)) {
	for _, r := range p {
		s.watch.Did(r.to - r.from)
		if r.from%s.cols > 0 {
			visit(r.from, r.from-1)
		}
		if r.to%s.cols > 0 {
			visit(r.to-1, r.to)
		}
		for i := r.from; i < r.to; i++ {
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
		n += r.to - r.from
	}
	return n
}

// each visits the cells.
func (p piece) each(visit func(i int)) {
	for _, r := range p {
		for i := r.from; i < r.to; i++ {
			visit(i)
		}
	}
}

// any reports whether one of the cells is so.
func (p piece) any(is func(i int) bool) bool {
	for _, r := range p {
		for i := r.from; i < r.to; i++ {
			if is(i) {
				return true
			}
		}
	}
	return false
}
