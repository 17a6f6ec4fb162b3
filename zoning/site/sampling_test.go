package site

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A way whose start has no height is asked at even spots, two a cell and one more: one of
// 6.2 cells at fourteenths. By hand, on heights that rise as squares, the first two cells
// void: the fifth spot, at 0.3 + 6.2 × 5/14, is the first with a height.
func TestMeanSlopeFromTheFirstSpotThatHasAHeight(t *testing.T) {
	squares := func(c int) float64 {
		if c < 2 {
			return math.NaN()
		}
		return float64(c * c)
	}
	spot := 0.3 + 6.2*5/14
	want := (36 - (4 + 5*(spot-2.5))) / (6.5 - spot)
	wide := heightsOf(t, 8, 1, 1, 1, func(c, _ int) float64 { return squares(c) })
	assert.InDelta(t, want, meanSlope(wide, orb.Point{0.3, 0.5}, orb.Point{6.5, 0.5}, 6.2), 1e-6)
	tall := heightsOf(t, 1, 8, 1, 1, func(_, r int) float64 { return squares(r) })
	assert.InDelta(t, want, meanSlope(tall, orb.Point{0.5, 0.3}, orb.Point{0.5, 6.5}, 6.2), 1e-6)
	west := heightsOf(t, 8, 1, 1, 1, func(c, _ int) float64 { return squares(7 - c) })
	assert.InDelta(t, want, meanSlope(west, orb.Point{7.7, 0.5}, orb.Point{1.5, 0.5}, 6.2), 1e-6)
	north := heightsOf(t, 1, 8, 1, 1, func(_, r int) float64 { return squares(7 - r) })
	assert.InDelta(t, want, meanSlope(north, orb.Point{0.5, 7.7}, orb.Point{0.5, 1.5}, 6.2), 1e-6)
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
// is told with its distance, and none beyond, be it near or far.
func TestNearOnAWideWindow(t *testing.T) {
	const n = 400
	g := heightsOf(t, n, n, 2, 2, func(c, r int) float64 { return 0 })
	for _, at := range [][2]float64{{-20, -20}, {n + 20, -20}, {-20, n + 20}, {n + 20, n + 20}, {n / 2, -40}, {250.3, 250.8}} {
		for _, reach := range []float64{90, 700} {
			want, got := map[int]float64{}, map[int]float64{}
			for r := range n {
				for c := range n {
					if d := 2 * math.Hypot(float64(c)+0.5-at[0], float64(r)+0.5-at[1]); d <= reach {
						want[r*n+c] = d
					}
				}
			}
			require.NoError(t, Near(g, placed(g, at[0], at[1]), reach, func(cell int, distM float64) { got[cell] = distM }))
			require.Len(t, got, len(want), "%v, %g m", at, reach)
			for cell, d := range want {
				if math.Abs(d-got[cell]) > 0.003 {
					t.Fatalf("%v, cell %d: %g m, not %g", at, cell, got[cell], d)
				}
			}
		}
	}
}

// The metric at a point of a window is the raster's there.
func TestTheMetricOfAPointOfAWindow(t *testing.T) {
	g := heightsOf(t, 30, 20, 1, 1, func(c, r int) float64 { return 0 })
	frame, err := terrain.NewFrame(1, 0, 0, 60, 60, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{1e-5 * (c[0] + 0.01*c[0]*c[0]), 10 - 1e-5*(c[1]+0.01*c[1]*c[1])}
		}
		return out, nil
	})
	require.NoError(t, err)
	g.Frame, g.Col0, g.Row0 = frame, 7, 11
	assert.Equal(t, frame.MetricAt(7+3.5, 11+12.25), metricAt(g, orb.Point{3.5, 12.25}))
}

// A staging drawn as a line lies on all cells that it touches, one drawn as a shape on those
// whose middles it holds.
func TestStagingDrawnAsALine(t *testing.T) {
	g := heightsOf(t, 6, 6, 1, 1, func(c, r int) float64 { return 0 })
	line := orb.LineString{placed(g, 1.9, 2.9), placed(g, 4.1, 2.9)}
	shape := orb.Polygon{{placed(g, 1.9, 1.4), placed(g, 4.1, 1.4), placed(g, 4.1, 2.4), placed(g, 1.9, 2.4), placed(g, 1.9, 1.4)}}
	laid := must(Lay([]Feature{{Kind: Staging, Geometry: line}, {Kind: Staging, Geometry: shape}}, g))
	assert.Equal(t, []int{8, 9, 13, 14, 15, 16}, laid.Staging)
}
