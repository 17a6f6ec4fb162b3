package quality

import (
	"context"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Coarser is the raster that a grid, or some of it, was drawn from.
type Coarser struct {
	CellM [2]float64 // its cells along rows and down columns, in metres
	Span  [2]int     // the same in cells of the grid, at least 1
	// Tiles are the windows in which that was found, counted from the first cell of the
	// grid; nil is the whole grid.
	Tiles []terrain.Window
}

// Coarser reports whether the grid was drawn from a raster at least some three times as
// coarse, by what [DoubtBlocks], [DoubtFacets] and [DoubtSmooth] go by. Its Tiles are nil where
// it was found on half of the grid or more.
func (l *Look) Coarser() (Coarser, bool) {
	if l == nil || !l.resampled {
		return Coarser{}, false
	}
	c := Coarser{CellM: l.coarser.CellM}
	w, h := l.grid.MiddleCellM()
	for i, cell := range [2]float64{w, h} {
		c.Span[i] = max(1, int(math.Round(c.CellM[i]/cell)))
	}
	if 2*l.coarser.Cells < l.grid.Cols*l.grid.Rows {
		c.Tiles = l.coarser.tiles
	}
	return c, true
}

// SurfaceM is how high what the grid shows juts out, in metres, where that is tree tops
// and roofs rather than bare ground, by what [DoubtSurface] goes by: as far from the ground
// its heights are. It is 0 elsewhere. Once the context is done it ends with the context's error.
func (l *Look) SurfaceM(ctx context.Context) (high float64, err error) {
	if err := l.check(); err != nil {
		return 0, err
	}
	defer beside.Ended(&err)
	rough, surface := l.surface(beside.NewWatch(ctx))
	if !surface || l.resampled && l.coarser.kind == DoubtBlocks { // blocks have edges
		return 0, nil
	}
	return rough.BumpM, nil
}

// Stairs reports whether the heights come in whole steps, and in which.
func (l *Look) Stairs() (Stairs, bool) { return l.stairs, l.stepped }
