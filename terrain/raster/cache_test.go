package raster

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// sharing opens rasters to be read through a cache of so many bytes.
func sharing(t testing.TB, bytes int64, files ...string) (*Catalogue, *Cache) {
	t.Helper()
	full := catalogued(t, Options{}, files...)
	cache := NewCache(bytes)
	c := CatalogueOf(full.Entries(), Options{}, cache)
	t.Cleanup(c.Close)
	return c, cache
}

// Through a cache, windows hold the same cells, whatever the type of values, the
// shape of blocks and the way the rows run.
func TestCachedWindowsAreTheFiles(t *testing.T) {
	const side = 40
	masked := func(ds *godal.Dataset) {
		m, err := ds.CreateMaskBand(2, godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=YES"))
		require.NoError(t, err)
		mask := make([]byte, side*side)
		for i := range mask {
			if i%11 != 0 {
				mask[i] = 255
			}
		}
		require.NoError(t, m.Write(0, 0, mask, side, side))
	}
	for name, d := range map[string]dem{
		"tiles":    {options: []string{"TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16", "COMPRESS=LZW"}},
		"strips":   {options: []string{"BLOCKYSIZE=3"}},
		"int16":    {kind: godal.Int16, nodata: number(305), options: []string{"BLOCKYSIZE=7"}},
		"int32":    {kind: godal.Int32, options: []string{"BLOCKYSIZE=7"}},
		"float64":  {kind: godal.Float64, nodata: number(-9999), options: []string{"BLOCKYSIZE=1"}},
		"masked":   {finish: masked},
		"south-up": {grid: southUp(northUp(500000, 4000000, 10), side), options: []string{"BLOCKYSIZE=3"}},
	} {
		t.Run(name, func(t *testing.T) {
			d.cols, d.rows, d.crs, d.stored = side, side, "EPSG:32616", hill
			if d.grid == [6]float64{} {
				d.grid = northUp(500000, 4000000, 10)
			}
			file := d.write(t, "ground.tif")
			plain := opened(t, file, Options{})
			c, cache := sharing(t, 1<<20, file)
			r := rand.New(rand.NewPCG(1, 1))
			for range 30 {
				c0, r0 := r.Float64()*(side-1), r.Float64()*(side-1)
				ground := patch(t, plain, c0, r0, c0+1+r.Float64()*10, r0+1+r.Float64()*10)
				want, err := Read(t.Context(), []*Raster{plain}, ground)
				require.NoError(t, err)
				rasters, err := c.Around(t.Context(), ground)
				require.NoError(t, err)
				got, err := Read(t.Context(), rasters, ground)
				require.NoError(t, err)
				require.Equal(t, want.Window, got.Window)
				mustMatch(t, want.Grid, got.Grid, 0, 0)
			}
			n := cache.Counts()
			require.Positive(t, n.Touched)
			require.Equal(t, n.Touched, n.Decoded)
			require.Greater(t, n.Served, 2*n.Decoded)
		})
	}
}

// A cache holds no more than it may, and knows blocks again by their raster's path.
func TestCacheIsBoundedAndOutlivesItsRasters(t *testing.T) {
	const side, block = 128, 16
	d := dem{cols: side, rows: side, crs: "EPSG:32616", grid: northUp(500000, 4000000, 10), stored: hill,
		options: []string{"TILED=YES", fmt.Sprint("BLOCKXSIZE=", block), fmt.Sprint("BLOCKYSIZE=", block)}}
	file := d.write(t, "ground.tif")
	const blockBytes = 4 * block * block
	c, cache := sharing(t, 10*blockBytes, file)
	plain := opened(t, file, Options{})
	look := func(col, row float64) {
		ground := patch(t, plain, col, row, col+1, row+1)
		rasters, err := c.Around(t.Context(), ground)
		require.NoError(t, err)
		_, err = Read(t.Context(), rasters, ground)
		require.NoError(t, err)
		require.LessOrEqual(t, cache.Counts().Bytes, int64(10*blockBytes))
	}
	for i := range side / block {
		look(float64(i*block)+8, 8)
	}
	require.Equal(t, CacheCounts{Touched: 8, Decoded: 8, Served: 8, Bytes: 8 * blockBytes}, cache.Counts())
	c.opened[0].Close()
	delete(c.opened, 0)
	look(8, 8)
	require.Equal(t, 8, cache.Counts().Decoded)
	for i := range side / block {
		look(float64(i*block)+8, 24) // the first row goes, but for what was wanted last
	}
	look(8, 8)
	require.Equal(t, 16, cache.Counts().Decoded)
	look(24, 8)
	require.Equal(t, 16, cache.Counts().Touched)
	require.Equal(t, 17, cache.Counts().Decoded)

	// A cache that is too small for such blocks is gone by.
	c, cache = sharing(t, 2*blockBytes, file)
	look(8, 8)
	require.Zero(t, cache.Counts())
}

// However many tiles lots touch, few are open at once.
func TestFewRastersAreOpen(t *testing.T) {
	folder := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	const tiles, across = 90, 30
	for i := range tiles {
		file := tile(terrain.NewWindow(i%across*12, i/across*10, i%across*12+12, i/across*10+10)).write(t, "t.tif")
		require.NoError(t, os.Rename(file, filepath.Join(folder, fmt.Sprintf("t%02d.tif", i))))
	}
	c, _ := sharing(t, 1<<20, folder)
	plain := opened(t, filepath.Join(folder, "t00.tif"), Options{})
	for i := range tiles {
		ground := patch(t, plain, float64(i%across*12)+5, float64(i/across*10)+5, float64(i%across*12)+6, float64(i/across*10)+6)
		rasters, err := c.Around(t.Context(), ground)
		require.NoError(t, err)
		e, err := Read(t.Context(), rasters, ground)
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("t%02d.tif", i), filepath.Base(e.Sources[0].Path))
		require.LessOrEqual(t, len(c.opened), mostOpen)
	}
}

// The spot of a point is the block that the point lies in.
func TestSpotIsTheBlock(t *testing.T) {
	d := dem{cols: 160, rows: 96, crs: "EPSG:32616", grid: northUp(500000, 4000000, 10), stored: hill,
		options: []string{"TILED=YES", "BLOCKXSIZE=32", "BLOCKYSIZE=16"}}
	coarse := dem{cols: 40, rows: 40, crs: "EPSG:32616", grid: northUp(499000, 4001000, 100), stored: hill}
	c := catalogued(t, Options{}, coarse.write(t, "coarse.tif"), d.write(t, "fine.tif"))
	r := opened(t, c.entries[1].Path, Options{})
	at := func(col, row float64) orb.Point {
		p, err := r.Locate([][2]float64{{col, row}})
		require.NoError(t, err)
		return orb.Point(p[0])
	}
	for _, cell := range [][2]float64{{1, 1}, {40, 1}, {159, 95}, {31, 17}, {100, 50}} {
		s, ok := c.SpotOf(t.Context(), at(cell[0], cell[1]))
		require.True(t, ok)
		require.Equal(t, [3]int{1, int(cell[0]) / 32, int(cell[1]) / 16}, [3]int{s.Entry, s.Col, s.Row}, "%v", cell)
	}
	s, ok := c.SpotOf(t.Context(), at(-5, -5)) // off the fine one
	require.True(t, ok)
	require.Zero(t, s.Entry)
	_, ok = c.SpotOf(t.Context(), at(-5000, 0))
	require.False(t, ok)
}

// A tile that is no longer there is an error that names it, not ground without
// elevation.
func TestSharedTileThatIsGone(t *testing.T) {
	file := tile(terrain.NewWindow(0, 0, 12, 10)).write(t, "gone.tif")
	plain := opened(t, file, Options{})
	c, _ := sharing(t, 1<<20, file)
	require.NoError(t, os.Remove(file))
	_, err := c.Around(t.Context(), within(t, plain))
	require.ErrorContains(t, err, "gone.tif")
	require.False(t, errors.Is(err, ErrOffRaster))
}
