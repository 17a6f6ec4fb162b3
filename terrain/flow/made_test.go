package flow

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
)

// gridOf makes a grid of heights in metres on cells of dx × dy metres.
func gridOf(t testing.TB, cols, rows int, dx, dy float64, height func(c, r int) float64) *terrain.Grid {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(height(i%cols, i/cols))
	}
	g, err := terrain.NewGrid(z, cols, rows, dx, dy)
	require.NoError(t, err)
	return g
}

// listed makes a grid of metre cells from rows of heights.
func listed(t testing.TB, rows [][]float64) *terrain.Grid {
	t.Helper()
	return gridOf(t, len(rows[0]), len(rows), 1, 1, func(c, r int) float64 { return rows[r][c] })
}

// noise gives every cell a height of its own, a share of the cells a void, and
// with steps above 0 whole steps instead, so that there are flats.
func noise(t testing.TB, seed uint64, cols, rows int, voids float64, steps int) *terrain.Grid {
	rnd := rand.New(rand.NewPCG(seed, 1))
	return gridOf(t, cols, rows, 1, 1, func(int, int) float64 {
		z := rnd.Float64() * 10
		if rnd.Float64() < voids {
			return math.NaN()
		}
		if steps > 0 {
			return math.Floor(z / 10 * float64(steps))
		}
		return z
	})
}

// hills are waves under lidar noise of 3 cm, with pits and passes.
func hills(t testing.TB, cols, rows int, cellM float64) *terrain.Grid {
	rnd := rand.New(rand.NewPCG(9, 9))
	return gridOf(t, cols, rows, cellM, cellM, func(c, r int) float64 {
		x, y := float64(c)*cellM, float64(r)*cellM
		return 0.04*x + 0.02*y + 9*math.Sin(x/61+y/170)*math.Cos(y/53) + 1.5*math.Sin(x/11-y/17) + 0.03*rnd.NormFloat64()
	})
}

// routed is a routing, the height to which each cell fills, -Inf for a void, and
// the counts.
func routed(g *terrain.Grid, water *quality.Patches) (r *routing, filled []float64, upslope []int32) {
	r, level := route(g, water, nil)
	filled = make([]float64, len(r.z))
	for i, z := range r.z {
		filled[i] = math.Inf(-1)
		if z == z {
			filled[i] = math.Max(float64(z), float64(level[r.basin[i]]))
		}
	}
	return r, filled, r.gather()
}

// grids are small grids of all sorts.
func grids(t testing.TB) []*terrain.Grid {
	var all []*terrain.Grid
	for seed := range uint64(12) {
		for _, voids := range []float64{0, 0.05, 0.4} {
			for _, steps := range []int{0, 2, 4} {
				rnd := rand.New(rand.NewPCG(seed, 3))
				all = append(all, noise(t, seed, 1+rnd.IntN(23), 1+rnd.IntN(23), voids, steps))
			}
		}
	}
	return append(all, hills(t, 90, 70, 2), noise(t, 1, 5, 4, 1, 0), noise(t, 1, 30, 30, 0, 1))
}
