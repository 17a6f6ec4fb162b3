package slope

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

var nan = float32(math.NaN())

// Rows computes the slopes of rows r0 ≤ r < r1 of a grid into dst, which holds
// those rows. It reads one row more on either side and writes no other
// row, so strips may be computed in any order, or at once, to the same bits. A grid that
// cannot be used, or a field that does not hold those rows, is an error.
func Rows(g *terrain.Grid, r0, r1 int, dst *Field) error {
	if err := dst.holds(g, r0, r1); err != nil {
		return err
	}
	var pieces []terrain.RowMetric
	for r := r0; r < r1; r++ {
		out := dst.Squared[(r-dst.Row0)*dst.Cols:][:dst.Cols]
		pieces = g.Frame.RowMetrics(pieces[:0], g.Row0+r, g.Col0, g.Col0+g.Cols)
		if r == 0 || r == g.Rows-1 {
			for c := range out {
				dst.fromRemaining(g, c, r)
			}
			continue
		}
		up := g.Z[(r-1)*g.Stride:][:g.Cols]
		mid := g.Z[r*g.Stride:][:g.Cols]
		down := g.Z[(r+1)*g.Stride:][:g.Cols]
		for _, m := range pieces {
			from, to := max(m.From-g.Col0, 1), min(m.To-g.Col0, g.Cols-1)
			if from < to {
				horn(out[from:to], up[from-1:], mid[from-1:], down[from-1:], m, from+g.Col0-m.From)
				if aspect := dst.aspectRow(r); aspect != nil {
					hornAspect(aspect[from:to], up[from-1:], mid[from-1:], down[from-1:], m.Start.Plus(m.PerCol, float64(m.To-m.From)/2))
				}
			}
		}
		out[0], out[g.Cols-1] = nan, nan
		for c, z := range mid {
			if s := z + out[c]; s != s { // the cell or one beside it is void
				dst.fromRemaining(g, c, r)
			}
		}
	}
	return nil
}

// mostCols is how many cells of a row may share a metric, that of their middle.
const mostCols = 32

// blockCols is how many cells of a piece share a metric: as many as keep slope
// within 2e-6 of itself. Along the rows of most grids the metric hardly changes;
// down the meridian of a turned one it does. Blocks are counted from the lattice,
// so a cell's metric is the same whatever the window.
func blockCols(piece terrain.RowMetric) int {
	perCol := math.Max(math.Abs(piece.PerCol.A/piece.Start.A), math.Abs(piece.PerCol.C/piece.Start.C))
	n := mostCols
	for n > 1 && perCol*float64(n)/4 > 2e-6 { // half a block, half of slope²
		n /= 2
	}
	return n
}

// horn writes slope² of a stretch of a row, skip cells into a piece of it. up,
// mid and down begin one cell before it and end one after it or later. The window slides: each column
// of three cells is summed once and used by the three cells it borders. Sums of
// float32 heights are exact in float64, so their order costs no precision. The
// inner loop has no branch; a void neighbour makes NaN.
func horn(out, up, mid, down []float32, piece terrain.RowMetric, skip int) {
	const k = 1.0 / 64 // two gradients of an eighth
	size := blockCols(piece)
	for i := 0; i < len(out); {
		block := (skip + i) / size * size
		end := min(block+size, piece.To-piece.From)
		stop := min(end-skip, len(out))
		m := piece.Start.Plus(piece.PerCol, float64(block+end-1)/2)
		a, b, c := m.A*k, 2*m.B*k, m.C*k
		to := out[i:stop]
		u, z, d := up[i+2:][:len(to)], mid[i+2:][:len(to)], down[i+2:][:len(to)]
		v0, h0 := column(up[i], mid[i], down[i])
		v1, h1 := column(up[i+1], mid[i+1], down[i+1])
		for j := range to {
			v2, h2 := column(u[j], z[j], d[j])
			p, q := v2-v0, h0+2*h1+h2
			to[j] = float32(p*(a*p+b*q) + c*q*q)
			v0, v1, h0, h1 = v1, v2, h1, h2
		}
		i = stop
	}
}

// hornAspect writes the aspects of a stretch of a row. One metric serves it: along a
// piece it turns the axes by less than aspect is told in.
func hornAspect(out []uint8, up, mid, down []float32, m terrain.Metric) {
	v0, h0 := column(up[0], mid[0], down[0])
	v1, h1 := column(up[1], mid[1], down[1])
	for j := range out {
		v2, h2 := column(up[j+2], mid[j+2], down[j+2])
		out[j] = aspectOf(v2-v0, h0+2*h1+h2, m)
		v0, v1, h0, h1 = v1, v2, h1, h2
	}
}

// column sums a column of three cells with Horn's weights, and takes its fall.
func column(up, mid, down float32) (sum, fall float64) {
	u, d := float64(up), float64(down)
	return u + 2*float64(mid) + d, d - u
}

// fromRemaining fits the plane to the cells of the 3×3 window that have
// elevation and lie on the grid.
func (f *Field) fromRemaining(g *terrain.Grid, col, row int) {
	at := (row-f.Row0)*f.Cols + col
	f.Squared[at] = nan
	centre := float64(g.Z[row*g.Stride+col])
	if centre != centre {
		return
	}
	var w, x, y, xx, xy, yy, z, xz, yz float64
	for dr := -1; dr <= 1; dr++ {
		for dc := -1; dc <= 1; dc++ {
			c, r := col+dc, row+dr
			if c < 0 || c >= g.Cols || r < 0 || r >= g.Rows {
				continue
			}
			h := float64(g.Z[r*g.Stride+c])
			if h != h {
				continue
			}
			k := float64((2 - dc*dc) * (2 - dr*dr))
			kx, ky, kh := k*float64(dc), k*float64(dr), k*(h-centre)
			w, x, y, z = w+k, x+kx, y+ky, z+kh
			xx, xy, yy = xx+kx*float64(dc), xy+kx*float64(dr), yy+ky*float64(dr)
			xz, yz = xz+kh*float64(dc), yz+kh*float64(dr)
		}
	}
	xx, xy, yy = w*xx-x*x, w*xy-x*y, w*yy-y*y // small integers: exact
	xz, yz = w*xz-x*z, w*yz-y*z
	det := xx*yy - xy*xy
	if det <= 0 {
		return
	}
	p, q := (xz*yy-yz*xy)/det, (yz*xx-xz*xy)/det
	m := g.Frame.MetricAt(float64(g.Col0+col)+0.5, float64(g.Row0+row)+0.5)
	f.Squared[at] = float32(p*(m.A*p+2*m.B*q) + m.C*q*q)
	if f.Aspect != nil {
		f.Aspect[at] = aspectOf(p, q, m)
	}
}
