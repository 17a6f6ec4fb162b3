package site

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A way whose start has no height is asked at even spots, at least two a cell: of a way of
// 3.2 cells at eighths. By hand, on heights that rise as squares, the first two cells void:
// the sixth spot, at 2.7, is the first with a height, 4 + 0.2 × 5 m; 4 m below the end on
// the last quarter of 3.2 m.
func TestMeanSlopeFromTheFirstSpotThatHasAHeight(t *testing.T) {
	g := heightsOf(t, 6, 1, 1, 1, func(c, _ int) float64 {
		if c < 2 {
			return math.NaN()
		}
		return float64(c * c)
	})
	assert.InDelta(t, 4/(0.25*3.2), meanSlope(g, orb.Point{0.3, 0.5}, orb.Point{3.5, 0.5}, 3.2), 1e-6)
	tall := heightsOf(t, 1, 6, 1, 1, func(_, r int) float64 {
		if r < 2 {
			return math.NaN()
		}
		return float64(r * r)
	})
	assert.InDelta(t, 4/(0.25*3.2), meanSlope(tall, orb.Point{0.5, 0.3}, orb.Point{0.5, 3.5}, 3.2), 1e-6)
}

// Of covers of one class the one with more stems counts, whichever is drawn first; a
// thinner class with more of them does not.
func TestOfOneClassTheMoreStemsCount(t *testing.T) {
	g := heightsOf(t, 4, 4, 1, 1, func(c, r int) float64 { return 0 })
	all := orb.Polygon{{placed(g, 0, 0), placed(g, 4, 0), placed(g, 4, 4), placed(g, 0, 4), placed(g, 0, 0)}}
	few := Feature{Kind: Cover, Geometry: all, Class: Medium, StemsPerAcre: 100}
	many := Feature{Kind: Cover, Geometry: all, Class: Medium, StemsPerAcre: 300}
	thin := Feature{Kind: Cover, Geometry: all, Class: Light, StemsPerAcre: 900}
	for _, features := range [][]Feature{{few, many}, {many, few}, {thin, few, many}, {many, thin, few}} {
		laid := must(Lay(features, g))
		assert.Equal(t, Medium, laid.Class[5])
		assert.EqualValues(t, 300, laid.StemsPerAcre[5])
	}
}

// Within no distance of a shape lie the cells whose middles it holds.
func TestNearWithoutADistance(t *testing.T) {
	g := heightsOf(t, 9, 9, 1, 1, func(c, r int) float64 { return 0 })
	var got []int
	box := orb.Polygon{{placed(g, 2.2, 3.2), placed(g, 4.8, 3.2), placed(g, 4.8, 4.8), placed(g, 2.2, 4.8), placed(g, 2.2, 3.2)}}
	require.NoError(t, Near(g, box, 0, func(cell int, distM float64) {
		assert.Zero(t, distM)
		got = append(got, cell)
	}))
	assert.ElementsMatch(t, []int{29, 30, 31, 38, 39, 40}, got)
}

// A wide window is searched by halves: every cell within reach of a spot beyond its corner
// is told, and none beyond.
func TestNearOnAWideWindow(t *testing.T) {
	const n = 500
	g := heightsOf(t, n, n, 2, 2, func(c, r int) float64 { return 0 })
	for _, at := range [][2]float64{{-20, -20}, {n + 20, -20}, {-20, n + 20}, {n + 20, n + 20}, {n / 2, -40}, {250.3, 250.8}} {
		const reach = 70.0
		var want, got int
		for r := range n {
			for c := range n {
				if 2*math.Hypot(float64(c)+0.5-at[0], float64(r)+0.5-at[1]) <= reach {
					want++
				}
			}
		}
		require.NoError(t, Near(g, placed(g, at[0], at[1]), reach, func(int, float64) { got++ }))
		assert.Equal(t, want, got, "%v", at)
	}
}
