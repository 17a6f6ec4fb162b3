package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Ground is outlined by sixteen pieces a side, from its first corner down, along and back.
func TestOutlineOfTheGround(t *testing.T) {
	l := tellerOn(t, 32, 48)
	l.bend(t)
	ring := l.Outline()[0]
	require.Len(t, ring, 65)
	for k := range 16 {
		part := float64(k) / 16
		for side, want := range [][2]float64{{0, 48 * part}, {32 * part, 48}, {32, 48 - 48*part}, {32 - 32*part, 0}} {
			lon, lat := l.Elevation.Grid.Frame.LonLat(7+want[0], 11+want[1])
			assert.InDelta(t, lon, ring[16*side+k][0], 1e-9, "side %d, piece %d", side, k)
			assert.InDelta(t, lat, ring[16*side+k][1], 1e-9, "side %d, piece %d", side, k)
		}
	}
	assert.Equal(t, ring[0], ring[64])
}

// Of a staging that no load gets to nothing else is told, though it is steep and off the
// ground; without stagings none is told that anybody unloads at.
func TestStagingThatNoLoadGetsTo(t *testing.T) {
	l := tellerOn(t, 40, 40)
	l.work.Staging, l.w.Idle = [][]int{{820, 821}, nil}, [][]int{{0}}
	l.m.Field.Squared[820], l.m.Field.Squared[821] = 1, 1
	l.m.Access.Staging = append(l.m.Access.Staging, l.at(820), l.at(820))
	l.m.Access.Lands = []zoning.Mask{0, 0}
	l.access()
	require.Len(t, l.m.Warnings, 2)
	assert.Contains(t, l.m.Warnings[0], "no load of the fleet gets there")
	assert.Contains(t, l.m.Warnings[1], "no load of the fleet gets there")

	l = tellerOn(t, 40, 40)
	l.w.Unloads, l.w.Pockets = [][]int{{0}}, [][]trafficability.Pocket{nil}
	l.access()
	assert.Nil(t, l.m.Access.Unloads)
	assert.False(t, l.m.Access.Checked)
}
