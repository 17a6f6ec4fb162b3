//go:build cgo

package field_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// twoLots is real ground: see testdata/SOURCES.md.
func twoLots(t *testing.T) *mapping.Ground {
	t.Helper()
	lot := func(name string, west, south, east, north float64) zoning.Lot {
		ring := orb.Ring{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}
		return zoning.Lot{Parcel: zoning.Parcel{Lot: name, Ground: orb.MultiPolygon{{ring}}}}
	}
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../testdata/jacksboro_dem.tif"}, Lots: []zoning.Lot{
		lot("a", -84.28, 36.31, -84.23, 36.37), lot("b", -84.20, 36.30, -84.17, 36.33),
	}})
	require.NoError(t, err)
	return g
}

// Spots are judged by the machines' true limits though the zones were drawn inside them,
// and people walk only where ground is surely below the slope for it.
func TestGroundOfAMap(t *testing.T) {
	g := twoLots(t)
	for _, o := range []mapping.Options{{MarginPct: 4}, {MarginPct: 4, Ground: zoning.Wet}} {
		m, err := mapping.Map(t.Context(), g, fleet.Default(), o)
		require.NoError(t, err)
		m.Hazards = append(m.Hazards, zoning.Hazard{Kind: zoning.PinchPoint, Geometry: orb.Point{-84.25, 36.34}, Words: "pinch point"})
		ground := field.GroundOf(g, m)
		steepest := field.FootPct
		if o.Ground == zoning.Wet {
			steepest = field.WetFootPct
		}
		assert.Less(t, ground.FootPct, steepest)
		assert.Greater(t, ground.FootPct, steepest/2)
		assert.Contains(t, ground.Hazards, field.Hazard{At: orb.Point{-84.25, 36.34}, Words: "pinch point"})
		checks, err := field.Pick(ground, field.Options{})
		require.NoError(t, err)
		require.NotEmpty(t, checks.Spots)
		for _, s := range checks.Spots {
			for k, machine := range m.Fleet {
				if s.Band != machine.Key || machine.ReachM > 0 {
					continue
				}
				assert.Equal(t, machine.SteepestPct(), s.LimitPct)
				assert.Less(t, s.MappedPct, m.Drawn[k].SteepestPct(), "drawn four points inside")
			}
			if s.Sight == nil {
				assert.Less(t, s.MappedPct, ground.FootPct)
			}
		}
	}
}

// Spots are sought with the machines' own limits and what is surely within them; people
// are sent where ground is surely less than 50%, on wet ground 35%.
func TestGroundOfAMapByTheError(t *testing.T) {
	round := func(sigma float64) slope.Cov {
		return slope.Cov{PP: sigma * sigma, QQ: sigma * sigma, Metric: terrain.Metric{A: 1, C: 1}}
	}
	cov := round(0.02)
	sureBelow := func(pct float64) float64 { return 100 * cov.SureBelow(pct/100-zoning.TieRise, slope.Certainty) }
	g := &mapping.Ground{Elevation: &terrain.Elevation{}}
	m := &zoning.ZoneMap{
		Fleet: []zoning.Machine{{Key: "a", LimitPct: 30}, {Key: "b", LimitPct: 100, TetherAbovePct: 60}},
		Error: zoning.ElevationError{Slope: cov},
		Hazards: []zoning.Hazard{
			{Geometry: orb.LineString{{0, 0}, {1, 1}, {2, 2}, {3, 3}, {4, 4}}, Words: "edge"}, {Geometry: orb.LineString{}, Words: "no line"}, {Geometry: orb.Point{4, 4}, Words: "gap"}, {Geometry: orb.Polygon{}, Words: "bank"},
		},
	}
	m.Access.Staging = []orb.Point{{5, 5}}
	for on, steepest := range map[zoning.Moisture]float64{zoning.Dry: 50, zoning.Wet: 35} {
		m.Ground = on
		got := field.GroundOf(g, m)
		assert.InDelta(t, sureBelow(steepest), got.FootPct, 1e-9)
		assert.InDelta(t, sureBelow(30), got.SurePct[0], 1e-9)
		assert.InDelta(t, sureBelow(60), got.SurePct[1], 1e-9)
		assert.Equal(t, on, got.On)
		assert.Equal(t, []field.Hazard{{At: orb.Point{2, 2}, Words: "edge"}, {At: orb.Point{4, 4}, Words: "gap"}}, got.Hazards)
		assert.Equal(t, m.Access.Staging, got.Staging)
	}
	m.Error.Slope = round(2)
	assert.Equal(t, 1e-3, field.GroundOf(g, m).FootPct, "no ground is surely below: nobody is sent, and 0 would be no limit")
}
