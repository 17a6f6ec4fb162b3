//go:build cgo

package mapping_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// jacksboro is real ground in degrees, 403 × 344 cells of 1/1200°: see
// testdata/SOURCES.md.
const (
	jacksboro         = "../../testdata/jacksboro_dem.tif"
	jacksboroWest     = -84.41375
	jacksboroNorth    = 36.44625
	jacksboroCell     = 1.0 / 1200
	jacksboroCols     = 403
	jacksboroRows     = 344
	jacksboroMidLon   = jacksboroWest + jacksboroCols*jacksboroCell/2
	jacksboroMidLat   = jacksboroNorth - jacksboroRows*jacksboroCell/2
	jacksboroHalfWide = jacksboroCols * jacksboroCell / 2
)

// named is a lot to be written to a file.
type named struct {
	name   string
	ground orb.MultiPolygon
}

// boundary writes lots to a GeoJSON file of their own.
func boundary(t testing.TB, lots ...named) string {
	t.Helper()
	type geometry struct {
		Type        string           `json:"type"`
		Coordinates orb.MultiPolygon `json:"coordinates"`
	}
	type feature struct {
		Type       string            `json:"type"`
		Properties map[string]string `json:"properties"`
		Geometry   geometry          `json:"geometry"`
	}
	var features []feature
	for _, l := range lots {
		features = append(features, feature{"Feature", map[string]string{"lot": l.name}, geometry{"MultiPolygon", l.ground}})
	}
	text, err := json.Marshal(map[string]any{"type": "FeatureCollection", "features": features})
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "lots.geojson")
	require.NoError(t, os.WriteFile(path, text, 0o666))
	return path
}

// rectangle is a lot of straight sides, given by two corners in degrees.
func rectangle(west, south, east, north float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}}}
}

// ragged is a random ring round a spot, corners between two radii in degrees,
// wound clockwise half of the time.
func ragged(rng *rand.Rand, lon, lat, least, most float64) orb.Ring {
	n := 5 + rng.IntN(30)
	var ring orb.Ring
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * (float64(i) + 0.5*rng.Float64()) / float64(n))
		r := least + (most-least)*rng.Float64()
		ring = append(ring, orb.Point{lon + r*c, lat + r*s})
	}
	ring = append(ring, ring[0])
	if rng.IntN(2) == 0 {
		ring.Reverse()
	}
	return ring
}

// survey runs the whole line on the real ground, by slope alone.
func survey(t testing.TB, machines []zoning.Machine, lots ...named) (*mapping.Ground, *zoning.ZoneMap) {
	t.Helper()
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{jacksboro}, Parcel: boundary(t, lots...)})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, machines, mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	return g, m
}

func acresOf(m *zoning.ZoneMap, lot int, key string) float64 {
	for _, z := range m.Lots[lot].Zones {
		if m.Fleet.Bands()[z.Band].Key == key {
			return z.Acres
		}
	}
	return 0
}

func defaults() []zoning.Machine { return fleet.Default() }

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
