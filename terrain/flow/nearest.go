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
	cells, metres = make([]int32, n), make([]float32, n)
	for i := range cells {
		cells[i], metres[i] = -1, float32(math.Inf(1))
	}
	found := false
	for _, l := range d.Lines {
		if l.MouthM2 >= leastM2 {
			found = true
			l.eachCell(g, func(i int) { cells[i], metres[i] = int32(i), 0 })
		}
	}
	if !found { // as on most small lots
		return cells, metres
	}
	e, f, h := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2).Inverse()
	take := func(i, c, r, from int) {
		line := cells[from]
		if line < 0 || line == cells[i] {
			return
		}
		u, v := float64(int(line)%d.Cols-c), float64(int(line)/d.Cols-r)
		if m2 := float32(e*u*u + 2*f*u*v + h*v*v); m2 < metres[i] { // squared, until the end
			cells[i], metres[i] = line, m2
		}
	}
	for r := range d.Rows {
		d.sweep(r, -d.Cols, r > 0, take)
	}
	for r := d.Rows - 2; r >= 0; r-- {
		d.sweep(r, d.Cols, true, take)
	}
	for i, m2 := range metres {
		metres[i] = float32(math.Sqrt(float64(m2)))
	}
	return cells, metres
}

// sweep takes over along a row, either way, what the row beside it and the cells before found.
func (d *Drainage) sweep(r, beside int, hasBeside bool, take func(i, c, r, from int)) {
	for c := range d.Cols {
		i := r*d.Cols + c
		if hasBeside {
			take(i, c, r, i+beside)
			if c > 0 {
				take(i, c, r, i+beside-1)
			}
			if c < d.Cols-1 {
				take(i, c, r, i+beside+1)
			}
		}
		if c > 0 {
			take(i, c, r, i-1)
		}
	}
	for c := d.Cols - 2; c >= 0; c-- {
		take(r*d.Cols+c, c, r, r*d.Cols+c+1)
	}
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
