package raster

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// coarseHill lies around the hill's raster, cells of 30 m that share no line
// with its 10 m ones, in some CRS that has metres.
func coarseHill(rise float64) dem {
	return dem{cols: 26, rows: 24, grid: northUp(739_887, 4_020_123, 30), crs: "EPSG:26916", stored: func(c, r int) float64 {
		return rise + hill(c*3, r*3)
	}}
}

// Interpolated heights against those that GDAL's warper makes with its bilinear
// kernel, the transform exact (-et 0): in the raster's own CRS and out of
// another.
func TestInterpolatedAsGDALDoes(t *testing.T) {
	lonLat := toDegrees(t, "EPSG:26916")
	corner := lonLat(739_800, 4_020_200)
	degrees := dem{cols: 60, rows: 60, grid: northUp(corner[0], corner[1], 1.0/3600), crs: "EPSG:4269", stored: hill}
	turned := coarseHill(0)
	turned.grid = [6]float64{739_700, 29, 7, 4_020_150, 7, -29}
	turned.cols, turned.rows = 40, 40
	for name, d := range map[string]dem{"meters": coarseHill(0), "degrees": degrees, "turned": turned} {
		t.Run(name, func(t *testing.T) {
			file := d.write(t, "coarse.tif")
			ds, err := godal.Open(file)
			require.NoError(t, err)
			defer ds.Close()
			out := t.TempDir() + "/warped.tif"
			warped, err := ds.Warp(out, []string{"-t_srs", "EPSG:26916", "-te", "740000", "4019600", "740480", "4020000", "-tr", "10", "10",
				"-r", "bilinear", "-et", "0", "-ot", "Float32", "-dstnodata", "-9999"}, godal.ErrLogger(quiet))
			require.NoError(t, err)
			require.NoError(t, warped.Close())
			_, want := readWhole(t, out, Options{})

			fine := hillDEM()
			fine.nodata = number(-9999)
			fine.stored = func(c, r int) float64 {
				if c == 0 && r == 0 {
					return hill(c, r)
				}
				return -9999
			}
			base := opened(t, fine.write(t, "fine.tif"), Options{})
			got, err := Read(t.Context(), []*Raster{opened(t, file, Options{}), base}, within(t, base))
			require.NoError(t, err)
			require.Len(t, got.Sources, 2)
			compared := 0
			for r := range hillRows {
				for c := range hillCols {
					if r+c == 0 {
						continue
					}
					g := got.Grid
					z := g.At(c-g.Col0, r-g.Row0)
					if math.IsNaN(z) {
						continue
					}
					compared++
					// GDAL works in float32 and its kernel's weights are not exact.
					require.InDelta(t, want.Grid.At(c, r), z, 2e-3, "column %d, row %d", c, r)
				}
			}
			assert.Greater(t, compared, 1500)
		})
	}
}

// sloping is a plane of 12% and 5% over the hill's CRS. A frame places a cell to
// 4 mm, half a millimetre of height on it.
func sloping(d dem, rise float64) dem {
	g := d.grid
	d.stored = func(c, r int) float64 {
		x, y := float64(c)+0.5, float64(r)+0.5
		east, north := g[0]+x*g[1]+y*g[2]-740_000, g[3]+x*g[4]+y*g[5]-4_019_600
		return rise + 300 + 0.12*east + 0.05*north
	}
	return d
}

// Half of a place fine, half coarse, on one plane: no cell tells where the one
// ends, and each says whence it came.
func TestTwoSourcesOfOnePlane(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "whole.tif"), Options{})
	fine := opened(t, sloping(tile(terrain.NewWindow(0, 0, 20, hillRows)), 0).write(t, "fine.tif"), Options{})
	coarse := opened(t, sloping(coarseHill(0), 0).write(t, "coarse.tif"), Options{})
	plane := sloping(hillDEM(), 0)
	for _, rasters := range [][]*Raster{{fine, coarse}, {coarse, fine}} {
		e, err := Read(t.Context(), rasters, within(t, whole))
		require.NoError(t, err)
		require.Len(t, e.Sources, 2)
		assert.Equal(t, fine.Source.Path, e.Sources[0].Path)
		g := e.Grid
		for r := range hillRows {
			for c := range hillCols {
				at := (r-g.Row0)*g.Stride + c - g.Col0
				require.InDelta(t, plane.stored(c, r), g.At(c-g.Col0, r-g.Row0), 5e-4)
				want := 0
				if c >= 20 {
					want = 1
				}
				require.EqualValues(t, want, e.From[at])
			}
		}
		assert.Nil(t, e.Stepped)
		require.Len(t, e.Seams, 1)
		assert.InDelta(t, 0, e.Seams[0].GreatestM, 5e-4)
		require.Len(t, e.Warnings, 2)
		assert.Contains(t, e.Warnings[0], "cells are 30 × 30 m, by interpolation")
		assert.Contains(t, e.Warnings[1], "meet here, and their heights agree to 0.00 m (0.0 ft)")
	}
}

// A coarser survey that lies 1.5 m higher: 1.5 m is 4.9 ft.
func TestStepBetweenSources(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "whole.tif"), Options{})
	fine := opened(t, sloping(tile(terrain.NewWindow(0, 0, 20, hillRows)), 0).write(t, "fine.tif"), Options{})
	coarse := opened(t, sloping(coarseHill(0), 1.5).write(t, "coarse.tif"), Options{})
	e, err := Read(t.Context(), []*Raster{fine, coarse}, within(t, whole))
	require.NoError(t, err)
	require.Len(t, e.Seams, 1)
	s := e.Seams[0]
	assert.Equal(t, [2]int{0, 1}, [2]int{s.A, s.B})
	assert.InDelta(t, 1.5, s.MedianM, 5e-4)
	assert.InDelta(t, 1.5, s.GreatestM, 5e-4)
	require.Len(t, e.Warnings, 2)
	assert.Contains(t, e.Warnings[1], "1.50 m (4.9 ft) in the middle")
	g := e.Grid
	for r := 2; r < hillRows-2; r++ {
		for c := 2; c < hillCols-2; c++ {
			require.Equal(t, c == 19 || c == 20, e.Stepped[(r-g.Row0)*g.Stride+c-g.Col0], "column %d, row %d", c, r)
		}
	}
}

// A void of the coarser raster makes voids of all that lies between it and its
// neighbours, and of nothing else.
func TestVoidsStayVoids(t *testing.T) {
	base := opened(t, hillDEM().write(t, "whole.tif"), Options{})
	d := dem{cols: 60, rows: 50, grid: northUp(739_003, 4_021_002, 30), crs: "EPSG:26916", nodata: number(-9999)}
	d.stored = func(c, r int) float64 {
		if c == 41 && r == 40 { // its middle lies at 740 248 m east, 4 019 787 m north
			return -9999
		}
		return 500
	}
	fine := tile(terrain.NewWindow(0, 0, 10, 10))
	e, err := Read(t.Context(), []*Raster{opened(t, fine.write(t, "f.tif"), Options{}), opened(t, d.write(t, "c.tif"), Options{})}, within(t, base))
	require.NoError(t, err)
	g := e.Grid
	for r := range hillRows {
		for c := range hillCols {
			east, north := 740_005+10*float64(c), 4_019_995-10*float64(r)
			want := math.Abs(east-740_248) < 30 && math.Abs(north-4_019_787) < 30
			at := (r-g.Row0)*g.Stride + c - g.Col0
			require.Equal(t, want, math.IsNaN(g.At(c-g.Col0, r-g.Row0)), "column %d, row %d", c, r)
			require.Equal(t, want, e.From[at] == terrain.NoSource)
		}
	}
}

// Where the finest raster has nothing but voids, the next is the base.
func TestFinestHasNoHeights(t *testing.T) {
	empty := hillDEM()
	empty.nodata, empty.stored = number(-9999), func(c, r int) float64 { return -9999 }
	base := opened(t, empty.write(t, "empty.tif"), Options{})
	coarse := opened(t, coarseHill(0).write(t, "coarse.tif"), Options{})
	e, err := Read(t.Context(), []*Raster{base, coarse}, within(t, base))
	require.NoError(t, err)
	require.Len(t, e.Sources, 1)
	assert.Equal(t, coarse.Source.Path, e.Sources[0].Path)
	assert.Nil(t, e.From)
}

// Tiles of one grid that do not overlap: the step is what the heights jump.
func TestStepBetweenTilesOfOneGrid(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "whole.tif"), Options{})
	rng := rand.New(rand.NewPCG(7, 8))
	for name, c := range map[string]struct {
		rise, rough float64
		told        bool
	}{
		"level with each other":          {0, 0, false},
		"half a meter apart":             {0.5, 0, true},
		"rough, level with each other":   {0, 1, false},
		"rough, ten meters apart":        {10, 1, true},
		"rough, half of that on average": {2, 0.5, true},
	} {
		t.Run(name, func(t *testing.T) {
			part := func(w terrain.Window, rise float64) *Raster {
				d := sloping(tile(w), rise)
				plane := d.stored
				d.stored = func(col, r int) float64 { return plane(col, r) + c.rough*(rng.Float64()-0.5) }
				return opened(t, d.write(t, "part.tif"), Options{})
			}
			e, err := Read(t.Context(), []*Raster{part(terrain.NewWindow(0, 0, hillCols, 20), 0), part(terrain.NewWindow(0, 20, hillCols, hillRows), c.rise)}, within(t, whole))
			require.NoError(t, err)
			require.Len(t, e.Seams, 1)
			s := e.Seams[0]
			assert.Equal(t, hillCols, s.Cells)
			assert.InDelta(t, c.rise, s.MedianM, 1e-4+c.rough)
			if !c.told {
				assert.Empty(t, e.Warnings)
				assert.Nil(t, e.Stepped)
				return
			}
			require.Len(t, e.Warnings, 1)
			assert.Contains(t, e.Warnings[0], "the step between two surveys")
			marked := 0
			for i, m := range e.Stepped {
				if m {
					marked++
					assert.Contains(t, []int{19, 20}, i/e.Grid.Stride)
				}
			}
			assert.Greater(t, marked, hillCols/4)
		})
	}
}

// Tiles of one grid that overlap by some columns: the step is measured where
// both have heights.
func TestStepBetweenOverlappingTiles(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "whole.tif"), Options{})
	a, b := tile(terrain.NewWindow(0, 0, 30, hillRows)), tile(terrain.NewWindow(20, 0, hillCols, hillRows))
	b.stored = func(c, r int) float64 { return hill(c+20, r) + 0.75 }
	one, two := opened(t, a.write(t, "a.tif"), Options{}), opened(t, b.write(t, "b.tif"), Options{})
	for _, rasters := range [][]*Raster{{one, two}, {two, one}} {
		e, err := Read(t.Context(), rasters, within(t, whole))
		require.NoError(t, err)
		require.Len(t, e.Seams, 1)
		assert.Equal(t, 0.75, e.Seams[0].MedianM)
		assert.Equal(t, 0.75, e.Seams[0].GreatestM)
		assert.Equal(t, hillRows, e.Seams[0].Cells)
		require.Len(t, e.Warnings, 1)
		assert.Contains(t, e.Warnings[0], "a.tif")
		assert.Contains(t, e.Warnings[0], "b.tif")
	}
}

// A step between two tiles of the coarser grid is marked where the finer one
// makes a ramp of it.
func TestStepBetweenCoarseTiles(t *testing.T) {
	whole := opened(t, hillDEM().write(t, "whole.tif"), Options{})
	north := sloping(dem{cols: 26, rows: 10, grid: northUp(739_887, 4_020_123, 30), crs: "EPSG:26916"}, 0)
	south := sloping(dem{cols: 26, rows: 14, grid: northUp(739_887, 4_019_823, 30), crs: "EPSG:26916"}, 25)
	fine := sloping(tile(terrain.NewWindow(0, 0, 20, 10)), 0)
	e, err := Read(t.Context(), []*Raster{
		opened(t, north.write(t, "n.tif"), Options{}), opened(t, south.write(t, "s.tif"), Options{}), opened(t, fine.write(t, "f.tif"), Options{}),
	}, within(t, whole))
	require.NoError(t, err)
	require.Len(t, e.Sources, 3)
	require.Len(t, e.Seams, 2)
	assert.Equal(t, [2]int{1, 2}, [2]int{e.Seams[0].A, e.Seams[0].B})
	assert.InDelta(t, 25, e.Seams[0].MedianM, 1e-3)
	g := e.Grid
	for r := range hillRows {
		for c := 3; c < hillCols-3; c++ {
			// The seam lies at 4 019 823 m north, the ramp 15 m to either side.
			if d := math.Abs(4_019_995 - 10*float64(r) - 4_019_823); d < 15 {
				require.True(t, e.Stepped[(r-g.Row0)*g.Stride+c-g.Col0], "column %d, row %d", c, r)
			} else if d > 50 && r > 12 {
				require.False(t, e.Stepped[(r-g.Row0)*g.Stride+c-g.Col0], "column %d, row %d", c, r)
			}
		}
	}
}
