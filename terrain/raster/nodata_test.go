package raster

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A value that stands for no height and is not declared was a height: a flat that reads as
// perfect ground. Given, it is a void, beside the one that is declared, as the band stores it.
func TestAValueGivenAsNoData(t *testing.T) {
	void := func(stands float64, declared *float64, kind godal.DataType) dem {
		d := hillDEM()
		d.nodata, d.kind = declared, kind
		bare := d.stored
		d.stored = func(c, r int) float64 {
			switch {
			case c == 5 && r == 5:
				return stands
			case c == 6 && r == 5 && declared != nil:
				return *declared
			}
			return math.Round(bare(c, r))
		}
		return d
	}
	for _, c := range []struct {
		name     string
		stands   float64
		declared *float64
		kind     godal.DataType
		source   string
	}{
		{"none declared", 250, nil, godal.Float32, "250 (nodata)"},
		{"beside another", 0, number(-9999), godal.Float32, "-9999, 0 (nodata)"},
		{"not a float32", 250.1, number(-9999), godal.Float32, "-9999, 250.1 (nodata)"},
		{"whole numbers", 250, nil, godal.Int16, "250 (nodata)"},
	} {
		path := void(c.stands, c.declared, c.kind).write(t, "hill.tif")
		r := opened(t, path, Options{NoData: &c.stands})
		assert.Equal(t, c.source, r.Source.NoData, c.name)
		e, err := Read(t.Context(), []*Raster{r}, within(t, r))
		require.NoError(t, err)
		assert.True(t, math.IsNaN(e.Grid.At(5, 5)), c.name)
		want := 1
		if c.declared != nil {
			want = 2
		}
		assert.Equal(t, want, e.Grid.Voids(), c.name)
		plain := opened(t, path, Options{})
		e, err = Read(t.Context(), []*Raster{plain}, within(t, plain))
		require.NoError(t, err)
		assert.InDelta(t, c.stands, e.Grid.At(5, 5), 1e-4, c.name)
	}
}

// The index of a folder knows nothing of it: what was refused for its voids is looked at anew, and
// what is found so is not kept for who does not give it.
func TestNoDataOfAFolder(t *testing.T) {
	cache := t.TempDir()
	t.Setenv("XDG_CACHE_HOME", cache)
	folder := t.TempDir()
	require.NoError(t, os.Rename(hillDEM().write(t, "a.tif"), filepath.Join(folder, "a.tif")))
	given := 250.0
	c, err := NewCatalogue(t.Context(), []string{folder}, Options{NoData: &given})
	require.NoError(t, err)
	defer c.Close()
	assert.Len(t, c.Entries(), 1)
	kept, err := os.ReadDir(cache)
	require.NoError(t, err)
	assert.Empty(t, kept)
}
