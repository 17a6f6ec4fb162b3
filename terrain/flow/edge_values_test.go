package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Two pits under one rim are one hollow, as deep as the deeper of them, though the
// other comes first; of equal ones the first is told.
func TestAHollowIsAsDeepAsTheDeeperOfItsPits(t *testing.T) {
	for _, c := range []struct {
		second float64
		col    int
		depthM float64
	}{{1, 5, 6}, {3, 2, 4}, {4, 2, 4}} {
		g := listed(t, [][]float64{
			{9, 9, 9, 9, 9, 9, 9, 9},
			{9, 5, 5, 5, 5, 5, 5, 9},
			{7, 5, 3, 5, 5, c.second, 5, 9},
			{9, 5, 5, 5, 5, 5, 5, 9},
			{9, 9, 9, 9, 9, 9, 9, 9},
		})
		d := must(Drain(t.Context(), g, Options{HollowDepthM: 1, HollowM2: 10}))
		require.Len(t, d.Hollows, 1)
		h := d.Hollows[0]
		assert.Equal(t, Hollow{Col: c.col, Row: 2, DepthM: c.depthM, RimM: 7, Cells: 18, AreaM2: h.AreaM2}, h)
		assert.InDelta(t, 18, h.AreaM2, 1e-9)
	}
}

// An area of more cells than are counted is the most that is counted, no negative one.
func TestAnAreaOfTooManyCells(t *testing.T) {
	m := metricOf(1, 0, 1)
	assert.Equal(t, int32(3), areaCells(2.5, m))
	assert.Equal(t, int32(math.MaxInt32), areaCells(1e12, m))
	assert.Equal(t, int32(math.MaxInt32), areaCells(math.Inf(1), m))
}
