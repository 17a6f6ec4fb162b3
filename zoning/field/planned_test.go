package field_test

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
)

// planned is the ground where of the fleet the crawler alone comes, and works what lies
// left of a column.
func planned(t *testing.T, upTo int) (limits, plan field.Ground) {
	t.Helper()
	g := groundOf(t, 80, 60, 4, 2.5, hills)
	m := &zoning.ZoneMap{Fleet: machines, Lots: g.Lots, Cells: g.Cells, Field: g.Field}
	p, err := m.AsPlanned(context.Background(), func(_, cell int) zoning.Mask {
		switch crawler := g.Cells.Masks[cell] & 0b100; {
		case cell%80 < upTo:
			return crawler
		case crawler != 0:
			return zoning.WaitsDry
		}
		return 0
	})
	require.NoError(t, err)
	planned := g
	planned.View, planned.Cells, planned.Lots = p.View, p.Cells, p.Lots
	return g, planned
}

// Spots held to a machine that stays at home judged ground by a limit nobody works to:
// they are held to the machine that works the spot, and lie where it does or none may.
func TestSpotsAreHeldToTheMachineThatWorksThem(t *testing.T) {
	limits, plan := planned(t, 40)
	c := must(field.Pick(limits, field.Options{}))
	assert.Equal(t, []string{"loader", "boom", "crawler", zoning.NoMachineKey}, c.Bands)
	c = must(field.Pick(plan, field.Options{}))
	assert.Equal(t, []string{"crawler", zoning.NoMachineKey}, c.Bands)
	crawler := 0
	for _, s := range c.Spots {
		col, _ := cellOf(plan, s.At)
		switch s.Band {
		case "crawler":
			crawler++
			assert.Less(t, col, 40, "no spot on ground that waits")
			assert.Equal(t, 70.0, s.LimitPct)
			assert.Equal(t, []field.Held{{Key: "crawler", LimitPct: 70}}, s.Machines)
		case zoning.NoMachineKey:
			assert.Zero(t, s.LimitPct)
			for _, h := range s.Machines {
				assert.Equal(t, "crawler", h.Key, "the others do not come")
			}
		default:
			t.Errorf("a spot of %s", s.Band)
		}
	}
	assert.GreaterOrEqual(t, crawler, 3)
}

// Ground that waits is neither closed nor unknown: people walk across it.
func TestPeopleWalkOverGroundThatIsNotCleared(t *testing.T) {
	_, plan := planned(t, 15)
	west, east := plan.Cells.Frame, 70.5
	lon, lat := west.LonLat(east, 30.5)
	plan.Staging = append(plan.Staging, [2]float64{lon, lat})
	onFoot := 0
	for _, s := range must(field.Pick(plan, field.Options{PerZone: 12})).Spots {
		if s.Sight == nil {
			onFoot++
		}
	}
	assert.Positive(t, onFoot, "from staging beyond the ground that waits")
}

// A list says of which view it is, in its title and when it is read back; a reading on
// ground that the crew leaves is one of no machine's ground.
func TestListsSayTheirView(t *testing.T) {
	limits, plan := planned(t, 40)
	for words, g := range map[string]field.Ground{"by limits": limits, "as planned": plan} {
		c := must(field.Pick(g, field.Options{}))
		var list, gpx, table, json bytes.Buffer
		require.NoError(t, c.WriteText(&list))
		require.NoError(t, c.WriteGPX(&gpx))
		require.NoError(t, c.WriteCSV(&table))
		require.NoError(t, c.WriteGeoJSON(&json))
		assert.Contains(t, list.String(), "of the map "+words+", ")
		assert.Contains(t, gpx.String(), "of the map "+words+"</name>")
		assert.Contains(t, table.String(), ","+words+"\n")
		assert.Contains(t, json.String(), `"view":"`+words+`"`)
		back := must(field.ReadChecks("checks.geojson", json.Bytes()))
		assert.Equal(t, g.View, back.View)
	}
	lon, lat := plan.Cells.Frame.LonLat(60.5, 30.5)
	s, ok := plan.At([2]float64{lon, lat})
	require.True(t, ok)
	assert.Equal(t, zoning.NoMachineKey, s.Band)
}
