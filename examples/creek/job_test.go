package creek

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

func names(o plan.Option) (keys []string) {
	for _, b := range o.Crew {
		keys = append(keys, b.Key)
	}
	return keys
}

// Common practice, no source: fourteen acres, nine of them at 5 to 18%, three at 20 to 30%
// and two of creek bank at 40 to 70%, medium brush with stems of up to 8 in, are one track
// loader, some 12 acres, 45 to 50 productive and 62 to 70 scheduled hours, 8 to 10 days. The
// bank is left with its strip, and no crawler comes unasked. A dedicated carrier and a 20-ton
// excavator are too heavy for a bridge posted 15 tons.
func TestFourteenAcresOfCommonPractice(t *testing.T) {
	j, err := posted(t, "staging.geojson")
	require.NoError(t, err)
	require.GreaterOrEqual(t, j.plan.Recommended, 0)
	o := j.plan.Ladder[j.plan.Recommended]
	assert.Equal(t, []string{"track-loader"}, names(o.Option))
	assert.InDelta(t, 12, o.Acres, 0.2)
	assert.GreaterOrEqual(t, o.ProductiveH, 45.0)
	assert.LessOrEqual(t, o.ProductiveH, 50.0)
	assert.GreaterOrEqual(t, o.ScheduledH, 62.0)
	assert.LessOrEqual(t, o.ScheduledH, 70.0)
	assert.GreaterOrEqual(t, o.WorkingDays, 8.0)
	assert.LessOrEqual(t, o.WorkingDays, 10.0)

	left := map[string]float64{}
	for _, l := range o.Left {
		left[l.Why] += l.Acres
	}
	assert.Greater(t, left[zoning.NoGoKey], 0.8, "55 ft of the bank's 100 ft, Kentucky FOR-69 over 15%")
	assert.InDelta(t, 2, left[zoning.NoGoKey]+left[zoning.NoMachineKey]+left[zoning.NeedsMachineKey], 0.2)
	assert.InDelta(t, j.m.Lots[0].Acres, o.Acres+sum(left), 1e-6)

	for _, heavy := range []string{"dedicated-carrier", "boom-head"} {
		assert.Less(t, j.may(heavy), 0.1, heavy)
	}
	assert.InDelta(t, 12, j.may("track-loader"), 0.2)
}

func sum(acres map[string]float64) (all float64) {
	for _, a := range acres {
		all += a
	}
	return all
}

// On wet ground the loader is held to 20%: the three acres of hillside wait until it is
// dry, and no other machine comes for them.
func TestInTheWetThreeAcresWait(t *testing.T) {
	j, err := posted(t, "staging.geojson")
	require.NoError(t, err)
	machines, book := fleet.Default(), plan.Default()
	m, err := mapping.Map(t.Context(), j.ground.Fresh(), machines, mapping.Options{Loads: book.Loads(machines), Ground: zoning.Wet})
	require.NoError(t, err)
	p, err := plan.ForMap(j.ground, m, book, plan.Medium)
	require.NoError(t, err)
	o := p.Ladder[p.Recommended]
	assert.Equal(t, []string{"track-loader"}, names(o.Option))
	assert.InDelta(t, 9, o.Acres, 0.2)
	require.Len(t, o.Waits, 1)
	assert.Equal(t, "track-loader", o.Waits[0].Key)
	assert.InDelta(t, 3, o.Waits[0].Acres, 0.2)
}

// The bridge at 12 tons carries the loader and not its load of 15: it is unloaded short of
// it, at the wide spot, and walks over.
func TestAtTwelveTonsItIsUnloadedShort(t *testing.T) {
	j, err := posted(t, "staging.geojson", "15tons", "12tons")
	require.NoError(t, err)
	o := j.plan.Ladder[j.plan.Recommended]
	assert.Equal(t, []string{"track-loader"}, names(o.Option))
	assert.InDelta(t, 12, o.Acres, 0.2)
	assert.Zero(t, j.m.Access.Lands[0]&1, "the yard is past the bridge")
	assert.NotZero(t, j.m.Access.Lands[1]&1, "the wide spot is before it")
}
