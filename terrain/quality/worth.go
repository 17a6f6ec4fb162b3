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

// ErrorM is the least standard deviation of the heights that what the grid shows
// allows, in metres, and what that is: heights in whole steps are rounded, by the deviation of
// an even spread over a step, its twelfth part's root; tree tops and roofs stand as high
// above the ground as they jut out. It is 0 where nothing is found. Once the context is done
// it ends with the context's error.
func (l *Look) ErrorM(ctx context.Context) (sigmaM float64, from string, err error) {
	if err := l.check(); err != nil {
		return 0, "", err
	}
	defer beside.Ended(&err)
	rough, surface := findSurface(l.grid, l.stairs, l.stepped, beside.NewWatch(ctx))
	switch {
	case surface && !(l.resampled && l.coarser.kind == DoubtBlocks): // blocks have edges
		return rough.BumpM, "the heights are those of tree tops and roofs, or as rough", nil
	case l.stepped:
		return l.stairs.QuantumM / math.Sqrt(12), "the heights come in whole steps of " + l.stairs.Unit, nil
	}
	return 0, "", nil
}
