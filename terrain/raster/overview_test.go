package raster

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

func TestOverviewOfEveryCellIsTheHeights(t *testing.T) {
	d := hillDEM()
	south := d
	south.grid = southUp(d.grid, hillRows)
	south.stored = func(c, r int) float64 { return hill(c, hillRows-1-r) }
	for name, d := range map[string]dem{"north.tif": d, "south.tif": south} {
		r := opened(t, d.write(t, name), Options{})
		g, err := r.Overview(t.Context(), terrain.NewWindow(5, 7, 25, 37), 1000, 1000)
		require.NoError(t, err)
		require.Equal(t, [2]int{20, 30}, [2]int{g.Cols, g.Rows}, "no more cells than there are")
		for row := range g.Rows {
			for col := range g.Cols {
				require.InDelta(t, hill(5+col, 7+row), g.At(col, row), 1e-4, name)
			}
		}
		// Each cell lies where the raster's own does, by PROJ.
		want, err := r.Locate([][2]float64{{5 + 12.25, 7 + 20.75}})
		require.NoError(t, err)
		lon, lat := g.Frame.LonLat(12.25, 20.75)
		assert.InDelta(t, want[0][0], lon, 1e-8)
		assert.InDelta(t, want[0][1], lat, 1e-8)
	}
}

func TestOverviewOfFewerCells(t *testing.T) {
	d := hillDEM()
	void := -9999.0
	d.nodata = &void
	d.stored = func(c, r int) float64 {
		if c < 8 {
			return void
		}
		return hill(c, r)
	}
	r := opened(t, d.write(t, "hill.tif"), Options{})
	g, err := r.Overview(t.Context(), r.Extent(), hillCols/4, hillRows/4)
	require.NoError(t, err)
	assert.Equal(t, [2]int{hillCols / 4, hillRows / 4}, [2]int{g.Cols, g.Rows})
	assert.True(t, math.IsNaN(g.At(0, 0)), "voids stay voids")
	lowest, highest := math.Inf(1), math.Inf(-1)
	for row := range 4 {
		for col := range 4 {
			h := hill(16+col, 20+row)
			lowest, highest = min(lowest, h), max(highest, h)
		}
	}
	assert.GreaterOrEqual(t, g.At(4, 5), lowest-1e-4)
	assert.LessOrEqual(t, g.At(4, 5), highest+1e-4)
	want, err := r.Locate([][2]float64{{16, 20}})
	require.NoError(t, err)
	lon, lat := g.Frame.LonLat(4, 5)
	assert.InDelta(t, want[0][0], lon, 1e-7)
	assert.InDelta(t, want[0][1], lat, 1e-7)

	_, err = r.Overview(t.Context(), terrain.NewWindow(100, 100, 200, 200), 10, 10)
	assert.ErrorContains(t, err, "an overview of no cells")
}

func TestWindowOfAView(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	at, err := r.Locate([][2]float64{{3.5, 4.5}, {20.5, 4.5}, {20.5, 30.5}})
	require.NoError(t, err)
	w, err := r.WindowOf(at)
	require.NoError(t, err)
	assert.Equal(t, terrain.NewWindow(3, 4, 21, 31), w)
	w, err = r.WindowOf(nil)
	require.NoError(t, err)
	assert.True(t, w.Empty())
}

func TestCellsOfOneReadingAreBounded(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{MostCells: 100})
	_, err := Read(t.Context(), []*Raster{r}, patch(t, r, 10.5, 10.5, 30.5, 30.5))
	assert.ErrorIs(t, err, ErrTooLarge)
	_, err = Read(t.Context(), []*Raster{r}, patch(t, r, 10.5, 10.5, 13.5, 13.5))
	assert.NoError(t, err)
}
