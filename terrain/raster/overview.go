package raster

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// overviewStep is the lattice step of an overview's frame: its cells are many times
// those of the raster, and it is only drawn.
const overviewStep = 16

// Overview reads a window of a raster as at most so many cells, for drawing: no
// slope is to be taken from it, for GDAL samples heights, by its overviews where
// the raster has some. The grid counts cells of its own, from (0, 0) in the
// window's north-west corner.
func (r *Raster) Overview(ctx context.Context, w terrain.Window, cols, rows int) (*terrain.Grid, error) {
	w = w.In(r.Extent())
	if w.Empty() || cols < 1 || rows < 1 {
		return nil, fmt.Errorf("%s: an overview of no cells", r.Source.Path)
	}
	cols, rows = min(cols, w.Cols()), min(rows, w.Rows())
	stored := w
	if r.flip {
		stored.Row0, stored.Row1 = r.Source.Rows-w.Row1, r.Source.Rows-w.Row0
	}
	v, err := r.stored(ctx, stored, cols, rows)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.Source.Path, err)
	}
	r.toMetres(v)
	east, south := float64(w.Cols())/float64(cols), float64(w.Rows())/float64(rows)
	frame, err := terrain.NewFrame(overviewStep, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		own := make([][2]float64, len(cells))
		for i, c := range cells {
			own[i] = [2]float64{float64(w.Col0) + c[0]*east, float64(w.Row0) + c[1]*south}
		}
		return r.Locate(own)
	})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.Source.Path, err)
	}
	g := newGrid(terrain.NewWindow(0, 0, cols, rows), frame, nil)
	g.Z0 = max(base(v), -math.MaxInt32) // nothing but voids: any will do
	for row := range rows {
		line := v[row*cols:][:cols]
		if r.flip {
			line = v[(rows-1-row)*cols:][:cols]
		}
		for col, h := range line {
			g.Z[row*cols+col] = float32(h - float64(g.Z0))
		}
	}
	return g, nil
}

// WindowOf is the window of the raster's cells in which longitudes and latitudes
// lie; it may reach beyond the raster, and is empty where none can be placed.
func (r *Raster) WindowOf(lonLat [][2]float64) (terrain.Window, error) {
	cells, err := r.Cells(lonLat)
	if err != nil {
		return terrain.Window{}, err
	}
	cells = slices.DeleteFunc(cells, func(c [2]float64) bool { return c[0] != c[0] || c[1] != c[1] })
	if len(cells) == 0 {
		return terrain.Window{}, nil
	}
	lo, hi := cells[0], cells[0]
	for _, c := range cells[1:] {
		lo = [2]float64{min(lo[0], c[0]), min(lo[1], c[1])}
		hi = [2]float64{max(hi[0], c[0]), max(hi[1], c[1])}
	}
	const far = 1 << 30 // cells are counted in int32 by GDAL
	whole := func(v float64) int { return int(max(min(v, far), -far)) }
	return terrain.NewWindow(whole(math.Floor(lo[0])), whole(math.Floor(lo[1])), whole(math.Ceil(hi[0])), whole(math.Ceil(hi[1]))), nil
}
