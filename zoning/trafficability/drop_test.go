package trafficability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// step is level ground that falls by a height between two rows of cells.
func step(t *testing.T, heightM float64) *Ground {
	return made(t, 20, 60, 1, 1, func(_, y float64) float64 {
		if y < 30 {
			return heightM
		}
		return 0
	})
}

// By hand. Row 29 is the upper edge; slope of that row and of the next is half the step
// a metre, too steep. What lies nearer to the edge than the machine's footprint, or
// than the drop is high, is kept from, on the upper side alone.
func TestKeepBackFromADrop(t *testing.T) {
	for _, c := range []struct {
		dropM, footprintM float64
		first             int // row that is kept from
	}{
		{6 * foot, 3, 27},          // 27 is 2 m from the edge, 26 is 3 m: not nearer
		{6 * foot, 12 * foot, 26},  // 3.66 m
		{6 * foot, 0, 27},          // [zoning.DefaultFootprintM]
		{30 * foot, 12 * foot, 20}, // 9.14 m
		{4, 3, 26},                 // 26 is 3 m away, 25 is 4 m
		{4.01, 3, 25},
	} {
		g := step(t, c.dropM)
		w := find(g, zoning.Machine{Key: "a", LimitPct: 30, FootprintM: c.footprintM})
		require.Len(t, g.Edges, 20, "%g m", c.dropM)
		for _, e := range g.Edges {
			assert.Equal(t, 29, e.Cell/20)
			assert.Equal(t, 30, e.Foot/20)
			assert.InDelta(t, c.dropM, e.DropM, 1e-6)
		}
		for r, why := range w.reasons(g, 0, 10) {
			want := zoning.Works
			switch {
			case r == 29 || r == 30:
				want = zoning.TooSteep
			case r >= c.first && r < 29:
				want = zoning.NearDropOff
			}
			assert.Equal(t, want, why, "%g m, footprint %g m: row %d", c.dropM, c.footprintM, r)
		}
	}
}

// Planning values: a drop-off falls by 100% or more, and by 3 ft in all.
func TestWhatIsADropOff(t *testing.T) {
	face := func(rise, heightM float64) []Edge {
		g := made(t, 8, 120, 0.5, 0.5, func(_, y float64) float64 { return -min(max(y-15.25, 0)*rise, heightM) })
		return g.Edges
	}
	assert.Empty(t, face(2, 2.9*foot), "2.9 ft")
	assert.Len(t, face(2, 3.1*foot), 8, "3.1 ft")
	assert.Empty(t, face(0.99, 10), "99%")
	long := face(1.01, 10)
	require.Len(t, long, 8, "101%")
	assert.Equal(t, 30, long[0].Cell/8, "only its upper edge")
	assert.InDelta(t, 19*0.505, long[0].DropM, 1e-4, "down to where less than that is left")
	assert.Equal(t, 30+19, long[0].Foot/8)

	stairs := made(t, 8, 60, 0.75, 1, func(x, _ float64) float64 { return -5 * math.Floor(x/3) }).Edges
	require.Len(t, stairs, 60)
	assert.Equal(t, 3, stairs[0].Cell%8, "eastwards, four cells to a stair")
}

func TestNoiseIsNoDropOff(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 1))
	for _, cellM := range []float64{0.5, 1, 3} {
		g := made(t, 200, 200, cellM, cellM, func(x, _ float64) float64 { return 0.3*x + 0.10*rnd.NormFloat64() }) // 10 cm: Lidar Base Specification, QL2 (from memory)
		assert.Empty(t, g.Edges, "cells of %g m", cellM)
	}
}

// On wild ground every drop ends: at a cell that is lower by what is told, and from
// which no neighbour lies as steeply below.
func TestFeetOfDrops(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 2))
	g := made(t, 100, 80, 1, 1, func(_, _ float64) float64 { return 8 * rnd.Float64() })
	for i := range g.Grid.Z {
		if rnd.Float64() < 0.05 {
			g.Grid.Z[i] = float32(math.NaN())
		}
	}
	edges := on(g.Grid).Edges
	require.Greater(t, len(edges), 500)
	for _, e := range edges {
		z := func(i int) float64 { return float64(g.Grid.Z[i]) }
		assert.InDelta(t, e.DropM, z(e.Cell)-z(e.Foot), 1e-9)
		assert.GreaterOrEqual(t, e.DropM, 3*foot)
		for v := -1; v <= 1; v++ {
			for u := -1; u <= 1; u++ {
				c, r := e.Foot%100+u, e.Foot/100+v
				if c >= 0 && r >= 0 && c < 100 && r < 80 && (u != 0 || v != 0) {
					assert.False(t, z(e.Foot)-z(r*100+c) >= math.Hypot(float64(u), float64(v)), "goes on to fall")
				}
			}
		}
	}
}
