package site

import (
	"math"
	"slices"
)

// touchCells is how near, in cells, a shape must come to a cell to touch it:
// more than the Frame's own rounding, so that a shape drawn along the lines of
// a grid touches the cells on both sides whatever the rounding.
const touchCells = 1e-6

// inside calls for the cells of each row whose middles lie in a polygon, c0 ≤
// col < c1. A middle on the west or north side counts as in.
func (p *plot) inside(emit func(row, c0, c1 int)) {
	for _, sides := range p.areas {
		fill(sides, p.grid.Cols, p.grid.Rows, emit)
	}
}

// touched calls for the cells of each row that a shape touches, be it at a
// corner. Some may be told twice.
func (p *plot) touched(emit func(row, c0, c1 int)) {
	p.inside(emit)
	for _, s := range p.edges {
		s.touched(p.grid.Cols, p.grid.Rows, emit)
	}
}

// fill finds where the lines through the middles of rows enter and leave a
// polygon, by the even-odd rule.
func fill(sides []edge, cols, rows int, emit func(row, c0, c1 int)) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range sides {
		low, high = min(low, s.a[1], s.b[1]), max(high, s.a[1], s.b[1])
	}
	first, end := between(low-0.5, high-0.5, rows)
	if first >= end {
		return
	}
	crossings := make([][]float64, end-first)
	for _, s := range sides {
		a, b := s.a, s.b
		if a[1] > b[1] {
			a, b = b, a
		}
		r0, r1 := between(a[1]-0.5, b[1]-0.5, rows)
		for r := r0; r < r1; r++ {
			t := (float64(r) + 0.5 - a[1]) / (b[1] - a[1])
			crossings[r-first] = append(crossings[r-first], a[0]+t*(b[0]-a[0]))
		}
	}
	for i, xs := range crossings {
		slices.Sort(xs)
		for k := 1; k < len(xs); k += 2 {
			if c0, c1 := between(xs[k-1]-0.5, xs[k]-0.5, cols); c0 < c1 {
				emit(first+i, c0, c1)
			}
		}
	}
}

// between returns the integers i with from ≤ i < to and 0 ≤ i < n as a range.
func between(from, to float64, n int) (first, end int) {
	return int(min(max(math.Ceil(from), 0), float64(n))), int(min(max(math.Ceil(to), 0), float64(n)))
}

// touched calls for the cells of each row whose closed squares an edge meets.
func (s edge) touched(cols, rows int, emit func(row, c0, c1 int)) {
	a, b := s.a, s.b
	if a[1] > b[1] {
		a, b = b, a
	}
	r0, r1 := meets(a[1], b[1], rows)
	for r := r0; r < r1; r++ {
		x0, x1 := a[0], b[0]
		if dy := b[1] - a[1]; dy > 0 {
			t0 := max((float64(r)-touchCells-a[1])/dy, 0)
			t1 := min((float64(r)+1+touchCells-a[1])/dy, 1)
			x0, x1 = a[0]+t0*(b[0]-a[0]), a[0]+t1*(b[0]-a[0])
		}
		if c0, c1 := meets(min(x0, x1), max(x0, x1), cols); c0 < c1 {
			emit(r, c0, c1)
		}
	}
}

// meets returns the cells of a line of n that a stretch of it touches.
func meets(from, to float64, n int) (first, end int) {
	return int(min(max(math.Floor(from-touchCells), 0), float64(n))),
		int(min(max(math.Floor(to+touchCells)+1, 0), float64(n)))
}
