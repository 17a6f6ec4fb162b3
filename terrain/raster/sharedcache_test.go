package raster

import (
	"sync"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Cause: pieces side by side decoded the blocks between them once for each. Goroutines
// with catalogues of their own share a cache: each block is decoded once, and all read
// the file's heights.
func TestGoroutinesShareACache(t *testing.T) {
	const side = 320
	d := dem{cols: side, rows: side, crs: "EPSG:32616", grid: northUp(500000, 4000000, 10), stored: hill,
		options: []string{"TILED=YES", "BLOCKXSIZE=32", "BLOCKYSIZE=32", "COMPRESS=LZW"}, kind: godal.Float32}
	file := d.write(t, "ground.tif")
	full := catalogued(t, Options{}, file)
	mosaics, err := full.Mosaics(t.Context())
	require.NoError(t, err)
	cache := NewCache(1 << 20)
	_, want := readWhole(t, file, Options{})
	var all sync.WaitGroup
	for k := range 4 {
		all.Go(func() {
			c := CatalogueOf(full.Entries(), Options{}, cache)
			defer c.Close()
			for i := range side/40 - 1 {
				e, err := c.ReadCells(t.Context(), mosaics[0], terrain.NewWindow(0, 40*i, side, 40*i+60+k))
				if !assert.NoError(t, err) {
					return
				}
				for row := range e.Grid.Rows {
					for col := range e.Grid.Cols {
						if e.Grid.At(col, row) != want.Grid.At(col, row+e.Grid.Row0) {
							t.Errorf("column %d, row %d", col, row)
							return
						}
					}
				}
			}
		})
	}
	all.Wait()
	counts := cache.Counts()
	assert.Equal(t, 100, counts.Touched)
	assert.Equal(t, counts.Touched, counts.Decoded)
}
