package gdal

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// A GeoPackage and a raster of bands say their view; GDAL reads from them the zones of a
// planned map, whose polygons measure the acres beside them.
func TestGDALReadsBothViews(t *testing.T) {
	g, limits := survey(t, twoLots...)
	last := len(limits.Fleet) - 1
	plan, err := limits.AsPlanned(t.Context(), func(lot, cell int) zoning.Mask {
		mask := limits.Cells.Masks[cell]
		switch {
		case mask == 0:
			return 0
		case lot == 1:
			return zoning.WaitsDry
		case mask&(1<<last) != 0:
			return 1 << last
		}
		return zoning.NeedsMachine
	})
	require.NoError(t, err)
	for words, zm := range map[string]*zoning.ZoneMap{"by limits": limits, "as planned": plan} {
		_, file := packageOf(t, zm, nil)
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Contains(t, string(text), "Zones "+words+": ", "in the layer's description")
		layer := opened(t, file).LayerByName("zones")
		require.NotNil(t, layer)
		for _, lot := range zm.Lots {
			sum := 0.0
			for _, z := range lot.Zones {
				f := layer.NextFeature()
				require.NotNil(t, f)
				fields := f.Fields()
				assert.Equal(t, words, fields["view"].String())
				assert.Equal(t, zm.Fleet.Bands()[z.Band].Key, fields["zone"].String())
				assert.InDelta(t, z.Acres, fields["acres"].Float(), 1e-8)
				assert.InDelta(t, z.Acres, coverage.Acres(z.Ground), 1e-6)
				sum += fields["acres"].Float()
				f.Close()
			}
			assert.InDelta(t, lot.Acres, sum, 1e-6)
		}
		var b bytes.Buffer
		require.NoError(t, Bands(&b, g, zm, zm.Cells))
		tif := filepath.Join(t.TempDir(), "bands.tif")
		require.NoError(t, os.WriteFile(tif, b.Bytes(), 0o644))
		ds, err := godal.Open(tif, godal.RasterOnly())
		require.NoError(t, err)
		assert.Contains(t, ds.Bands()[0].Description(), "band "+words+": ")
		require.NoError(t, ds.Close())
	}
	assert.Positive(t, acresOf(plan, 1, zoning.WaitsDryKey))
	assert.Zero(t, acresOf(plan, 0, zoning.WaitsDryKey))
}
