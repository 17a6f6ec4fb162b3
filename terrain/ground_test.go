package terrain_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// Cause: heights that no ground has were voids only where GDAL had read them, so a hole
// of -9999 in a grid of numbers was a flat pit that any machine may work.
func TestHeightsThatNoGroundHasAreVoids(t *testing.T) {
	const side = 20
	inf := float32(math.Inf(1))
	for _, hole := range []float32{-9999, -32768, -500.01, 9000.5, 32767, 3.4e38, inf, -inf} {
		z := make([]float32, side*side)
		for i := range z {
			z[i] = 300 + float32(i%side)
		}
		for r := 5; r < 11; r++ {
			for c := 5; c < 11; c++ {
				z[r*side+c] = hole
			}
		}
		g, err := terrain.NewGrid(z, side, side, 1, 1)
		require.NoError(t, err)
		assert.Equal(t, 36, g.Voids(), hole)
		assert.Equal(t, hole, z[5*side+5], "the caller's heights stay as they are")
		field := must(slope.Of(g))
		for r := 5; r < 11; r++ {
			for c := 5; c < 11; c++ {
				assert.True(t, math.IsNaN(field.Pct(c, r)), hole)
			}
		}
		low, high := g.HeightsM()
		assert.Equal(t, [2]float64{300, 319}, [2]float64{low, high}, hole)
	}
	g, err := terrain.NewGrid([]float32{-500, 9000, -431, 8849}, 2, 2, 1, 1)
	require.NoError(t, err)
	assert.Zero(t, g.Voids(), "the bounds themselves are ground")
}
