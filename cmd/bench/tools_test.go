package main

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// Both programs must be given the same work, or their race says nothing.
func TestTheFleetHasTheLimitsOfTheScript(t *testing.T) {
	machines, err := fleet.Parse("fleet.yaml", slopeFleet)
	require.NoError(t, err)
	bands := zoning.Fleet(machines).Bands()
	table := "<LUT>-1:0,0:1"
	for i, m := range machines {
		assert.Equal(t, classes[i], bands[i].Key)
		assert.Equal(t, zoning.Machine{Key: m.Key, Name: m.Name, LimitPct: m.LimitPct, Basis: m.Basis}, m, "slope alone")
		table += fmt.Sprintf(",%g:%d,%g.00001:%d", m.LimitPct, i+1, m.LimitPct, i+2)
	}
	assert.Equal(t, classes[len(machines)], bands[zoning.Fleet(machines).NoMachineBand()].Key)
	assert.True(t, strings.Contains(string(toolsScript), table+"</LUT>"), table)
}
