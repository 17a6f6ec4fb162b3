package canopy

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// madeGround is rolling ground made of octaves of waves whose height halves with
// their length, eight directions each, under lidar noise of 2 cm.
type madeGround struct {
	waves  []wave
	noise  *rand.Rand
	noiseM float64
}

type wave struct{ kx, ky, phase, height float64 }

func newGround(seed uint64, longest, relief float64) madeGround {
	rnd := rand.New(rand.NewPCG(seed, 7))
	g := madeGround{noise: rand.New(rand.NewPCG(seed, 8)), noiseM: 0.02}
	const octaves, directions = 6, 8
	length, height := longest, relief
	for range octaves {
		for i := range directions {
			s, c := math.Sincos(math.Pi * (float64(i) + rnd.Float64()) / directions)
			k := 2 * math.Pi / (length * (0.8 + 0.4*rnd.Float64()))
			g.waves = append(g.waves, wave{k * c, k * s, 2 * math.Pi * rnd.Float64(), height / directions})
		}
		length, height = length/2, height/2
	}
	return g
}

func (g madeGround) smooth(x, y float64) float64 {
	z := 0.0
	for _, w := range g.waves {
		z += w.height * math.Sin(w.kx*x+w.ky*y+w.phase)
	}
	return z
}

// madeOnce keeps the waves of a seed, a row-major grid of one unit's cells.
var madeOnce = map[[3]int][]float64{}

// ground is how high the waves of [newGround], longest and relief counted in
// cells, stand at each cell, in cells; and noise in metres.
func ground(seed uint64, cols, rows int, longest, relief float64) (cells []float64, noise func() float64) {
	g := newGround(seed, longest, relief)
	key := [3]int{int(seed), cols, rows}
	if madeOnce[key] == nil {
		z := make([]float64, 0, cols*rows)
		for r := range rows {
			for c := range cols {
				z = append(z, g.smooth(float64(c), float64(r)))
			}
		}
		madeOnce[key] = z
	}
	return madeOnce[key], func() float64 { return g.noiseM * g.noise.NormFloat64() }
}

// gridOf samples heights in metres at the middles of square cells. Its Z0 is
// not nil, as that of a grid read from a raster.
func gridOf(t testing.TB, cols, rows int, cellM float64, height func(c, r int) float64) *terrain.Grid {
	t.Helper()
	const z0 = 100
	z := make([]float32, cols*rows)
	for r := range rows {
		for c := range cols {
			z[r*cols+c] = float32(height(c, r) - z0)
		}
	}
	g, err := terrain.NewGrid(z, cols, rows, cellM, cellM)
	require.NoError(t, err)
	g.Z0 = z0
	return g
}

// gentle is 300 m above the sea and slopes 5%, with waves of 200 cells.
func gentle(t testing.TB, cols, rows int, cellM float64, change func(h float64, c, r int) float64) *terrain.Grid {
	waves, noise := ground(3, cols, rows, 200, 3)
	return gridOf(t, cols, rows, cellM, func(c, r int) float64 {
		x, y := float64(c)*cellM, float64(r)*cellM
		h := 300 + 0.04*x + 0.03*y + waves[r*cols+c]*cellM + noise()
		if change != nil {
			return change(h, c, r)
		}
		return h
	})
}

func over(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// measured is [Growth] of grids that can be used.
func measured(t testing.TB, ground, surface *terrain.Grid, water []bool) ([]float32, GrowthReport) {
	t.Helper()
	growth, report, err := Growth(ground, surface, water)
	require.NoError(t, err)
	return growth, report
}
