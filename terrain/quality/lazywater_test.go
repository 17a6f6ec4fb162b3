package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Water asks what coarser raster a grid was drawn from only where there is something to take away
// then: it finds what a whole look does.
func TestWaterIsThatOfAWholeLook(t *testing.T) {
	drawn := func(how string, k float64, change func(g *terrain.Grid)) *terrain.Grid {
		g := resampled(t, how, k)
		change(g)
		return g
	}
	lake := func(g *terrain.Grid) {
		flatten(g, func(c, r int) bool { return disc(c, r, 150, 150, 40) }, 0.3)
	}
	puddles := func(g *terrain.Grid) { // of more cells than count, but not of those it was drawn from
		flatten(g, func(c, r int) bool { return c%60 < 30 && r%60 < 10 && c > 100 && r > 100 }, 0.3)
	}
	still, _ := pond(t, 1, 0.7, 0, 0)
	calm, _ := pond(t, 1, 0.7, 0, 0.001)
	tilted, _ := pond(t, 2, 0.7, 0.0005, 0)
	found := map[bool]int{}
	for name, g := range map[string]*terrain.Grid{
		"dry": steep(t, 200, 150, 1, 1), "gentle": gentle(t, 200, 150, 1, nil), "still": still, "calm": calm, "tilted": tilted,
		"nearest": resampled(t, "nearest", 4), "bilinear": resampled(t, "bilinear", 7), "cubic": resampled(t, "cubic", 5),
		"lake, nearest": drawn("nearest", 5, lake), "lake, bilinear": drawn("bilinear", 10, lake), "lake, cubic": drawn("cubic", 10, lake),
		"puddles, bilinear": drawn("bilinear", 10, puddles), "puddles, nearest": drawn("nearest", 10, puddles),
		"level": gridOf(t, 60, 50, 1, func(_, _ int) float64 { return 100 }),
	} {
		look, err := NewLook(t.Context(), g)
		require.NoError(t, err)
		got, err := Water(g)
		require.NoError(t, err)
		require.Equal(t, look.Water(), got, name)
		found[len(got.List) > 0]++
		found[look.resampled] += 100
	}
	assert.GreaterOrEqual(t, found[true]%100, 5, "with water")
	assert.GreaterOrEqual(t, found[false]%100, 3, "without")
	assert.GreaterOrEqual(t, found[true]/100, 5, "drawn from coarser ones")
}
