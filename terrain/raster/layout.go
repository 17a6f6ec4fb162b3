package raster

import (
	"math/bits"

	"github.com/acreband/acreband/terrain"
)

// layout is how a raster that is written whole lies in tiles and overviews.
type layout struct {
	Parting
	tileCols, tileRows int
	factors            []int // of the overviews
}

// A tile holds as many cells as one of 512 × 512. Those of values are as wide as may be:
// what packs them is told anew for each row (see [geotiff.Packer.Values]).
const (
	tileSide      = 512
	mostTileCols  = 4096
	leastTileRows = tileSide * tileSide / mostTileCols
)

// newLayout lays out a raster of classes, or of values.
func newLayout[T cell](p Parting) layout {
	l := layout{Parting: p}
	l.tileCols, l.tileRows = tileFor[T](p.Cols)
	if p.PieceCols%l.tileCols != 0 && p.Cols > p.PieceCols {
		l.tileCols = p.PieceCols
	}
	if p.PieceRows%l.tileRows != 0 {
		l.tileRows = p.PieceRows
	}
	// An overview of half the cells' side would be a quarter of a file of noisy slopes;
	// of classes it is small, and draws faster.
	factor := 2
	if isFloat[T]() {
		factor = 4
	}
	for ; 2*max(p.Cols, p.Rows)/factor > tileSide; factor *= 2 {
		l.factors = append(l.factors, factor)
	}
	return l
}

// tileFor is the tile of a level of so many columns.
func tileFor[T cell](cols int) (tileCols, tileRows int) {
	if !isFloat[T]() {
		return tileSide, tileSide
	}
	tileCols = min(roundUp(cols, 16), mostTileCols)
	narrower := bits.Len(uint(mostTileCols/tileCols)) - 1 // by how many halves
	return tileCols, min(leastTileRows<<narrower, tileSide)
}

// window is a tile's, by its place among tiles.
func (l layout) window(col, row int) terrain.Window {
	return terrain.Window{Col0: col * l.tileCols, Row0: row * l.tileRows, Col1: (col + 1) * l.tileCols, Row1: (row + 1) * l.tileRows}
}

// tilesOf is the places of a piece's tiles.
func (l layout) tilesOf(at terrain.Window) terrain.Window {
	return terrain.Window{Col0: at.Col0 / l.tileCols, Row0: at.Row0 / l.tileRows,
		Col1: (at.Col1 + l.tileCols - 1) / l.tileCols, Row1: (at.Row1 + l.tileRows - 1) / l.tileRows}
}

// reduced is a window's in an overview.
func reduced(w terrain.Window, factor int) terrain.Window {
	up := func(n int) int { return (n + factor - 1) / factor }
	return terrain.Window{Col0: up(w.Col0), Row0: up(w.Row0), Col1: up(w.Col1), Row1: up(w.Row1)}
}
