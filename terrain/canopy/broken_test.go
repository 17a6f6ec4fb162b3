package canopy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Cause: growth took any two grids and any water, and panicked in its caller's goroutine.
func TestBrokenInputsAreErrors(t *testing.T) {
	sound := gentle(t, 40, 30, 1, nil)
	for name, change := range map[string]func(*terrain.Grid) *terrain.Grid{
		"none":            func(*terrain.Grid) *terrain.Grid { return nil },
		"empty":           func(*terrain.Grid) *terrain.Grid { return &terrain.Grid{} },
		"ragged":          func(g *terrain.Grid) *terrain.Grid { g.Z = g.Z[:1199]; return g },
		"endless":         func(g *terrain.Grid) *terrain.Grid { g.Rows = math.MaxInt; return g },
		"beyond counting": func(g *terrain.Grid) *terrain.Grid { g.Row0 = math.MinInt; return g },
		"no frame":        func(g *terrain.Grid) *terrain.Grid { g.Frame = nil; return g },
	} {
		g := *sound
		broken := change(&g)
		_, _, err := Growth(broken, sound, nil)
		assert.ErrorContains(t, err, "the ground: ", name)
		_, _, err = Growth(sound, broken, nil)
		assert.ErrorContains(t, err, "the surface: ", name)
	}
	for _, n := range []int{0, 1, 1199, 1201} {
		_, _, err := Growth(sound, sound, make([]bool, n))
		assert.ErrorContains(t, err, "for a ground of 1200", n)
	}
}

// Heights of no number, and a surface on the other side of the earth, are refused in words.
func TestHeightsOfNoNumberAreNoGrowth(t *testing.T) {
	ground := gentle(t, 40, 30, 1, nil)
	for _, h := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		surface := gentle(t, 40, 30, 1, func(float64, int, int) float64 { return h })
		_, report, err := Growth(ground, surface, nil)
		require.NoError(t, err)
		assert.NotEmpty(t, report.Refusal(), h)
		_, _, err = Growth(surface, ground, nil)
		require.NoError(t, err)
	}
	away := gentle(t, 40, 30, 1, nil)
	var err error
	away.Frame, err = terrain.NewFrame(64, 0, 0, 40, 30, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{-111 + c[0]*1e-5, 36 - c[1]*1e-5}
		}
		return out, nil
	})
	require.NoError(t, err)
	growth, report, err := Growth(ground, away, nil)
	require.NoError(t, err)
	assert.Contains(t, report.Refusal(), "no height anywhere on the ground")
	assert.Len(t, growth, 1200)
}
