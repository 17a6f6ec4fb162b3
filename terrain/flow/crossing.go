package flow

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/terrain/runs"
)

// Crossings counts how often a way comes upon a drainage line. The way is a list
// of cells, counted row by row, with straight driving between the middles
// of one and the next, of whatever length. Every stretch of wet cells counts
// once, be it driven across or along, and so does one at the way's start. Cells off the grid are an error.
func (d *Drainage) Crossings(way []int) (int, error) {
	if d == nil || d.Cols < 1 || d.Rows < 1 {
		return 0, errors.New("the drainage is that of no cells; make it with Drain")
	}
	if err := runs.Check(d.Wet, d.Cols, d.Rows); err != nil {
		return 0, fmt.Errorf("of wet cells there is %w", err)
	}
	for _, cell := range way {
		if cell < 0 || cell >= d.Cols*d.Rows {
			return 0, fmt.Errorf("the way comes to cell %d; the grid's are 0 to %d", cell, d.Cols*d.Rows-1)
		}
	}
	n, wet := 0, false
	see := func(cell int) {
		was := wet
		if wet = runs.Has(d.Wet, cell); wet && !was {
			n++
		}
	}
	for k, to := range way {
		if k > 0 {
			d.between(way[k-1], to, see)
		}
		see(to)
	}
	return n, nil
}

// between walks the cells that the straight line between the middles of two cells
// goes through, in order, the two left out. Of cells that it only touches at a
// corner none is seen: marks joined side by side are not passed there.
func (d *Drainage) between(from, to int, see func(cell int)) {
	col, row := from%d.Cols, from/d.Cols
	cols, rows := to%d.Cols-col, to/d.Cols-row
	dCol, dRow := 1, 1
	if cols < 0 {
		cols, dCol = -cols, -1
	}
	if rows < 0 {
		rows, dRow = -rows, -1
	}
	for c, r := 0, 0; ; {
		// Which side is met next: both are (2k+1)/2 steps away, in shares of the way.
		switch next := (2*c+1)*rows - (2*r+1)*cols; {
		case next < 0:
			c, col = c+1, col+dCol
		case next > 0:
			r, row = r+1, row+dRow
		default:
			c, col, r, row = c+1, col+dCol, r+1, row+dRow
		}
		if c >= cols && r >= rows {
			return
		}
		see(row*d.Cols + col)
	}
}
