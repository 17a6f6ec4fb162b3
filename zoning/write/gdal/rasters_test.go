package gdal

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
	"github.com/acreband/acreband/zoning/write"
)

// Rasters of real ground, read back by GDAL: they lie on the elevation's own cells,
// the cells of a band take up its acres but for halves along the boundary, and no
// slope in a machine's band is over its limit.
func TestRastersOfAMap(t *testing.T) {
	g, m := survey(t, twoLots...)
	grid := g.Elevation.Grid
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, grid.Cols*grid.Rows), Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame}}
	field := must(slope.Of(grid))
	require.NoError(t, trafficability.Stand(field, m.Fleet, cells.Masks))

	dir := t.TempDir()
	opened := func(name string, text []byte) (*godal.Dataset, []float64) {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, text, 0o644))
		ds, err := godal.Open(file, godal.RasterOnly())
		require.NoError(t, err)
		t.Cleanup(func() { ds.Close() })
		gt, err := ds.GeoTransform()
		require.NoError(t, err)
		want := [6]float64{jacksboroWest + float64(grid.Col0)*jacksboroCell, jacksboroCell, 0, jacksboroNorth - float64(grid.Row0)*jacksboroCell, 0, -jacksboroCell}
		for i := range gt {
			assert.InDelta(t, want[i], gt[i], 1e-12)
		}
		v := make([]float64, grid.Cols*grid.Rows)
		require.NoError(t, ds.Bands()[0].Read(0, 0, v, grid.Cols, grid.Rows))
		return ds, v
	}
	var b bytes.Buffer
	require.NoError(t, Bands(&b, g, m, cells))
	ds, bands := opened("bands.tif", b.Bytes())
	assert.Contains(t, ds.Metadata("REMARKS"), zoning.Cautions(measure.US)[0])
	assert.Equal(t, "Track loader", ds.Bands()[0].Metadata("CLASS_0"))
	b.Reset()
	require.NoError(t, Slope(&b, g, m, field))
	ds, pct := opened("slope.tif", b.Bytes())
	assert.Equal(t, "slope in percent; "+m.Scale, ds.Bands()[0].Description())

	acres := make([]float64, len(m.Fleet.Bands()))
	steepest := make([]float64, len(acres))
	var perimeter float64
	for _, lot := range m.Lots {
		perimeter += perimeterM(lot.Coverage.Outline())
	}
	for i, band := range bands {
		if band == write.Outside {
			assert.True(t, math.IsNaN(pct[i]))
			continue
		}
		col, row := float64(grid.Col0+i%grid.Cols)+0.5, float64(grid.Row0+i/grid.Cols)+0.5
		acres[int(band)] += grid.Frame.MetricAt(col, row).CellAreaM2() / terrain.SquareMetresPerAcre
		steepest[int(band)] = max(steepest[int(band)], pct[i])
	}
	halves := perimeter * 93 / 2 / terrain.SquareMetresPerAcre // cells are at most 93 m wide; these lots lie along them
	require.Less(t, halves, 0.05*(m.Lots[0].Acres+m.Lots[1].Acres))
	for i, name := range m.Fleet.Bands() {
		want := acresOf(m, 0, name.Key) + acresOf(m, 1, name.Key)
		assert.InDelta(t, want, acres[i], halves, name.Key)
		if i < len(m.Fleet) {
			assert.LessOrEqual(t, steepest[i], m.Fleet[i].LimitPct)
		}
	}
}
