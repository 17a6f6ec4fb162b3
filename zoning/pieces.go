package zoning

import (
	"cmp"
	"fmt"
	"slices"
)

// Pieces number the pieces of ground that cells are of, from 1, by runs in the order of the
// cells: cells in no run are of no piece.
type Pieces []PieceRun

// PieceRun is cells side by side, from one to before another, of one piece.
type PieceRun struct {
	From, To int32
	Piece    uint16
}

// At is the piece of a cell, 0 where it is of none.
func (p Pieces) At(cell int) uint16 {
	n, _ := slices.BinarySearchFunc(p, int32(cell), func(r PieceRun, cell int32) int { return cmp.Compare(r.To, cell+1) })
	if n < len(p) && p[n].From <= int32(cell) {
		return p[n].Piece
	}
	return 0
}

// check returns why pieces are not those of so many cells.
func (p Pieces) check(cells int) error {
	before := int32(0)
	for _, r := range p {
		if r.From < before || r.To <= r.From || int(r.To) > cells {
			return fmt.Errorf("a run from cell %d to before %d after one to before %d, of %d cells", r.From, r.To, before, cells)
		}
		before = r.To
	}
	return nil
}
