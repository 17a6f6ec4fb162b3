package write_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// The first lot reaches from 1.3 to 15.5 columns and from 1.2 to 18.2 rows, the
// second on to 28.7: a corner cell has 0.7 × 0.8 of itself in the lots, row 18 only
// 0.2, and column 15 half in either. The hole holds 0.7, 1 and 0.8 of columns 3 to
// 5, and 0.8, 1 and 0.1 of rows 15 to 17.
func TestCellsOfTheMap(t *testing.T) {
	m := newMap(t)
	bands, pct := must(write.BandCells(m.zm, m.cells)), must(write.SlopeCells(m.zm, m.field))
	in := func(col, row int) bool {
		inHole := col >= 3 && col <= 5 && (row == 15 || row == 16)
		return col >= 1 && col <= 28 && row >= 1 && row <= 17 && !inHole
	}
	counts := map[uint8]int{}
	for i, b := range bands {
		col, row := i%m.cells.Cols, i/m.cells.Cols
		counts[b]++
		if !in(col, row) {
			assert.EqualValues(t, write.Outside, b, "column %d, row %d", col, row)
			assert.True(t, math.IsNaN(float64(pct[i])))
			continue
		}
		assert.EqualValues(t, zoning.Fleet(fleet).Band(m.cells.Masks[i]), b, "column %d, row %d", col, row)
		want := m.field.Pct(col, row)
		if math.IsNaN(want) {
			assert.True(t, math.IsNaN(float64(pct[i])))
		} else {
			assert.InDelta(t, want, pct[i], 1e-5)
		}
	}
	assert.Equal(t, 1, counts[4], "the void")
	assert.Equal(t, 3, counts[5], "no-go")
	assert.Len(t, counts, 7)
}

func TestCellsBeyondTheWindow(t *testing.T) {
	m := newMap(t)
	cells := *m.cells
	cells.Rows = 4 // the lots reach on
	cells.Masks = cells.Masks[:4*cells.Cols]
	assert.Len(t, must(write.BandCells(m.zm, &cells)), 4*cells.Cols)
}
