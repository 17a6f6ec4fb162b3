package mapping

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning/fleet"
)

// A cautious map of coarse cells was drawn inside limits by the error of the heights alone,
// as if cells hid nothing: nowhere may ground that a machine drives on be over its limit.
func TestACautiousMapCountsWhatCellsHide(t *testing.T) {
	ground := rough(360, 1, 40, false, 9).means(6)
	noise := &slope.Noise{SigmaM: 0.05, RangeM: slope.RangeUnknown, From: "test"}
	machines := fleet.Default()
	for _, slopeOnly := range []bool{true, false} {
		plain := ground.mapped(t, machines, Options{Noise: noise, SlopeOnly: slopeOnly})
		cautious := ground.mapped(t, machines, Options{Noise: noise, SlopeOnly: slopeOnly, Cautious: true})
		worked := 0
		for k, machine := range machines {
			if machine.ReachM > 0 {
				continue // it works from beside such ground
			}
			limit := machine.SteepestPct() / 100
			for i, mask := range cautious.Cells.Masks {
				if mask>>k&1 == 1 {
					worked++
					require.Less(t, math.Sqrt(float64(cautious.Field.UpperSquared[i])), limit, "%s, cell %d", machine.Key, i)
				}
			}
			assert.Less(t, worksAcres(cautious, k, 6), worksAcres(plain, k, 6), machine.Key)
		}
		assert.Positive(t, worked)
		if !slopeOnly {
			lost := cautious.LostAcres()[0]
			require.Greater(t, len(lost), len(plain.LostAcres()[0]))
			assert.Equal(t, "may-be-too-steep", cautious.Added[0].Key)
			assert.Positive(t, lost[len(lost)-1])
		}
	}
}

// Drawn by slope alone, a margin was taken off limits only after zones were drawn.
func TestAMarginIsTakenBeforeZonesAreDrawn(t *testing.T) {
	machines := fleet.Default()[:1]
	all := plane(60, 28).mapped(t, machines, Options{SlopeOnly: true})
	require.Positive(t, worksAcres(all, 0, 1))
	assert.Zero(t, worksAcres(plane(60, 28).mapped(t, machines, Options{SlopeOnly: true, MarginPct: 3}), 0, 1))
}
