package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// disc reports whether a cell's middle lies within a radius, in cells.
func disc(c, r int, col, row, radius float64) bool {
	return math.Hypot(float64(c)-col, float64(r)-row) < radius
}

func TestWaterIsEveryCellOfThePond(t *testing.T) {
	pond := func(c, r int) bool { return disc(c, r, 120, 80, 30) && !disc(c, r, 120, 80, 8) }
	g := gentle(t, 250, 200, 1.5, nil)
	flatten(g, pond, 0.2)
	w := must(Water(g))
	require.Len(t, w.List, 1)
	cells, mask := 0, w.Mask(true)
	for r := range g.Rows {
		for c := range g.Cols {
			require.Equal(t, pond(c, r), mask[r*g.Cols+c], "column %d, row %d", c, r)
			if pond(c, r) {
				cells++
			}
		}
	}
	p := w.List[0]
	assert.Equal(t, cells, p.Cells)
	assert.Equal(t, cells, w.Cells)
	assert.InDelta(t, 1.5*1.5*float64(cells), w.AreaM2, 1e-6)
	assert.Equal(t, g.At(120, 60), p.HeightM)
	assert.False(t, p.Doubtful)
	assert.Less(t, p.LowerRim, 0.1)
	assert.Contains(t, kinds(must(Doubts(g, true))), DoubtWater)
}

func TestWaterOfLessThanTheLeastSizeIsLeft(t *testing.T) {
	for _, c := range []struct {
		cell  float64
		side  int
		water bool
	}{{1, 14, false}, {1, 15, true}, {10, 4, false}, {10, 5, true}} {
		g := gentle(t, 100, 100, c.cell, nil)
		flatten(g, func(col, r int) bool { return col >= 40 && col < 40+c.side && r >= 40 && r < 40+c.side }, 0.2)
		assert.Equal(t, c.water, len(must(Water(g)).List) == 1, "%d cells of %g m on a side", c.side, c.cell)
	}
}

// Patches that touch at corners only are two; a ring closes on itself.
func TestWaterIsJoinedFourWays(t *testing.T) {
	g := gentle(t, 120, 120, 2, nil)
	flatten(g, func(c, r int) bool {
		return c >= 20 && c < 50 && r >= 20 && r < 50 || c >= 50 && c < 80 && r >= 50 && r < 80
	}, 0)
	assert.Len(t, must(Water(g)).List, 2)
	g = gentle(t, 120, 120, 2, nil)
	flatten(g, func(c, r int) bool { return r >= 20 && r < 80 && c >= 20 && c < 80 && (c%2 == 0 || r == 79) }, 0)
	w := must(Water(g))
	require.Len(t, w.List, 1, "the teeth meet in the last row only")
	assert.Equal(t, 30*60+30, w.Cells)
}

func TestGroundThatFallsAwayIsDoubtfulWater(t *testing.T) {
	g := gentle(t, 100, 100, 2, nil)
	flatten(g, func(c, r int) bool { return disc(c, r, 50, 50, 15) }, -7) // a pad on a fill
	w := must(Water(g))
	require.Len(t, w.List, 1)
	assert.True(t, w.List[0].Doubtful)
	assert.Greater(t, w.List[0].LowerRim, 0.9)
	assert.NotContains(t, w.Mask(false), true)
	assert.Contains(t, w.Mask(true), true)
}

// Treads of gentle ground in whole metres are dead flat and hundreds of cells
// large, and no water.
func TestTreadsOfStairsAreNoWater(t *testing.T) {
	for _, quantum := range []float64{1, 0.3048, 0.1} {
		whole := func(h float64, _, _ int) float64 { return math.Round(h/quantum) * quantum }
		g := gentle(t, 400, 400, 2, whole)
		large := 0
		for _, n := range findFlats(g, nil).cells() {
			large = max(large, int(n))
		}
		if quantum == 1 {
			require.Greater(t, large, 400, "a tread")
		}
		assert.Empty(t, must(Water(g)).List, "steps of %g m", quantum)
		lake := gentle(t, 400, 400, 2, func(h float64, c, r int) float64 {
			if disc(c, r, 200, 200, 80) {
				h = 310
			}
			return whole(h, c, r)
		})
		w := must(Water(lake))
		require.Len(t, w.List, 1, "steps of %g m", quantum)
		assert.True(t, w.List[0].Doubtful)
		assert.InDelta(t, math.Pi*160*160, w.AreaM2, 6000)
	}
}

// Left out as no water, a quarry lake and an undeclared void were mapped as
// perfect ground.
func TestAVoidsPlateauIsNoGround(t *testing.T) {
	g := gentle(t, 200, 200, 2, func(h float64, c, r int) float64 {
		if disc(c, r, 100, 100, 20) {
			return 0
		}
		return h
	})
	w := must(Water(g))
	require.Len(t, w.List, 1)
	assert.True(t, w.List[0].Void)
	assert.False(t, w.List[0].Doubtful)
	zeros := 0
	for i, gone := range w.Mask(false) {
		zero := g.At(i%200, i/200) == 0
		assert.Equal(t, zero, gone)
		if zero {
			zeros++
		}
	}
	assert.Equal(t, zeros, w.Cells)
	assert.Equal(t, []string{DoubtPlateau}, kinds(must(Doubts(g, true))), "told once")
}

// A river flattened with a fall of more than a pond's is not found: the package says so.
func TestATiltedRiverIsNotWater(t *testing.T) {
	g := gentle(t, 200, 200, 2, func(h float64, c, r int) float64 {
		if r > 90 && r < 110 {
			return 295 - 0.006*float64(c)
		}
		return h
	})
	assert.Empty(t, must(Water(g)).List)
}

// Each cell of a coarser raster is a flat of many fine ones.
func TestBlocksOfACoarserRasterAreNoWater(t *testing.T) {
	assert.Empty(t, must(Water(resampled(t, "nearest", 10))).List)
	assert.Equal(t, []string{DoubtBlocks}, kinds(must(Doubts(resampled(t, "nearest", 10), true))))
	assert.Equal(t, []string{DoubtFacets}, kinds(must(Doubts(resampled(t, "bilinear", 6), true))))
}

func TestRunsAreTheCellsOfThePatches(t *testing.T) {
	g := gentle(t, 300, 200, 2, nil)
	flatten(g, func(c, r int) bool { return disc(c, r, 80, 100, 30) }, 0.5)
	flatten(g, func(c, r int) bool { return disc(c, r, 220, 90, 25) }, 0.5)
	w := must(Water(g))
	require.Len(t, w.List, 2)
	got := make([]bool, 300*200)
	cells := map[int]int{}
	w.Runs(func(p Patch, row, c0, c1 int) {
		cells[p.Cells] += c1 - c0
		for c := c0; c < c1; c++ {
			got[row*300+c] = true
		}
	})
	assert.Equal(t, w.Mask(true), got)
	for all, n := range cells {
		assert.Equal(t, all, n)
	}
}
