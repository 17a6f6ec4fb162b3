//go:build cgo

package mapping_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// dress is one way of storing the heights of the real elevation.
type dress struct {
	crs    string
	kind   godal.DataType
	point  bool // PixelIsPoint
	flip   bool // rows run north
	turn   bool // stored turned by 90°: rows run east
	stored func(metres float64) float64
	scale  float64
	offset float64
}

// write stores the real elevation in a dress.
func (d dress) write(t *testing.T, name string) string {
	t.Helper()
	src, err := godal.Open(jacksboro)
	require.NoError(t, err)
	defer src.Close()
	const n = jacksboroCols * jacksboroRows
	z := make([]float64, n)
	require.NoError(t, src.Bands()[0].Read(0, 0, z, jacksboroCols, jacksboroRows))
	cols, rows := jacksboroCols, jacksboroRows
	grid := [6]float64{jacksboroWest, jacksboroCell, 0, jacksboroNorth, 0, -jacksboroCell}
	at := func(c, r int) int { return r*cols + c }
	switch {
	case d.flip:
		grid[3], grid[5] = jacksboroNorth-float64(rows)*jacksboroCell, jacksboroCell
		at = func(c, r int) int { return (rows-1-r)*cols + c }
	case d.turn:
		// Stored columns run south and rows run east.
		cols, rows = rows, cols
		grid = [6]float64{jacksboroWest, 0, jacksboroCell, jacksboroNorth, -jacksboroCell, 0}
		at = func(c, r int) int { return c*jacksboroCols + r }
	}
	v := make([]float64, n)
	for r := range rows {
		for c := range cols {
			v[r*cols+c] = z[at(c, r)]
			if d.stored != nil {
				v[r*cols+c] = d.stored(v[r*cols+c])
			}
		}
	}
	path := filepath.Join(t.TempDir(), name+".tif")
	options := []godal.DatasetCreateOption{}
	if d.point {
		options = append(options, godal.CreationOption("GEOTIFF_VERSION=1.1"))
	}
	out, err := godal.Create(godal.GTiff, path, 1, d.kind, cols, rows, options...)
	require.NoError(t, err)
	if d.point {
		require.NoError(t, out.SetMetadata("AREA_OR_POINT", "Point"))
	}
	require.NoError(t, out.SetGeoTransform(grid))
	sr, err := godal.NewSpatialRef(d.crs)
	require.NoError(t, err)
	defer sr.Close()
	require.NoError(t, out.SetSpatialRef(sr))
	if d.scale != 0 {
		require.NoError(t, out.Bands()[0].SetScaleOffset(d.scale, d.offset))
	}
	require.NoError(t, out.Write(0, 0, v, cols, rows))
	require.NoError(t, out.Close())
	return path
}

func mapOf(t *testing.T, elevation, unit string) *zoning.ZoneMap {
	t.Helper()
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{elevation}, ElevationOptions: raster.Options{Unit: unit}, Parcel: "../../examples/screening/parcel.geojson"})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	return m
}

// One ground in many dresses gives the same zones: to the vertex where the grid
// is stored the same way round.
func TestOneGroundInManyDresses(t *testing.T) {
	want := mapOf(t, jacksboro, "")
	for name, c := range map[string]struct {
		dress
		unit string
	}{
		"float64":     {dress{crs: "EPSG:4326", kind: godal.Float64}, ""},
		"south up":    {dress{crs: "EPSG:4326", kind: godal.Float32, flip: true}, ""},
		"turned":      {dress{crs: "EPSG:4326", kind: godal.Float32, turn: true}, ""},
		"point":       {dress{crs: "EPSG:4326", kind: godal.Float32, point: true}, ""},
		"scaled":      {dress{crs: "EPSG:4326", kind: godal.Int16, stored: func(m float64) float64 { return 2 * (m - 100) }, scale: 0.5, offset: 100}, ""},
		"feet, CRS":   {dress{crs: "EPSG:4326+8228", kind: godal.Float64, stored: func(m float64) float64 { return m / 0.3048 }}, ""},
		"feet, given": {dress{crs: "EPSG:4326", kind: godal.Float64, stored: func(m float64) float64 { return m / 0.3048 }}, "ft"},
	} {
		t.Run(name, func(t *testing.T) {
			got := mapOf(t, c.write(t, "d"), c.unit)
			require.Len(t, got.Lots[0].Zones, len(want.Lots[0].Zones))
			for i, z := range want.Lots[0].Zones {
				o := got.Lots[0].Zones[i]
				require.Equal(t, z.Band, o.Band)
				assert.InEpsilon(t, z.Acres, o.Acres, 1e-8)
				assert.InEpsilon(t, z.SlopeMeanPct, o.SlopeMeanPct, 1e-6)
				assert.InEpsilon(t, z.SlopeMaxPct, o.SlopeMaxPct, 1e-6)
				assert.Len(t, o.Ground, len(z.Ground))
			}
		})
	}
}

// The same ground warped by GDAL into another CRS. Cubic resampling of 75 m cells
// bends slopes by a point or two, so acres near a limit change bands: the mean
// slope agrees within a twentieth, and no band by more than a twentieth of the
// parcel.
func TestSameGroundInAnotherCRS(t *testing.T) {
	want := mapOf(t, jacksboro, "")
	src, err := godal.Open(jacksboro)
	require.NoError(t, err)
	defer src.Close()
	for _, crs := range []string{"EPSG:26916", "EPSG:5070", "EPSG:3857"} {
		path := filepath.Join(t.TempDir(), "warped.tif")
		cell := "80"
		if crs == "EPSG:3857" {
			cell = "99" // stretched by 1/cos φ
		}
		out, err := src.Warp(path, []string{"-t_srs", crs, "-tr", cell, cell, "-r", "cubic", "-ot", "Float32"})
		require.NoError(t, err)
		require.NoError(t, out.Close())
		got := mapOf(t, path, "")
		assert.InEpsilon(t, want.Lots[0].Acres, got.Lots[0].Acres, 1e-6)
		mean := func(m *zoning.ZoneMap) (sum float64) {
			for _, z := range m.Lots[0].Zones {
				sum += z.Acres * z.SlopeMeanPct / m.Lots[0].Acres
			}
			return sum
		}
		assert.InEpsilon(t, mean(want), mean(got), 0.05, crs)
		for _, b := range want.Fleet.Bands() {
			apart := math.Abs(acresOf(want, 0, b.Key) - acresOf(got, 0, b.Key))
			assert.LessOrEqual(t, apart, 0.05*want.Lots[0].Acres, "%s, %s", crs, b.Key)
		}
	}
}
