package flow

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
)

// Water takes the steepest way on the ground, on skewed axes too: found here cell by cell,
// a step along the row being 3 m east, one down the column 1.2 m east and 2 m south.
func TestSteepestDescentOnSkewedAxes(t *testing.T) {
	const n, w, h, s = 40, 3.0, 2.0, 1.2
	rnd := rand.New(rand.NewPCG(2, 3))
	g := gridOf(t, n, n, 1, 1, func(_, _ int) float64 { return 10 * rnd.Float64() })
	var err error
	g.Frame, err = terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(w*c[0] + s*c[1]) / 111319.4908, -h * c[1] / 110574.2727} // metres in a degree at the equator, WGS84
		}
		return out, nil
	})
	require.NoError(t, err)
	r := newRouting(g, nil, nil)
	r.descend()
	for row := 1; row < n-1; row++ {
		for col := 1; col < n-1; col++ {
			i := row*n + col
			best, want := 0.0, undecided
			for k := range ways {
				j := (row+stepRows[k])*n + col + stepCols[k]
				run := math.Hypot(w*float64(stepCols[k])+s*float64(stepRows[k]), h*float64(stepRows[k]))
				if fall := (float64(g.Z[i]) - float64(g.Z[j])) / run; fall > best {
					best, want = fall, uint8(k)
				}
			}
			require.Equal(t, want, r.dir[i], "column %d, row %d", col, row)
		}
	}
}

// A steep way sees every row that it goes through, also once it is in its last column, and
// a flat one every column.
func TestCrossingsInTheLastColumnOfAWay(t *testing.T) {
	const n = 7
	rows := &Drainage{Cols: n, Rows: n, Wet: runs.Of(n, n, func(i int) bool { return i/n == 4 })}
	cols := &Drainage{Cols: n, Rows: n, Wet: runs.Of(n, n, func(i int) bool { return i%n == 4 })}
	for _, to := range []int{0, 1, 2} {
		assert.Equal(t, 1, must(rows.Crossings([]int{0, 6*n + to})), "%d", to)
		assert.Equal(t, 1, must(rows.Crossings([]int{6*n + to, 0})), "%d", to)
		assert.Equal(t, 1, must(cols.Crossings([]int{0, to*n + 6})), "%d", to)
		assert.Equal(t, 1, must(cols.Crossings([]int{to*n + 6, 0})), "%d", to)
	}
}

// A flat with two outlets drains to the nearer of them, each cell by the fewest steps; areas
// are rounded up to cells.
func TestAFlatDrainsToTheNearerOutlet(t *testing.T) {
	const n = 21
	r, _, _ := routed(gridOf(t, n, 5, 1, 1, func(c, row int) float64 {
		switch {
		case row == 2 && (c == 0 || c == n-1):
			return 1
		case row == 0 || row == 4 || c == 0 || c == n-1:
			return 9
		}
		return 5
	}), nil)
	for c := 1; c < n-1; c++ {
		for row := 1; row < 4; row++ {
			steps, i := 0, row*n+c
			for r.z[i] == 5 {
				i += r.step[r.dir[i]]
				steps++
			}
			require.Equal(t, min(c, n-1-c), steps, "column %d, row %d", c, row)
		}
	}
	assert.EqualValues(t, 11, areaCells(10.5, terrain.Metric{A: 1, C: 1}))
	assert.EqualValues(t, 10, areaCells(10, terrain.Metric{A: 1, C: 1}))
}
