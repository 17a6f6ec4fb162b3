package mapping

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/site"
)

// Classes by share of known ground and height: common practice, no source.
func TestClassOfCover(t *testing.T) {
	for _, c := range []struct {
		known, low, tall, trees int32 // of 100 cells
		want                    site.Class
	}{
		{100, 0, 0, 0, site.Open},
		{100, 9, 9, 9, site.Open},
		{100, 10, 0, 0, site.Light},
		{100, 59, 19, 0, site.Light},
		{100, 60, 0, 0, site.Medium},
		{100, 30, 20, 0, site.Medium},
		{100, 59, 59, 39, site.Medium},
		{100, 60, 60, 0, site.Heavy},
		{100, 40, 40, 40, site.Heavy},
		{50, 20, 20, 20, site.Heavy},
		{49, 49, 49, 49, site.NoClass},
		{0, 0, 0, 0, site.NoClass},
	} {
		assert.Equal(t, c.want, coverCount{c.known, c.low, c.tall, c.trees}.class(100), "%v", c)
	}
}

// The sums that slide say what a window counted anew says, at edges too, and a height that is not known counts for nothing.
func TestSlidingWindowsCountAsWholeOnes(t *testing.T) {
	grid, err := terrain.NewGrid(make([]float32, 41*33), 41, 33, 2, 3)
	require.NoError(t, err)
	heights := make([]float32, 41*33)
	for i := range heights {
		heights[i] = float32((i * 7919 % 101) % 12)
		if i%13 == 0 {
			heights[i] = float32(math.NaN())
		}
	}
	got := proposeCover(heights, &terrain.Elevation{Grid: grid})
	const across, down = 5, 3
	for row := range 33 {
		for col := range 41 {
			var count coverCount
			cells := 0
			for r := max(0, row-down); r < min(33, row+down+1); r++ {
				for c := max(0, col-across); c < min(41, col+across+1); c++ {
					count.add(countOf(heights[r*41+c]), 1)
					cells++
				}
			}
			assert.Equal(t, count.class(cells), got[row*41+col], "col %d row %d", col, row)
		}
	}
}

// What is proposed is told by zone, with its date, and sums to ground whose growth is known; a cell of no surface proposes nothing.
func TestProposedCoverIsToldByZone(t *testing.T) {
	g, surface := groundOf(t, sloping)
	assert.Equal(t, site.NoClass, g.ProposedCover(0))
	s := surface(func(c, r int) float64 {
		if c >= 30 {
			return sloping(c, r) + 12
		}
		return sloping(c, r)
	})
	s.Sources[0].Surveyed = "2021-05-06"
	require.NoError(t, g.AddSurface(s))
	assert.Equal(t, site.Open, g.ProposedCover(30*60+15))
	assert.Equal(t, site.Heavy, g.ProposedCover(30*60+45))
	assert.Contains(t, g.CoverWords(), "proposed from lidar of 2021-05-06, by height and closure (common practice, no source)")
	m, err := Map(t.Context(), g, fleet.Default(), Options{})
	require.NoError(t, err)
	sum := m.Growth.CoverTotal()
	assert.InDelta(t, m.Lots[0].Acres, sum[0]+sum[1]+sum[2]+sum[3], 1e-6)
	assert.InDelta(t, m.Lots[0].Acres/2, sum[3], 0.2*m.Lots[0].Acres)
	assert.NotContains(t, m.Growth.Cover, "no-go")
}
