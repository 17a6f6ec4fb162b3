package mapping

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/read"
)

// jacksboro is real ground in degrees, 403 × 344 cells of 1/1200°: see
// testdata/SOURCES.md.
const (
	Jacksboro         = "../../testdata/jacksboro_dem.tif"
	JacksboroWest     = -84.41375
	JacksboroNorth    = 36.44625
	JacksboroCell     = 1.0 / 1200
	JacksboroCols     = 403
	JacksboroRows     = 344
	jacksboroMidLon   = JacksboroWest + JacksboroCols*JacksboroCell/2
	JacksboroMidLat   = JacksboroNorth - JacksboroRows*JacksboroCell/2
	jacksboroHalfWide = JacksboroCols * JacksboroCell / 2
)

// named is a lot to be written to a file.
type Named struct {
	name   string
	ground orb.MultiPolygon
}

// boundary writes lots to a GeoJSON file of their own.
func Boundary(t testing.TB, lots ...Named) string {
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
func Rectangle(west, south, east, north float64) orb.MultiPolygon {
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
func Survey(t testing.TB, machines []zoning.Machine, lots ...Named) (*Ground, *zoning.ZoneMap) {
	t.Helper()
	g, err := read.Prepare(read.Request{Elevation: []string{Jacksboro}, Parcel: Boundary(t, lots...)})
	require.NoError(t, err)
	m, err := Map(g, machines, Options{SlopeOnly: true})
	require.NoError(t, err)
	return g, m
}

func AcresOf(m *zoning.ZoneMap, lot int, key string) float64 {
	for _, z := range m.Lots[lot].Zones {
		if zoning.Bands(m.Fleet)[z.Band].Key == key {
			return z.Acres
		}
	}
	return 0
}

func Defaults() []zoning.Machine { return fleet.Default() }
