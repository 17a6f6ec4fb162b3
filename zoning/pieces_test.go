package zoning

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Cells 2 to 4 are of piece 7, right after them cell 5 of piece 1, and the last of 10 of piece 7.
func TestPiecesOfCells(t *testing.T) {
	p := Pieces{{2, 5, 7}, {5, 6, 1}, {9, 10, 7}}
	for cell, want := range []uint16{0, 0, 7, 7, 7, 1, 0, 0, 0, 7, 0} {
		assert.Equal(t, want, p.At(cell), "cell %d", cell)
	}
	assert.Zero(t, Pieces(nil).At(0))
}

// Runs follow one another on the cells that there are.
func TestPiecesThatAreNone(t *testing.T) {
	assert.NoError(t, Pieces{{0, 5, 7}, {5, 10, 1}}.check(10))
	assert.NoError(t, Pieces(nil).check(0))
	for _, p := range []Pieces{{{-1, 2, 1}}, {{3, 3, 1}}, {{4, 3, 1}}, {{0, 5, 1}, {4, 6, 1}}, {{5, 6, 1}, {0, 1, 1}}, {{5, 11, 1}}} {
		assert.Error(t, p.check(10), "%v", p)
	}
	cells := Cells{Pieces: []Pieces{nil, {{5, 11, 1}}}}
	cells.Cols, cells.Rows, cells.Masks = 5, 2, make([]Mask, 10)
	cells.Frame = plane(t, 5, 2, 1, 0, 0, 0).Frame
	assert.ErrorContains(t, cells.Check(), "of Pieces there is, for machine 2, a run from cell 5 to before 11 after one to before 0, of 10 cells")
}
