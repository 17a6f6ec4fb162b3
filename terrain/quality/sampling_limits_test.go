package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Of many cells only some rows are looked at: every second from twice the number on.
func TestSurfacesOfManyCellsAreSampled(t *testing.T) {
	ridged := func(cols, rows int) *terrain.Grid { // two rows in three are no bump's: see every fourth, an even one
		return gridOf(t, cols, rows, 1, func(c, r int) float64 { return 100 + over(r%4 == 0) })
	}
	all, _ := findSurface(ridged(7, 299593), Stairs{}, false, nil) // 2^21 - 1 cells
	assert.InDelta(t, 0.25, all.Share, 1e-5, "a ridge bends by 2 m, beside it by 1 m")
	some, _ := findSurface(ridged(8, 262144), Stairs{}, false, nil)
	assert.Zero(t, some.Share, "odd rows alone")
}

// Of more than 64 lines some are looked at for bends, of more than 32 rows for usual steps.
func TestBendsAndStepsOfManyLinesAreSampled(t *testing.T) {
	rough := func(rows int) *terrain.Grid { // even rows bend, odd ones are level
		return gridOf(t, 40, rows, 1, func(c, r int) float64 { return 100 + over(r%2 == 0)*float64(c%3) })
	}
	assert.Positive(t, bends(rough(127), false, 1)[0], "every row")
	assert.Zero(t, bends(rough(128), false, 1)[0], "every second, from the first on")
	steps := func(rows int) float64 {
		return usualStep(gridOf(t, 40, rows, 1, func(c, r int) float64 { return 100 + float64(c)*(1+2*over(r%2 == 0)) }))
	}
	assert.Equal(t, 3.0, steps(63), "every row: 32 of 63 by 3 m")
	assert.Equal(t, 1.0, steps(64), "every second, from the first on")
}

// Two of three bands are not enough: a tile at the edge has fewer than four.
func TestOfFewerBandsAllAgree(t *testing.T) {
	for bands, found := range map[int]bool{3: true, 2: false} {
		g := gridOf(t, 256, 192, 2, func(c, r int) float64 {
			if r/64 < bands {
				return 100 + 3*float64(c/5%7)
			}
			return 100 + 0.01*float64(c*c%31)
		})
		_, ok := period(g, 0, 0, 256, 192, 1, false, quietBlocks, leastBlock)
		assert.Equal(t, found, ok, "%d bands", bands)
	}
}

// Ground too short for the third span is not judged, however smoothly it bends.
func TestShortGroundIsNotJudgedByItsBends(t *testing.T) {
	for n, smooth := range map[int]bool{16: false, 31: false, 32: true} {
		_, ok := bySmoothness(gridOf(t, n, n, 1, func(c, r int) float64 { return 100 + float64(c*c+r*r)/64 }))
		assert.Equal(t, smooth, ok, "%d cells", n)
	}
}

// A flat that is too small is in no mask, whatever else is.
func TestFlatsThatAreNoWaterLeaveTheMask(t *testing.T) {
	g := gridOf(t, 60, 60, 2.82, func(c, r int) float64 {
		switch {
		case c >= 5 && c < 10 && r >= 5 && r < 10: // 199 m²
			return 299
		case c >= 30 && c < 40 && r >= 30 && r < 40:
			return 298
		}
		return 301 + 0.001*float64(r*60+c)
	})
	w := waterOf(g, nil, false, resampling{}, nil)
	require.Len(t, w.List, 1)
	n := 0.0
	for _, in := range w.Mask(true) {
		n += over(in)
	}
	assert.Equal(t, 100.0, n)
	assert.Equal(t, 1.0, (&rim{1, 1}).lower(), "one cell around it, and that lies lower")
	assert.Zero(t, (&rim{}).lower())
}
