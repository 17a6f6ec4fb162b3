package read

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
)

// translated is a copy of a raster made by GDAL's translate.
func translated(t testing.TB, source, name string, switches ...string) string {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	ds, err := godal.Open(source)
	require.NoError(t, err)
	defer ds.Close()
	path := filepath.Join(t.TempDir(), name)
	copied, err := ds.Translate(path, switches)
	require.NoError(t, err)
	require.NoError(t, copied.Close())
	return path
}

func prepareError(t *testing.T, lots ...named) string {
	t.Helper()
	file := boundary(t, lots...)
	_, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: file})
	require.Error(t, err)
	require.Contains(t, err.Error(), file, "names the boundary's file")
	return err.Error()
}

// Denver is some 1860 km from Jacksboro, on a sphere.
func TestPrepareOffTheElevation(t *testing.T) {
	text := prepareError(t, named{"Tarn Hollow", rectangle(-104.99, 39.73, -104.98, 39.74)})
	assert.Contains(t, text, "lot Tarn Hollow lies at 39.7350 N, 104.9850 W")
	assert.Contains(t, text, jacksboro)
	assert.Contains(t, text, "36.3029 N, 84.2458 W", "where the elevation lies")
	assert.Regexp(t, `18[3-7]\d km \(1[01]\d\d mi\) away`, text)
	assert.Contains(t, text, "parcel-crs")
	assert.NotContains(t, text, "swapped")
}

func TestPrepareNearTheElevationButOff(t *testing.T) {
	// A hundredth of a degree of latitude is 1.1 km.
	text := prepareError(t, named{"a", rectangle(-84.3, jacksboroNorth+0.009, -84.29, jacksboroNorth+0.011)})
	assert.Regexp(t, `1\.[12] km \(0\.7 mi\) away`, text)
}

func TestPreparePartsOnEitherSideOfTheElevation(t *testing.T) {
	west := rectangle(jacksboroWest-0.02, jacksboroMidLat, jacksboroWest-0.01, jacksboroMidLat+0.01)
	east := jacksboroWest + jacksboroCols*jacksboroCell
	both := append(west, rectangle(east+0.01, jacksboroMidLat, east+0.02, jacksboroMidLat+0.01)...)
	assert.Contains(t, prepareError(t, named{"a", both}), "lot a lies at")
}

func TestPrepareSwappedLongitudeAndLatitude(t *testing.T) {
	ring := orb.Ring{{36.33, -84.25}, {36.34, -84.25}, {36.34, -84.24}, {36.33, -84.25}}
	text := prepareError(t, named{"a", orb.MultiPolygon{{ring}}})
	assert.Contains(t, text, "swapped it would lie on it: longitude comes first")
}

func TestPrepareSomeLotsOff(t *testing.T) {
	file := boundary(t,
		named{"off", rectangle(-104.99, 39.73, -104.98, 39.74)},
		named{"on", rectangle(-84.25, 36.33, -84.24, 36.34)},
		named{"line", orb.MultiPolygon{{{{-84.25, 36.33}, {-84.24, 36.33}, {-84.25, 36.33}, {-84.25, 36.33}}}}})
	g, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: file})
	require.NoError(t, err)
	require.Len(t, g.Lots, 1)
	assert.Equal(t, "on", g.Lots[0].Lot)
	require.Len(t, g.Failed, 2)
	m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	require.NoError(t, err)
	require.Len(t, m.Lots, 1)
	warnings := strings.Join(m.Warnings, "\n")
	assert.Contains(t, warnings, "lot off lies at")
	assert.Contains(t, warnings, "lot line")
	grid := g.Elevation.Grid
	assert.Less(t, grid.Cols*grid.Rows, 1000, "only the window around the lots that are mapped is read")
}

func TestPrepareNoLotOnTheElevation(t *testing.T) {
	text := prepareError(t,
		named{"a", rectangle(-104.99, 39.73, -104.98, 39.74)},
		named{"b", rectangle(-105.99, 39.73, -105.98, 39.74)})
	assert.Contains(t, text, "lot a lies at")
	assert.Contains(t, text, "none of its 2 lots can be mapped")
}

func TestPreparePartlyOff(t *testing.T) {
	// Four cells of eight by eight lie east of the raster.
	east := jacksboroWest + jacksboroCols*jacksboroCell
	g, m := survey(t, defaults(),
		named{"half", rectangle(east-4*jacksboroCell, jacksboroMidLat, east+4*jacksboroCell, jacksboroMidLat+8*jacksboroCell)},
		named{"whole", rectangle(east-8*jacksboroCell, jacksboroMidLat, east-4*jacksboroCell, jacksboroMidLat+8*jacksboroCell)})
	require.Len(t, g.Warnings, 1)
	assert.Contains(t, g.Warnings[0], "lot half reaches beyond the elevation")
	assert.Contains(t, g.Warnings[0], "no elevation data")
	require.Len(t, m.Warnings, 2)
	assert.Equal(t, g.Warnings[0], m.Warnings[0])
	assert.Contains(t, m.Warnings[1], "too coarse to show what a machine 3 m long feels")
	assert.InEpsilon(t, m.Lots[0].Acres/2, acresOf(m, 0, zoning.UnknownKey), 1e-6)
	assert.Zero(t, acresOf(m, 1, zoning.UnknownKey))
}

// Both halves of a raster make the same map as the whole of it.
func TestPrepareJoinsTiles(t *testing.T) {
	west := translated(t, jacksboro, "west.tif", "-srcwin", "0", "0", "200", "344")
	east := translated(t, jacksboro, "east.tif", "-srcwin", "200", "0", "203", "344")
	seam := jacksboroWest + 200*jacksboroCell
	file := boundary(t, named{"a", rectangle(seam-0.01, jacksboroMidLat-0.01, seam+0.01, jacksboroMidLat+0.01)})
	var zones [][]zoning.Zone
	for _, rasters := range [][]string{{jacksboro}, {west, east}, {east, west}} {
		g, err := Prepare(t.Context(), Request{Elevation: rasters, Parcel: file})
		require.NoError(t, err)
		assert.Empty(t, g.Warnings)
		assert.Len(t, g.Elevation.Sources, len(rasters))
		m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
		require.NoError(t, err)
		zones = append(zones, m.Lots[0].Zones)
	}
	for _, joined := range zones[1:] {
		require.Len(t, joined, len(zones[0]))
		for i, z := range joined {
			assert.Equal(t, zones[0][i].Band, z.Band)
			assert.InEpsilon(t, zones[0][i].Acres, z.Acres, 1e-6)
			assert.InDelta(t, zones[0][i].SlopeMaxPct, z.SlopeMaxPct, 1e-4)
		}
	}
}

// Where one of four tiles is missing, its corner is unknown, and said so.
func TestPrepareMissingTile(t *testing.T) {
	nw := translated(t, jacksboro, "nw.tif", "-srcwin", "0", "0", "200", "170")
	ne := translated(t, jacksboro, "ne.tif", "-srcwin", "200", "0", "203", "170")
	sw := translated(t, jacksboro, "sw.tif", "-srcwin", "0", "170", "200", "174")
	lon, lat := jacksboroWest+200*jacksboroCell, jacksboroNorth-170*jacksboroCell
	file := boundary(t, named{"a", rectangle(lon-0.01, lat-0.01, lon+0.01, lat+0.01)})
	g, err := Prepare(t.Context(), Request{Elevation: []string{nw, ne, sw}, Parcel: file})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	require.NoError(t, err)
	assert.InEpsilon(t, m.Lots[0].Acres/4, acresOf(m, 0, zoning.UnknownKey), 1e-3)
	assert.Contains(t, strings.Join(m.Warnings, "\n"), "lot a reaches beyond the elevation")
}

func TestPrepareRefusesTooLarge(t *testing.T) {
	// Cells of 0.3 m: a box of 9 × 11 km has 1e9 of them.
	fine := translated(t, jacksboro, "fine.tif", "-srcwin", "0", "0", "10", "10", "-a_ullr", "-84.25", "36.33", "-84.249973", "36.329973")
	file := boundary(t, named{"a", rectangle(-84.3, 36.3, -84.2, 36.4)})
	_, err := Prepare(t.Context(), Request{Elevation: []string{fine}, Parcel: file})
	require.Error(t, err)
	assert.Contains(t, err.Error(), file)
	assert.Contains(t, err.Error(), "split the boundary, or use a coarser raster")
}

func TestPrepareNamesTheFileItCannotRead(t *testing.T) {
	lots := boundary(t, named{"a", rectangle(-84.25, 36.33, -84.24, 36.34)})
	_, err := Prepare(t.Context(), Request{Elevation: []string{"no/such.tif"}, Parcel: lots})
	assert.ErrorContains(t, err, "no/such.tif")
	_, err = Prepare(t.Context(), Request{Elevation: []string{jacksboro, lots}, Parcel: lots})
	assert.ErrorContains(t, err, lots, "a boundary is no raster")
	_, err = Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: jacksboro})
	assert.ErrorContains(t, err, jacksboro, "a raster is no boundary")
}

func TestSwapBeyondAPoleIsNoPlace(t *testing.T) {
	assert.Nil(t, swap(rectangle(-104.99, 39.73, -104.98, 39.74)))
	got := swap(rectangle(36, -84, 37, -83))
	assert.Equal(t, orb.Point{-84, 36}, got[0][0][0])
}

func TestDistanceWords(t *testing.T) {
	// The international mile, 1609.344 m.
	assert.Equal(t, "0.3 km (0.2 mi)", distance(0.3))
	assert.Equal(t, "1609 km (1000 mi)", distance(1609.344))
}
