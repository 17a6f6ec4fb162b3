package main

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/fleet"
)

func TestLotsAreAcres(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, makeLots(dir, 5))
	text, err := os.ReadFile(lotsIn(dir, 5))
	require.NoError(t, err)
	var lots struct {
		Features []struct {
			Geometry struct{ Coordinates orb.Polygon }
		}
	}
	require.NoError(t, json.Unmarshal(text, &lots))
	require.Len(t, lots.Features, 5)
	for _, f := range lots.Features {
		assert.Equal(t, orb.CCW, f.Geometry.Coordinates[0].Orientation())
		assert.InEpsilon(t, 1, coverage.Acres(orb.MultiPolygon{f.Geometry.Coordinates}), 2e-3)
	}
}

// Both programs must be given the same work, or their race says nothing.
func TestTheScriptHasTheLimitsOfTheFleet(t *testing.T) {
	machines, err := fleet.Parse("fleet.yaml", slopeFleet)
	require.NoError(t, err)
	var limits []float64
	for _, m := range machines {
		limits = append(limits, m.LimitPct)
	}
	assert.Equal(t, []float64{30, 40, 100}, limits)
	assert.True(t, strings.Contains(string(perLotScript), "LIMITS = np.array([0.30, 0.40, 1.00])"))
}
