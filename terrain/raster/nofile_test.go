package raster

import (
	"context"
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/find"
)

// A raster that was missing was told in GDAL's words only, so that no program could tell it
// from one that is damaged.
func TestARasterThatIsNotThere(t *testing.T) {
	ctx, dir := context.Background(), t.TempDir()
	for _, none := range []string{filepath.Join(dir, "none.tif"), filepath.Join(dir, "none.zip", "a.tif")} {
		for name, open := range map[string]func() error{
			"Open":    func() error { _, err := Open(ctx, none, Options{}); return err },
			"Examine": func() error { _, _, err := Examine(ctx, none, Options{}); return err },
			"CatalogueOf": func() error {
				_, err := CatalogueOf([]Entry{{Path: none}}, Options{}, nil).Around(ctx, orb.MultiPolygon{{{{1, 1}}}})
				return err
			},
		} {
			assert.ErrorIs(t, open(), fs.ErrNotExist, "%s of %s", name, none)
			assert.EqualError(t, open(), none+": no elevation raster that GDAL can read: there is no such file; check the path", name)
		}
	}
	none := filepath.Join(dir, "none.tif")
	_, err := NewCatalogue(ctx, []string{none}, Options{})
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = Expand(ctx, []string{none})
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = find.Read(none)
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = Open(ctx, "raster.go", Options{})
	assert.Error(t, err)
	assert.NotErrorIs(t, err, fs.ErrNotExist, "it is there, and no raster")
}

// Ground beside all rasters is told apart from rasters that cannot be read.
func TestGroundOffTheRaster(t *testing.T) {
	ctx := context.Background()
	r, err := Open(ctx, jacksboro, Options{})
	require.NoError(t, err)
	defer r.Close()
	far := orb.MultiPolygon{{{{10, 10}, {10.1, 10}, {10.1, 10.1}, {10, 10}}}}
	_, err = Read(ctx, []*Raster{r}, far)
	assert.ErrorIs(t, err, ErrOffRaster)
	_, err = ReadWide(ctx, []*Raster{r}, far)
	assert.ErrorIs(t, err, ErrOffRaster)
	_, err = Read(ctx, nil, far)
	assert.ErrorIs(t, err, ErrOffRaster)
}
