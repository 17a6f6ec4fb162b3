package gdal

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// jacksboro is real ground in degrees, cells of 1/1200°: see testdata/SOURCES.md.
const (
	jacksboro      = "../../../testdata/jacksboro_dem.tif"
	jacksboroWest  = -84.41375
	jacksboroNorth = 36.44625
	jacksboroCell  = 1.0 / 1200
)

// named is a lot by its name.
type named struct {
	name   string
	ground orb.MultiPolygon
}

var twoLots = []named{
	{"a", rectangle(-84.28, 36.31, -84.23, 36.37)},
	{"b", rectangle(-84.20, 36.30, -84.17, 36.33)},
}

// rectangle is a lot of straight sides, given by two corners in degrees.
func rectangle(west, south, east, north float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}}}
}

// survey runs the whole line on the real ground, by slope alone.
func survey(t testing.TB, lots ...named) (*mapping.Ground, *zoning.ZoneMap) {
	t.Helper()
	var all []zoning.Lot
	for _, l := range lots {
		all = append(all, zoning.Lot{Parcel: zoning.Parcel{Lot: l.name, Ground: l.ground}})
	}
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{jacksboro}, Lots: all})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{SlopeOnly: true})
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

// perimeterM is at most a little more than the length of outlines in metres.
func perimeterM(mp orb.MultiPolygon) (m float64) {
	for _, poly := range mp {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				m += 111320 * math.Hypot(ring[i][0]-ring[i-1][0], ring[i][1]-ring[i-1][1])
			}
		}
	}
	return m
}
