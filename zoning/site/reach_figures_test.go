package site

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// As many cells lie within reach as there are where they are smallest, in the middle of a
// window or in a corner: by hand a hundred-thousandth of a degree on the equator,
// 1.113 m a column and 1.106 m a row, and a twentieth and one more.
func TestReachIsThatOfTheSmallestCells(t *testing.T) {
	const cols, rows = 80, 60
	for _, smallest := range [][2]float64{{0, 0}, {cols, 0}, {0, rows}, {cols, rows}, {cols / 2, rows / 2}} {
		frame, err := terrain.NewFrame(1, 0, 0, cols+20, rows+20, func(cells [][2]float64) ([][2]float64, error) {
			grown := func(v float64) float64 { return 1e-5 * (v + 0.02*v*math.Abs(v)) }
			out := make([][2]float64, len(cells))
			for i, c := range cells {
				out[i] = [2]float64{grown(c[0] - 7 - smallest[0]), -grown(c[1] - 11 - smallest[1])}
			}
			return out, nil
		})
		require.NoError(t, err)
		g := &terrain.Grid{Z: make([]float32, cols*rows), Cols: cols, Rows: rows, Stride: cols, Col0: 7, Row0: 11, Frame: frame}
		c, r := reachCells(g, 1000)
		assert.InEpsilon(t, 1.05*1000/1.1132+1, c, 0.03, "%v", smallest)
		assert.InEpsilon(t, 1.05*1000/1.1057+1, r, 0.03, "%v", smallest)
	}
	l := &layer{grid: &terrain.Grid{Cols: 6, Rows: 4}}
	assert.Equal(t, orb.Point{1.5, 2.5}, l.middle(13))
}

// Travel, bridges, and a staging drawn as an area say that machines go there.
func TestWhatOpensGround(t *testing.T) {
	area, line := orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}, orb.LineString{{0, 0}, {1, 0}}
	for _, k := range AllKinds() {
		always := k == Travel || k == Bridge
		assert.Equal(t, always || k == Staging, Feature{Kind: k, Geometry: area}.opens(), k)
		assert.Equal(t, always, Feature{Kind: k, Geometry: line}.opens(), k)
	}
	kinds := AllKinds()
	assert.Len(t, kinds, len(specs))
	assert.Subset(t, kinds, []Kind{NoGo, Building, Cover, Travel, Bridge, Staging, Water, People})
}
