package read

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// jacksboro is real ground in degrees, 403 × 344 cells of 1/1200°: see
// testdata/SOURCES.md.
const (
	jacksboro       = "../../testdata/jacksboro_dem.tif"
	jacksboroWest   = -84.41375
	jacksboroNorth  = 36.44625
	jacksboroCell   = 1.0 / 1200
	jacksboroCols   = 403
	jacksboroRows   = 344
	jacksboroMidLat = jacksboroNorth - jacksboroRows*jacksboroCell/2
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

var twoLots = []named{
	{"a", rectangle(-84.28, 36.31, -84.23, 36.37)},
	{"b", rectangle(-84.20, 36.30, -84.17, 36.33)},
}

// survey runs the whole line on the real ground, by slope alone.
func survey(t testing.TB, machines []zoning.Machine, lots ...named) (*mapping.Ground, *zoning.ZoneMap) {
	t.Helper()
	g, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: boundary(t, lots...)})
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
