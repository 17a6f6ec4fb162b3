package raster

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// tile is part of the hill's raster, written as one of its own.
func tile(w terrain.Window) dem {
	d := hillDEM()
	d.cols, d.rows = w.Cols(), w.Rows()
	d.grid[0] += 10 * float64(w.Col0)
	d.grid[3] -= 10 * float64(w.Row0)
	d.stored = func(c, r int) float64 { return hill(c+w.Col0, r+w.Row0) }
	return d
}

func TestTilesOfOneGridJoin(t *testing.T) {
	whole, want := readWhole(t, hillDEM().write(t, "hill.tif"), Options{})
	place := within(t, whole)
	south := tile(terrain.NewWindow(20, 17, hillCols, hillRows)) // stored from the south
	north := south.stored
	south.stored = func(c, r int) float64 { return north(c, south.rows-1-r) }
	south.grid = southUp(south.grid, south.rows)
	tiles := []*Raster{
		opened(t, tile(terrain.NewWindow(0, 0, 20, 17)).write(t, "nw.tif"), Options{}),
		opened(t, tile(terrain.NewWindow(20, 0, hillCols, 17)).write(t, "ne.tif"), Options{}),
		opened(t, tile(terrain.NewWindow(0, 17, 20, hillRows)).write(t, "sw.tif"), Options{}),
		opened(t, south.write(t, "se.tif"), Options{}),
	}
	for _, order := range [][]int{{0, 1, 2, 3}, {3, 2, 1, 0}, {1, 3, 0, 2}} {
		var rasters []*Raster
		for _, i := range order {
			rasters = append(rasters, tiles[i])
		}
		got, err := Read(t.Context(), rasters, place)
		require.NoError(t, err)
		// A lattice is anchored to the first tile: its metric agrees to 2e-6.
		mustMatch(t, want.Grid, got.Grid, 0, 1e-4)
		assert.Len(t, got.Sources, 4)
		assert.Empty(t, got.Warnings)
		lonLat := toDegrees(t, "EPSG:26916")(740_333, 4_019_777)
		col, row := got.Grid.Frame.Cell(lonLat[0], lonLat[1])
		assert.InDelta(t, 33.3, col-float64(got.Grid.Col0), 3e-4)
		assert.InDelta(t, 22.3, row-float64(got.Grid.Row0), 3e-4)
	}

	// Of four tiles, only those around the place are read.
	few, err := Read(t.Context(), tiles, patch(t, whole, 30.5, 4.5, 40.5, 8.5))
	require.NoError(t, err)
	require.Len(t, few.Sources, 1)
	assert.Equal(t, tiles[1].Source.Path, few.Sources[0].Path)
}

// Where tiles overlap the first by name wins, in whatever order they are given, and its voids
// are filled from the next.
func TestOverlappingTiles(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	a, b := tile(terrain.NewWindow(0, 0, 30, hillRows)), tile(terrain.NewWindow(20, 0, hillCols, hillRows))
	a.nodata = number(-9999)
	a.stored = pitted(-9999) // pits at (5, 5), (6, 5) and (20, 30)
	b.stored = func(c, r int) float64 { return hill(c+20, r) + 1 }
	first, second := opened(t, a.write(t, "a.tif"), Options{}), opened(t, b.write(t, "b.tif"), Options{})

	e, err := Read(t.Context(), []*Raster{first, second}, within(t, whole))
	require.NoError(t, err)
	g := e.Grid
	assert.Equal(t, hill(25, 8), g.At(25, 8), "the first wins")
	assert.Equal(t, hill(31, 8)+1, g.At(31, 8))
	assert.Equal(t, hill(20, 30)+1, g.At(20, 30), "its void is filled")
	assert.True(t, math.IsNaN(g.At(5, 5)), "a void of all is a void")
	assert.Equal(t, 2, g.Voids())

	again, err := Read(t.Context(), []*Raster{second, first}, within(t, whole))
	require.NoError(t, err)
	mustMatch(t, g, again.Grid, 0, 0)
	assert.Equal(t, e.Sources, again.Sources)
}

// coarseHills is the hill on cells twice as wide.
func coarseHills() dem {
	d := hillDEM()
	d.cols, d.rows, d.grid = 24, 20, northUp(740_000, 4_020_000, 20)
	d.stored = func(c, r int) float64 { return hill(2*c, 2*r) }
	return d
}

// A raster on another grid changes nothing where the finest one has heights.
func TestRastersOnOtherGridsAreNotNeeded(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	place := patch(t, whole, 5.5, 5.5, 40.5, 30.5)
	want, err := Read(t.Context(), []*Raster{whole}, place)
	require.NoError(t, err)
	coarse := coarseHills()
	shifted := hillDEM()
	shifted.grid[0] += 4
	turned := hillDEM()
	turned.grid[2], turned.grid[4] = 0.1, 0.1
	elsewhere := hillDEM()
	elsewhere.crs = "EPSG:32616" // the same numbers in another datum
	far := hillDEM()
	far.grid = northUp(300_000, 4_500_000, 7)
	for name, d := range map[string]dem{"coarser": coarse, "shifted": shifted, "turned": turned, "elsewhere": elsewhere, "far": far} {
		t.Run(name, func(t *testing.T) {
			other := opened(t, d.write(t, "other-"+name+".tif"), Options{}) // by name after the hill
			got, err := Read(t.Context(), []*Raster{whole, other}, place)
			require.NoError(t, err)
			mustMatch(t, want.Grid, got.Grid, 0, 0)
			require.Len(t, got.Sources, 1)
			if name == "coarser" { // the others hold the same heights, or none of the place
				require.Len(t, got.Warnings, 1)
				assert.Contains(t, got.Warnings[0], whole.Source.Path+" before "+other.Source.Path+" (finer cells)")
			} else {
				assert.Empty(t, got.Warnings)
			}
			assert.Nil(t, got.From)
			assert.Nil(t, got.Stepped)
		})
	}
}

// The finest grid, of equals the one that covers most; then what fills it.
func TestWhichGridIsRead(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	place := within(t, whole)
	coarse := coarseHills()
	degrees := dem{cols: 200, rows: 200, grid: northUp(-84.35, 36.32, 1.0/3600), crs: "EPSG:4269"}
	degrees.stored = func(c, r int) float64 {
		at, err := whole.Cells([][2]float64{{-84.35 + (float64(c)+0.5)/3600, 36.32 - (float64(r)+0.5)/3600}})
		require.NoError(t, err)
		return hill(int(math.Floor(at[0][0])), int(math.Floor(at[0][1])))
	}
	big := opened(t, coarse.write(t, "coarse.tif"), Options{})
	other := opened(t, degrees.write(t, "degrees.tif"), Options{})
	half := opened(t, tile(terrain.NewWindow(0, 0, 24, hillRows)).write(t, "half.tif"), Options{})
	again := opened(t, tile(terrain.NewWindow(0, 0, 24, hillRows)).write(t, "again.tif"), Options{})
	beside := hillDEM()
	beside.grid[0] += 4
	wide := opened(t, beside.write(t, "wide.tif"), Options{})

	for _, c := range []struct {
		name    string
		rasters []*Raster
		want    []*Raster
	}{
		{"the finest of three", []*Raster{big, other, whole}, []*Raster{whole}},
		{"whatever their order", []*Raster{whole, big, other}, []*Raster{whole}},
		{"the finer, though it covers less", []*Raster{big, half}, []*Raster{half, big}},
		{"the wider of equals", []*Raster{half, wide, big}, []*Raster{wide}},
		{"one piece given twice is still half", []*Raster{half, again, wide, big}, []*Raster{wide}},
	} {
		t.Run(c.name, func(t *testing.T) {
			e, err := Read(t.Context(), c.rasters, place)
			require.NoError(t, err)
			require.Len(t, e.Sources, len(c.want))
			for i := range c.want {
				assert.Equal(t, c.want[i].Source.Path, e.Sources[i].Path)
			}
			assert.False(t, math.IsNaN(must(slope.Of(e.Grid)).Pct(3, 3)))
		})
	}
}

func TestNoRasters(t *testing.T) {
	_, err := Read(t.Context(), nil, nil)
	assert.ErrorIs(t, err, ErrOffRaster)
	whole := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	_, err = Read(t.Context(), []*Raster{whole}, nil)
	assert.ErrorIs(t, err, ErrOffRaster)
}

// Cells counted one by one.
func TestCoverage(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 300 {
		w := terrain.NewWindow(0, 0, 1+rng.IntN(9), 1+rng.IntN(9))
		var parts []terrain.Window
		for range rng.IntN(5) {
			c, r := rng.IntN(12)-3, rng.IntN(12)-3
			parts = append(parts, terrain.NewWindow(c, r, c+rng.IntN(6), r+rng.IntN(6)))
		}
		cells := 0
		for r := range w.Rows() {
			for c := range w.Cols() {
				if slices.ContainsFunc(parts, func(p terrain.Window) bool { return c >= p.Col0 && c < p.Col1 && r >= p.Row0 && r < p.Row1 }) {
					cells++
				}
			}
		}
		assert.Equal(t, float64(cells)/float64(w.Cols()*w.Rows()), coverage(w, parts), "%v in %v", parts, w)
	}
}
