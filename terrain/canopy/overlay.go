package canopy

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// Laying is how the heights of one grid were set against those of another.
type Laying int

// Layings.
const (
	// CellByCell: both grids have the same cells.
	CellByCell Laying = iota
	// GreatestInCell: the cells laid are finer; of those whose middles lie in a cell
	// the one that stands highest over the ground under its own middle counts.
	GreatestInCell
	// Between: the cells laid are not finer; heights are interpolated bilinearly
	// between their middles.
	Between
)

// overlay finds how much higher one grid is than another.
type overlay struct {
	ground, surface *terrain.Grid
	laying          Laying
	dCol, dRow      int     // CellByCell: of the ground's first cell in the surface
	rise            float64 // between the two grids' Z0
	shared          bool    // one frame serves both
}

// sameWithin is how far, in cells, the corners of cells may lie apart that are the
// same; finerBy how much less area a cell has that counts as finer.
const (
	sameWithin = 0.01
	finerBy    = 0.95
)

func newOverlay(ground, surface *terrain.Grid) *overlay {
	o := &overlay{ground: ground, surface: surface, rise: float64(surface.Z0 - ground.Z0), shared: ground.Frame == surface.Frame}
	w, h := ground.MiddleCellM()
	sw, sh := surface.MiddleCellM()
	same := true
	cols, rows := float64(ground.Cols), float64(ground.Rows)
	for i, corner := range [][2]float64{{0, 0}, {cols, 0}, {0, rows}, {cols, rows}} {
		x, y := o.onSurface(corner[0], corner[1])
		dc, dr := x-corner[0], y-corner[1]
		if i == 0 {
			o.dCol, o.dRow = int(math.Round(dc)), int(math.Round(dr))
		}
		same = same && math.Abs(dc-float64(o.dCol)) <= sameWithin && math.Abs(dr-float64(o.dRow)) <= sameWithin
	}
	switch {
	case same:
		o.laying = CellByCell
	case sw*sh < finerBy*w*h:
		o.laying = GreatestInCell
	default:
		o.laying = Between
	}
	return o
}

// onSurface turns cell coordinates of the ground's window into those of the
// surface's.
func (o *overlay) onSurface(col, row float64) (x, y float64) {
	return across(o.ground, o.surface, o.shared, col, row)
}

func across(from, to *terrain.Grid, shared bool, col, row float64) (x, y float64) {
	x, y = col+float64(from.Col0), row+float64(from.Row0)
	if !shared {
		x, y = to.Frame.Cell(from.Frame.LonLat(x, y))
	}
	return x - float64(to.Col0), y - float64(to.Row0)
}

// alongRow visits the middles of a row of one grid in cell coordinates of another.
// Every acrossEvery cells the place is found; between, it is interpolated: over 16
// cells of 30 m a parallel bends by 4 mm.
func alongRow(from, to *terrain.Grid, shared bool, row int, visit func(col int, x, y float64)) {
	const acrossEvery = 16
	y := float64(row) + 0.5
	x0, y0 := across(from, to, shared, 0.5, y)
	for c := 0; c < from.Cols; c += acrossEvery {
		x1, y1 := across(from, to, shared, float64(c+acrossEvery)+0.5, y)
		for i := c; i < min(c+acrossEvery, from.Cols); i++ {
			t := float64(i-c) / acrossEvery
			visit(i, x0+t*(x1-x0), y0+t*(y1-y0))
		}
		x0, y0 = x1, y1
	}
}

// excess is how much higher the surface is than the ground at a cell's middle,
// were the surface moved back by cells along the row and down the column.
func (o *overlay) excess(col, row int, backCols, backRows float64) float64 {
	x, y := float64(col)+0.5+backCols, float64(row)+0.5+backRows
	if o.laying == CellByCell { // free of the frames' rounding
		x, y = x+float64(o.dCol), y+float64(o.dRow)
	} else {
		x, y = o.onSurface(x, y)
	}
	return o.surface.Between(x, y) + o.rise - float64(o.ground.Z[row*o.ground.Stride+col])
}

// excesses is how much higher the surface is on each cell of the ground, row-major;
// NaN where either has no height.
func (o *overlay) excesses() []float32 {
	g := o.ground
	out := make([]float32, g.Cols*g.Rows)
	for i := range out {
		out[i] = float32(math.NaN())
	}
	if o.laying == GreatestInCell {
		o.greatest(out)
	}
	for r := range g.Rows {
		if o.laying == CellByCell {
			for c := range g.Cols {
				out[r*g.Cols+c] = float32(o.excess(c, r, 0, 0))
			}
			continue
		}
		alongRow(g, o.surface, o.shared, r, func(c int, x, y float64) {
			if i := r*g.Cols + c; out[i] != out[i] { // cells of a turned grid may hold no middle of a finer one
				out[i] = float32(o.surface.Between(x, y) + o.rise - float64(g.Z[r*g.Stride+c]))
			}
		})
	}
	return out
}

// greatest takes of the surface's cells in each of the ground's the one that stands
// highest over the ground under its own middle, so that a bare slope has no growth.
func (o *overlay) greatest(out []float32) {
	g, s := o.ground, o.surface
	for r := range s.Rows {
		z := s.Line(r)
		alongRow(s, g, o.shared, r, func(c int, x, y float64) {
			d := float32(float64(z[c]) + o.rise - g.Between(x, y)) // NaN beyond the ground and over a void
			if i := int(y)*g.Cols + int(x); d == d && !(out[i] >= d) {
				out[i] = d
			}
		})
	}
}
