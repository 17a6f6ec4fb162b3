package coverage

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// By hand: 10 m × 10.5 m, columns 5 to 14, the last row by half, the window ending at
// column 12 so that two columns are beyond it.
func TestAcresBySet(t *testing.T) {
	g, cells := flatCells(t, 20)
	for i := range cells.Masks {
		cells.Masks[i] = 1
		if i/20 >= 12 {
			cells.Masks[i] = 3
		}
	}
	cut := &Window{Cols: 13, Rows: 20, Frame: cells.Frame}
	for r := range 20 {
		cut.Masks = append(cut.Masks, cells.Masks[r*20:r*20+13]...)
	}
	cov, err := Cut(cut, orb.MultiPolygon{{{metre(g, 5, 5), metre(g, 5, 15.5), metre(g, 15, 15.5), metre(g, 15, 5), metre(g, 5, 5)}}})
	require.NoError(t, err)
	assert.InDelta(t, 105, cov.Cells(), 1e-2)
	assert.InDelta(t, 105/terrain.SquareMetresPerAcre, cov.Acres(), 1e-5)
	acres := cov.AcresBySet(cut, 5, func(m Mask) uint64 {
		switch m {
		case Unknown:
			return 1 << 2
		case 3:
			return 1<<0 | 1<<1
		}
		return 1 << 0
	})
	for k, cells := range []float64{84, 28, 21, 0, 0} { // 8 columns of the window: 7 rows of label 1, 3½ of label 3
		assert.InDelta(t, cells/terrain.SquareMetresPerAcre, acres[k], 1e-5, k)
	}
	var sum float64
	cov.EachCell(func(_, _ int, share float64) { sum += share })
	assert.Equal(t, sum, cov.Cells(), "to the last bit")
}
