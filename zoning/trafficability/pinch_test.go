package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// gap is a yard of 40 × 60 m, a wall with a gap of some cells around its middle, three
// cells thick, and a field of 60 × 60 m.
func gap(t *testing.T, cells int) *Ground {
	return level(t, 103, 60, 1).closed(func(c, r int) bool {
		return c >= 40 && c < 43 && (r < 30-cells/2 || r > 30+cells/2)
	}).unloads([2]int{10, 30})
}

// By hand: the loader needs 7 ft / 2 + 1 ft = 1.37 m on either side of its middle, half
// again as much is 2.06 m. A gap of 3 m has 1.5 m and is a pinch, one of 5 m has 2.5 m.
func TestPinchAtAGap(t *testing.T) {
	w := find(gap(t, 3), loader)
	require.Len(t, w.Pinches[0], 1)
	p := w.Pinches[0][0]
	assert.Equal(t, 30, p.Cell/103)
	assert.Contains(t, []int{40, 41, 42}, p.Cell%103)
	assert.InDelta(t, 1.5, p.ClearM, 1e-9)
	// Counted are middles that keep half again as far from the field's rim: no more than
	// the field, no less than it without 3 m all round.
	assert.LessOrEqual(t, p.Acres, 60*60/terrain.SquareMetresPerAcre)
	assert.GreaterOrEqual(t, p.Acres, 54*54/terrain.SquareMetresPerAcre)

	assert.Empty(t, find(gap(t, 5), loader).Pinches[0])
	assert.Contains(t, find(gap(t, 1), loader).Why[0], zoning.NoWayIn, "no way through")
	free := loader
	free.WidthM = 0
	assert.Empty(t, find(gap(t, 3), free).Pinches[0])
	g := gap(t, 3)
	g.Staging = nil
	assert.Empty(t, find(g, loader).Pinches[0], "no access route was asked for")
}

// A wider way beside it makes a gap no pinch.
func TestNoPinchWithAnotherWay(t *testing.T) {
	g := gap(t, 3)
	for r := 50; r < 58; r++ {
		for c := 40; c < 43; c++ {
			g.Closed[r*103+c] = false
		}
	}
	assert.Empty(t, find(g, loader).Pinches[0])
}

// Looking for pinches changes nothing of what is reached.
func TestPinchesLeaveAccessAsItIs(t *testing.T) {
	g := gap(t, 3)
	w := find(g, loader)
	for i, why := range w.Why[0] {
		if !g.Closed[i] {
			assert.Equal(t, zoning.Works, why, "cell %d", i)
		}
	}
}
