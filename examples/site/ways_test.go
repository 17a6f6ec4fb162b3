package site_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// The bench has a face below it, a ravine to the west and steep ground behind: the way
// in is the neighbour's lane.
func TestWaysIn(t *testing.T) {
	m := base(t)
	assert.True(t, m.Access.Checked)
	assert.Equal(t, "track-loader", m.band(300, 260))
	laneless := without(t, kind(site.Travel))
	laneless.ManyLots = true // the foot of the lane is staging of another lot now
	cut := laneless.mapped(t)
	for k := range cut.Fleet {
		assert.Equal(t, zoning.NoWayIn, cut.why(k, 300, 260), cut.Fleet[k].Key)
	}
	assert.Equal(t, "no-machine", cut.band(300, 260))
	assert.InDelta(t, 1.5, cut.lost(loader, zoning.NoWayIn), 0.2)

	free := without(t, kind(site.Staging, site.Travel)).mapped(t)
	assert.False(t, free.Access.Checked)
	assert.Contains(t, free.Cautions, zoning.AccessNotChecked)
	assert.Equal(t, "track-loader", free.band(300, 260), "nobody asks")
	require.NotEmpty(t, free.Access.Pockets)
	assert.InDelta(t, 1.4, free.Access.Pockets[0].Acres, 0.2, "the bench")
}

// Where the trailer is put so that no machine drives off it, it is refused with its cure.
func TestStagingOutOfPlace(t *testing.T) {
	unloadedAt := func(x, y float64, reason string) {
		t.Helper()
		j := without(t, kind(site.Staging))
		j.draw(t, append(j.Features, site.Feature{Kind: site.Staging, Geometry: j.spot(x, y)}))
		_, err := mapping.Map(t.Context(), j.Ground, j.fleet, j.Options)
		require.ErrorIs(t, err, mapping.ErrSite)
		assert.Regexp(t, reason, err.Error())
	}
	unloadedAt(90, 20, `lies 6\d ft off the lots and what is drawn as travel`) // the boundary runs 19 m north of it, and 5 m count as there
	unloadedAt(300, 226, `no machine drives off staging 1 \(.*\): slope \d\d% at best \(Track loader: slope`)
	assert.NotContains(t, strings.Join(base(t).Warnings, "\n"), "staging")
}

// Every way east leads over the draw; none to the field by the gate.
func TestWaterCrossings(t *testing.T) {
	m := base(t)
	assert.Equal(t, 1, m.zone("dedicated-carrier").Crossings)
	assert.Equal(t, 0, m.zone("track-loader").Crossings)
	assert.Equal(t, uint8(0), m.Cells.Crossings[loader][m.cell(100, 60)])
	assert.Equal(t, uint8(1), m.Cells.Crossings[loader][m.cell(212, 100)])
	assert.Equal(t, -1, without(t, kind(site.Staging)).mapped(t).zone("dedicated-carrier").Crossings)
}
