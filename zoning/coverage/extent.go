package coverage

// In come rings; out goes the mesh around them, or why it would take too much.

import (
	"fmt"
	"math"
)

// What one cut may take. The parcels of a county have thousands of cells on their
// boundary; a corner that slipped makes millions of a file of a hundred bytes.
const (
	maxCutCells    = 1 << 29 // cells of the window
	maxBeyondCells = 1 << 26 // those beyond the window of masks, where no slope is known
	maxEdgeCells   = 1 << 19 // cells that edges pass through, each counted for every edge
	maxTries       = 1 << 26 // pairs of what lies in one cell, see work.try
)

// extent is the box of the cells that rings touch, in cell coordinates, and how many
// edges pass through them, no more than a few counted twice.
type extent struct {
	c0, r0, c1, r1 float64
	passed         float64
}

// extentOf measures rings without going through their cells.
func (m *mesh) extentOf(rings [][]Vertex) (extent, error) {
	e := extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1), 0}
	add := func(c chord) bool {
		c0, r0, c1, r1 := c.box()
		e.c0, e.r0, e.c1, e.r1 = min(e.c0, c0), min(e.r0, r0), max(e.c1, c1), max(e.r1, r1)
		e.passed += c1 - c0 + r1 - r0 + 1
		return e.passed <= maxEdgeCells // not where a place is no number, either
	}
	for _, ring := range rings {
		for i, v := range ring {
			if !m.chords(v, ring[(i+1)%len(ring)], add) {
				return e, fmt.Errorf("%w: it passes through more than %d", ErrTooFine, maxEdgeCells)
			}
		}
	}
	return e, nil
}

// meshAround is the mesh over the cells that rings touch, with a margin that
// stays untouched.
func meshAround(cells *Window, rings [][]Vertex, unit float64) (mesh, error) {
	const margin = 2
	m := mesh{frame: cells.Frame, unit: unit}
	e, err := m.extentOf(rings)
	if err != nil {
		return m, err
	}
	cols, rows := e.c1-e.c0+1+2*margin, e.r1-e.r0+1+2*margin
	if cols*rows > maxCutCells {
		return m, fmt.Errorf("%w: %.0f × %.0f", ErrTooLarge, cols, rows)
	}
	if beyond := cols*rows - e.over(cells); beyond > maxBeyondCells {
		return m, fmt.Errorf("%w: %.0f × %.0f, most of them beyond the elevation", ErrTooLarge, cols, rows)
	}
	m.col0, m.row0, m.cols, m.rows = int(e.c0)-margin, int(e.r0)-margin, int(cols), int(rows)
	nw, ne, sw := m.node(m.cols/2, m.rows/2), m.node(m.cols/2+1, m.rows/2), m.node(m.cols/2, m.rows/2+1)
	if max(abs(ne.X-nw.X), abs(ne.Y-nw.Y)) < minCellUnits || max(abs(sw.X-nw.X), abs(sw.Y-nw.Y)) < minCellUnits || orient(nw, ne, sw) >= 0 {
		return m, ErrCellSize
	}
	return m, nil
}

// over is how many of an extent's cells lie in the window of masks.
func (e extent) over(cells *Window) float64 {
	wide := min(e.c1+1, float64(cells.Col0+cells.Cols)) - max(e.c0, float64(cells.Col0))
	tall := min(e.r1+1, float64(cells.Row0+cells.Rows)) - max(e.r0, float64(cells.Row0))
	return max(wide, 0) * max(tall, 0)
}
