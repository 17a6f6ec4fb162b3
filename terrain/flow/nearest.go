package flow

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// NearestLine finds for each cell of the grid that was drained the cell, row · Cols + column,
// of a line whose lower end has leastM2 of upslope area or more that lies nearest, by the
// middles of both, and how far that is in meters on the ground, plan. Where there is no such
// line the cell is -1. It is a vector distance map (Danielsson 1980, Computer Graphics and
// Image Processing 14:227; from memory): of two cells that are nearly as near it may take
// the other.
func (d *Drainage) NearestLine(g *terrain.Grid, leastM2 float64) (cells []int32, metres []float32) {
	n := d.Cols * d.Rows
	near := nearest{cols: d.Cols, cells: make([]int32, n), m2: make([]float32, n)}
	for i := range near.cells {
		near.cells[i], near.m2[i] = -1, float32(math.Inf(1))
	}
	found := false
	for _, l := range d.Lines {
		if l.MouthM2 >= leastM2 {
			found = true
			l.eachCell(g, func(i int) { near.cells[i], near.m2[i] = int32(i), 0 })
		}
	}
	if !found { // as on most small lots
		return near.cells, near.m2
	}
	near.e, near.f, near.h = g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2).Inverse()
	near.sweep(0, nil)
	for r := 1; r < d.Rows; r++ {
		near.sweep(r, near.row(r-1))
	}
	for r := d.Rows - 2; r >= 0; r-- {
		near.sweep(r, near.row(r+1))
	}
	for i, m2 := range near.m2 {
		near.m2[i] = float32(math.Sqrt(float64(m2)))
	}
	return near.cells, near.m2
}

// nearest is the nearest cell of a line for each cell, as far as it was found, and the square of
// how far it is.
type nearest struct {
	cols    int
	cells   []int32
	m2      []float32
	e, f, h float64 // the metric
}

func (n *nearest) row(r int) []int32 { return n.cells[r*n.cols:][:n.cols] }

// sweep takes over along a row, either way, what the row beside it and the cells before found;
// nil where no row lies beside it.
func (n *nearest) sweep(r int, beside []int32) {
	row, last := n.row(r), n.cols-1
	for c, is := range row {
		if beside != nil {
			if line := beside[c]; line != is {
				is = n.offer(r, c, line)
			}
			if c > 0 && beside[c-1] != is {
				is = n.offer(r, c, beside[c-1])
			}
			if c < last && beside[c+1] != is {
				is = n.offer(r, c, beside[c+1])
			}
		}
		if c > 0 && row[c-1] != is {
			n.offer(r, c, row[c-1])
		}
	}
	for c := last - 1; c >= 0; c-- {
		if row[c+1] != row[c] {
			n.offer(r, c, row[c+1])
		}
	}
}

// offer takes a line's cell for a cell where that is nearer than what it has, and tells what it
// then has.
func (n *nearest) offer(r, c int, line int32) int32 {
	i := r*n.cols + c
	if line < 0 {
		return n.cells[i]
	}
	cols := int32(n.cols)
	u, v := float64(int(line%cols)-c), float64(int(line/cols)-r)
	if m2 := float32(n.e*u*u + 2*n.f*u*v + n.h*v*v); m2 < n.m2[i] {
		n.cells[i], n.m2[i] = line, m2
	}
	return n.cells[i]
}

// eachCell visits the cells of a line's path, some twice.
func (l *Line) eachCell(g *terrain.Grid, visit func(i int)) {
	at := func(p [2]float64) (c, r int) { return int(math.Floor(p[0])) - g.Col0, int(math.Floor(p[1])) - g.Row0 }
	for n, p := range l.Path {
		c, r := at(p)
		visit(r*g.Cols + c)
		if n == 0 {
			continue
		}
		c0, r0 := at(l.Path[n-1])
		for steps := max(c-c0, c0-c, r-r0, r0-r); c != c0 || r != r0; steps-- {
			c0, r0 = c0+(c-c0)/max(steps, 1), r0+(r-r0)/max(steps, 1)
			visit(r0*g.Cols + c0)
		}
	}
}
