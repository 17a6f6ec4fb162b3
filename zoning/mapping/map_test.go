//go:build cgo

package mapping_test

import (
	"bytes"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/write"
)

func bytesOf(t testing.TB, m *zoning.ZoneMap) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.GeoJSON(&b, m))
	return b.String()
}

var twoLots = []named{
	{"a", rectangle(-84.28, 36.31, -84.23, 36.37)},
	{"b", rectangle(-84.20, 36.30, -84.17, 36.33)},
}

// However many processors there are, and however often it is made, a map is the
// same to the byte; making one changes nothing in the ground.
func TestMapSameBytes(t *testing.T) {
	file := boundary(t, twoLots...)
	q := read.Request{Elevation: []string{jacksboro}, Parcel: file}
	g, err := read.Prepare(t.Context(), q)
	require.NoError(t, err)
	heights := slices.Clone(g.Elevation.Grid.Z)
	var first string
	for i, procs := range []int{1, 2, 3, 8} {
		before := runtime.GOMAXPROCS(procs)
		m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
		runtime.GOMAXPROCS(before)
		require.NoError(t, err)
		if i == 0 {
			first = bytesOf(t, m)
		}
		require.Equal(t, first, bytesOf(t, m), "GOMAXPROCS=%d", procs)
	}
	steep := defaults()
	steep[0], err = steep[0].With(zoning.AlongLimit, 12)
	require.NoError(t, err)
	other, err := mapping.Map(t.Context(), g, steep, mapping.Options{})
	require.NoError(t, err)
	assert.NotEqual(t, first, bytesOf(t, other))
	assert.Equal(t, heights, g.Elevation.Grid.Z)

	again, err := read.Prepare(t.Context(), q)
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), again, defaults(), mapping.Options{})
	require.NoError(t, err)
	assert.Equal(t, first, bytesOf(t, m), "read again")
}

// A lot's zones do not depend on what else was read, but for what is sure of them and where
// people walk: that goes by how rough the raster is on the whole.
func TestMapLotAloneAndAmongOthers(t *testing.T) {
	_, both := survey(t, defaults(), twoLots...)
	_, alone := survey(t, defaults(), twoLots[1])
	for _, zones := range [][]zoning.Zone{alone.Lots[0].Zones, both.Lots[1].Zones} {
		for i := range zones {
			zones[i].SureAcres, zones[i].SightAcres = 0, 0
		}
	}
	assert.Equal(t, alone.Lots[0].Zones, both.Lots[1].Zones)
}

func TestMapRefusesAFleetThatCannotBeUsed(t *testing.T) {
	g, _ := survey(t, defaults(), twoLots[0])
	_, err := mapping.Map(t.Context(), g, nil, mapping.Options{})
	assert.ErrorContains(t, err, "no machine")
	_, err = mapping.Map(t.Context(), g, []zoning.Machine{{Key: "no-data", LimitPct: 30}}, mapping.Options{})
	assert.ErrorContains(t, err, `"no-data"`)
}

// A lot thinner than coordinates can tell, among others: they are mapped.
func TestMapLeavesOutALotThatCannotBeCut(t *testing.T) {
	sliver := orb.MultiPolygon{{{{-84.25, 36.33}, {-84.24, 36.33}, {-84.24, 36.3300000004}, {-84.25, 36.33}}}}
	g, m := survey(t, defaults(), named{"sliver", sliver}, twoLots[0])
	require.Len(t, g.Lots, 2)
	require.Len(t, m.Lots, 1)
	assert.Equal(t, "a", m.Lots[0].Lot)
	require.Len(t, m.Warnings, 2, "and that the raster is coarse")
	assert.Contains(t, m.Warnings[0], "lot sliver: the parcel has no ground as wide as 0.1 mm")

	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{jacksboro}, Parcel: boundary(t, named{"sliver", sliver})})
	require.NoError(t, err)
	_, err = mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	assert.ErrorIs(t, err, coverage.ErrNoGround)
}

func TestMapCellsTooSmallToCut(t *testing.T) {
	fine := translated(t, jacksboro, "fine.tif", "-srcwin", "0", "0", "100", "100", "-a_ullr", "-84.25", "36.33", "-84.24998", "36.32998")
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{fine}, Parcel: boundary(t, named{"a", rectangle(-84.249995, 36.329985, -84.249985, 36.329995)})})
	require.NoError(t, err)
	_, err = mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	assert.ErrorIs(t, err, coverage.ErrCellSize)
	assert.ErrorContains(t, err, fine)
	assert.ErrorContains(t, err, "use a coarser raster")
}

// exactPlane writes a GeoTIFF of 60 × 60 cells of 10 m near jacksboro (UTM zone
// 16 N), rising by a slope in map units towards an azimuth of the grid.
func exactPlane(t testing.TB, rise, east, north float64) string {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	path := filepath.Join(t.TempDir(), "plane.tif")
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, 60, 60)
	require.NoError(t, err)
	sr, err := godal.NewSpatialRefFromEPSG(32616)
	require.NoError(t, err)
	defer sr.Close()
	require.NoError(t, ds.SetSpatialRef(sr))
	require.NoError(t, ds.SetGeoTransform([6]float64{747000, 10, 0, 4025600, 0, -10}))
	z := make([]float32, 3600)
	for i := range z {
		z[i] = float32(400 + rise*10*(east*float64(i%60)-north*float64(i/60)))
	}
	require.NoError(t, ds.Bands()[0].Write(0, 0, z, 60, 60))
	require.NoError(t, ds.Close())
	return path
}

// Acres along the slope, through the whole line: √(1+s²), 35% 1.0595, 50%
// 1.1180. Here the zone's scale (Snyder 1987, UTM) is 1.00035, which makes map
// slopes 0.03 % too gentle.
func TestMapSurfaceAcresOfAPlane(t *testing.T) {
	for pct, want := range map[float64]float64{35: 1.0595, 50: 1.1180} {
		for _, toward := range [][2]float64{{1, 0}, {0, 1}, {-0.6, 0.8}, {0.8, -0.6}} {
			path := exactPlane(t, pct/100, toward[0], toward[1])
			g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{path}, Parcel: boundary(t, named{"a", rectangle(-84.2475, 36.3395, -84.2435, 36.3425)})})
			require.NoError(t, err)
			require.Empty(t, g.Warnings, "the lot lies on the plane")
			m, err := mapping.Map(t.Context(), g, []zoning.Machine{{Key: "a", LimitPct: 150}}, mapping.Options{})
			require.NoError(t, err)
			z := m.Lots[0].Zones[0]
			assert.InDelta(t, want, z.SurfaceAcres/z.Acres, 1.5e-4, "%g%%", pct)
			assert.InDelta(t, 1.00035*pct, z.SlopeMeanPct, 0.002)
		}
	}
}
