//go:build cgo

package mapping_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
)

// A margin draws the zones that lower limits would, and leaves the machines theirs.
func TestMarginIsTakenOffEveryLimit(t *testing.T) {
	machines := []zoning.Machine{{Key: "a", Name: "A", LimitPct: 30, CrossPct: 15, WidthM: 2}, {Key: "b", Name: "B", LimitPct: 60, CrossPct: 45, ProcedureAbovePct: 50}}
	lower := []zoning.Machine{{Key: "a", Name: "A", LimitPct: 27, CrossPct: 12, WidthM: 2}, {Key: "b", Name: "B", LimitPct: 57, CrossPct: 42, ProcedureAbovePct: 47}}
	g, plain := survey(t, machines, twoLots...)
	assert.Nil(t, plain.Drawn)
	with, err := mapping.Map(t.Context(), g, machines, mapping.Options{MarginPct: 3})
	require.NoError(t, err)
	want, err := mapping.Map(t.Context(), g, lower, mapping.Options{})
	require.NoError(t, err)
	for i, lot := range want.Lots {
		require.Len(t, with.Lots[i].Zones, len(lot.Zones))
		for j, z := range lot.Zones {
			assert.Equal(t, z.Acres, with.Lots[i].Zones[j].Acres)
			assert.Equal(t, z.ProcedureAcres, with.Lots[i].Zones[j].ProcedureAcres)
		}
	}
	assert.Less(t, acresOf(with, 0, "a"), acresOf(plain, 0, "a"))
	assert.Equal(t, zoning.Fleet(machines), with.Fleet)
	assert.Equal(t, zoning.Fleet(lower), with.Drawn)
	assert.Contains(t, with.Assumed, "every limit is 3 points lower than its machine's when zones are drawn (margin)")

	both, err := mapping.Map(t.Context(), g, machines, mapping.Options{MarginPct: 3, Cautious: true})
	require.NoError(t, err)
	cautious, err := mapping.Map(t.Context(), g, machines, mapping.Options{Cautious: true})
	require.NoError(t, err)
	assert.InDelta(t, cautious.Drawn[1].LimitPct-3, both.Drawn[1].LimitPct, 1e-9)

	none, err := mapping.Map(t.Context(), g, machines, mapping.Options{MarginPct: 90})
	require.NoError(t, err)
	assert.Zero(t, acresOf(none, 0, "a")+acresOf(none, 0, "b"), "nothing is left of any limit")
}
