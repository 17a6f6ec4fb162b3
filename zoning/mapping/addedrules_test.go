package mapping_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/trafficability"
	"github.com/acreband/acreband/zoning/write"
)

// wetMeadow keeps all machines off the cells west of column 40 of the example's raster.
var wetMeadow = trafficability.Rule{
	Reason: zoning.Reason{Key: "wet-meadow", Words: "wet meadow until July"},
	Of: func(a trafficability.Asked) func(int) bool {
		cols := a.Ground.Grid.Cols
		return func(cell int) bool { return cell%cols < 40 }
	},
}

// ruledGround is the example's ground with one lot, of columns 10 to 140 and rows 10 to 110.
func ruledGround(t *testing.T) (g *mapping.Ground, at func(col, row float64) orb.Point) {
	t.Helper()
	e, err := elevation()
	require.NoError(t, err)
	at = func(col, row float64) orb.Point {
		lon, lat := e.Grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	ring := orb.Ring{at(10, 110), at(140, 110), at(140, 10), at(10, 10), at(10, 110)}
	g, err = mapping.NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}}}}, nil)
	require.NoError(t, err)
	return g, at
}

// The acres and words of a rule that an embedder added reach the map, its GeoJSON and the
// answer for one spot, dry and wet. By hand: 30 of the lot's 130 columns, 3/13 of its acres.
func TestAnAddedRuleReachesMapFilesAndSpots(t *testing.T) {
	g, at := ruledGround(t)
	machines := fleet.Default()
	plain, err := mapping.Map(t.Context(), g, machines, mapping.Options{})
	require.NoError(t, err)
	for _, ground := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
		m, err := mapping.Map(t.Context(), g, machines, mapping.Options{Ground: ground, Rules: []trafficability.Rule{wetMeadow}})
		require.NoError(t, err)
		why := zoning.Why(zoning.Reasons)
		assert.Equal(t, wetMeadow.Reason, m.Reason(why))
		meadow := m.Lots[0].Acres * 30 / 130
		for k, machine := range m.Fleet {
			assert.InDelta(t, meadow, m.LostAcres()[k][why], 1e-3*meadow, machine.Key)
		}

		var file bytes.Buffer
		require.NoError(t, write.GeoJSON(&file, m))
		var read struct {
			Summary struct {
				LostAcres map[string]map[string]float64 `json:"lost_acres"`
			}
			Features []struct {
				Properties struct {
					Band      string
					LostAcres map[string]map[string]float64 `json:"lost_acres"`
				}
			}
		}
		require.NoError(t, json.Unmarshal(file.Bytes(), &read))
		assert.InDelta(t, meadow, read.Summary.LostAcres["track-loader"]["wet-meadow"], 1e-3*meadow)
		var byHand float64
		for _, f := range read.Features {
			byHand += f.Properties.LostAcres["track-loader"]["wet-meadow"]
		}
		assert.InDelta(t, meadow, byHand, 1e-3*meadow)

		words, err := g.Why(m, at(25.5, 60.5))
		require.NoError(t, err)
		assert.Contains(t, words, "Track loader: no: wet meadow until July")
		words, err = g.Why(m, at(60.5, 60.5))
		require.NoError(t, err)
		assert.NotContains(t, words, "Track loader: no: wet meadow until July")
		other := zoning.Wet
		if ground == zoning.Wet {
			other = zoning.Dry
		}
		otherwise, err := mapping.Map(t.Context(), g, machines, mapping.Options{Ground: other, Rules: []trafficability.Rule{wetMeadow}})
		require.NoError(t, err)
		assert.InDelta(t, otherwise.Otherwise[0], acresOfBand(m, 0), 0.02, "the acres of the other state know the rule too")
	}
	again, err := mapping.Map(t.Context(), g, machines, mapping.Options{})
	require.NoError(t, err)
	var before, after bytes.Buffer
	require.NoError(t, write.GeoJSON(&before, plain))
	require.NoError(t, write.GeoJSON(&after, again))
	assert.Equal(t, before.String(), after.String(), "a rule leaves nothing behind in the ground")
}

func acresOfBand(m *zoning.ZoneMap, band int) (acres float64) {
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			if z.Band == band {
				acres += z.Acres
			}
		}
	}
	return acres
}

// A map that would not ask an added rule, or could not name it, is refused.
func TestAddedRulesThatAMapCannotAsk(t *testing.T) {
	g, _ := ruledGround(t)
	unnamed := wetMeadow
	unnamed.Reason.Words = ""
	for words, o := range map[string]mapping.Options{
		"SlopeOnly":      {SlopeOnly: true, Rules: []trafficability.Rule{wetMeadow}},
		`the words ""`:   {Rules: []trafficability.Rule{unnamed}},
		`has no Of`:      {Rules: []trafficability.Rule{{Reason: wetMeadow.Reason}}},
		`"wet-meadow"; `: {Rules: []trafficability.Rule{wetMeadow, wetMeadow}},
	} {
		_, err := mapping.Map(t.Context(), g, fleet.Default(), o)
		assert.ErrorContains(t, err, words)
		_, err = bySlope(g.Elevation, fleet.Default(), terrain.Window{Col1: 1, Row1: 1}, false, o)
		assert.ErrorContains(t, err, words)
	}
}
