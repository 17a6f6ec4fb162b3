package quality

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// woods puts round crowns of 4 to 18 m on a share of the ground.
func woods(t testing.TB, cellM, share float64) *terrain.Grid {
	rnd := rand.New(rand.NewPCG(11, 4))
	g := gentle(t, 300, 300, cellM, nil)
	covered := make([]bool, len(g.Z))
	for n := 0; float64(n) < share*float64(len(g.Z)); {
		radius := 1.5 + 3*rnd.Float64() // metres
		top := 4 + 14*rnd.Float64()
		x, y := rnd.Float64()*300, rnd.Float64()*300
		reach := radius / cellM
		for r := max(0, int(y-reach)); r <= min(299, int(y+reach)); r++ {
			for c := max(0, int(x-reach)); c <= min(299, int(x+reach)); c++ {
				d := math.Hypot(float64(c)-x, float64(r)-y) / reach
				if i := r*300 + c; d < 1 && !covered[i] {
					covered[i] = true
					n++
					g.Z[i] += float32(top * math.Sqrt(1-d*d))
				}
			}
		}
	}
	return g
}

// surfaceOf asks a grid of which nothing is known yet.
func surfaceOf(g *terrain.Grid) (roughness, bool) {
	stairs, stepped := findStairs(g)
	return findSurface(g, stairs, stepped, nil)
}

func TestTreeTopsAreASurface(t *testing.T) {
	for _, cell := range []float64{0.5, 1, 2} {
		for _, share := range []float64{0.3, 0.7} {
			s, ok := surfaceOf(woods(t, cell, share))
			assert.True(t, ok, "%g of the ground under trees, %g m: %.3f", share, cell, s.Share)
		}
	}
	assert.Contains(t, kinds(must(Doubts(woods(t, 1, 0.5), true))), DoubtSurface)
}

func TestRoofsAreASurface(t *testing.T) {
	g := gentle(t, 300, 300, 1, func(h float64, c, r int) float64 {
		if c%30 < 15 && r%30 < 12 {
			return h + 6
		}
		return h
	})
	_, ok := surfaceOf(g)
	assert.True(t, ok)
}

func TestBareGroundIsNoSurface(t *testing.T) {
	for name, g := range map[string]*terrain.Grid{
		"gentle":         gentle(t, 300, 300, 1, nil),
		"steep":          steep(t, 300, 300, 1, 1),
		"steep, 2 m":     steep(t, 300, 300, 2, 1),
		"a plane of 80%": gridOf(t, 300, 300, 2, func(c, r int) float64 { return 200 + 1.6*float64(c) }),
		"terraces of 3 m": gentle(t, 300, 300, 2, func(h float64, c, r int) float64 {
			return h + 3*float64(c/75)
		}),
		"too coarse to say": gentle(t, 300, 300, 10, func(h float64, c, r int) float64 { return h + 20*float64(c%2) }),
		"whole meters":      gentle(t, 300, 300, 2, func(h float64, c, r int) float64 { return math.Round(h) }),
		"too few trees":     woods(t, 1, 0.01),
	} {
		s, ok := surfaceOf(g)
		assert.False(t, ok, "%s: %.3f", name, s.Share)
	}
}
