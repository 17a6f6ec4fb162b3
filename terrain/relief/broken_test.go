package relief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Cause: shading and contours took any grid, and panicked in their caller's goroutine.
func TestBrokenGridsAreErrors(t *testing.T) {
	sound := contourGrid(t, 3, 1, 2, 3, 4, 5, 6)
	for name, change := range map[string]func(*terrain.Grid) *terrain.Grid{
		"none":             func(*terrain.Grid) *terrain.Grid { return nil },
		"empty":            func(*terrain.Grid) *terrain.Grid { return &terrain.Grid{} },
		"ragged":           func(g *terrain.Grid) *terrain.Grid { g.Z = g.Z[:5]; return g },
		"narrow stride":    func(g *terrain.Grid) *terrain.Grid { g.Stride = 2; return g },
		"below none":       func(g *terrain.Grid) *terrain.Grid { g.Rows = -1; return g },
		"more than memory": func(g *terrain.Grid) *terrain.Grid { g.Rows = math.MaxInt; return g },
		"beyond counting":  func(g *terrain.Grid) *terrain.Grid { g.Col0 = math.MaxInt - 1; return g },
		"no frame":         func(g *terrain.Grid) *terrain.Grid { g.Frame = nil; return g },
		"an empty frame":   func(g *terrain.Grid) *terrain.Grid { g.Frame = &terrain.Frame{}; return g },
	} {
		g := *sound
		broken := change(&g)
		_, err := Shade(broken, 1)
		assert.Error(t, err, name)
		_, err = Contours(broken, []float64{2})
		assert.Error(t, err, name)
	}
	for _, every := range []int{math.MinInt, 0, 1, 2, math.MaxInt} {
		r, err := Shade(sound, every)
		require.NoError(t, err)
		assert.NotEmpty(t, r.Lit, every)
	}
	assert.True(t, math.IsNaN(new(Relief).At(1, 1)))
	assert.False(t, Contour{}.Closed())
}

// Heights that no number tells, on sound cells, end in no panic.
func TestHeightsOfNoNumber(t *testing.T) {
	inf := math.Inf(1)
	for _, h := range []float64{math.NaN(), inf, -inf, math.MaxFloat32} {
		g := contourGrid(t, 3, 1, 2, 3, 4, 5, 6, 7, 8, 9)
		g.Z[4] = float32(h)
		_, err := Shade(g, 1)
		require.NoError(t, err)
		_, err = Contours(g, []float64{2.5, 6.5})
		require.NoError(t, err)
	}
}

// Cause: an interval or a height of no number listed contours without end.
func TestContoursThatNobodyCanDraw(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	g := contourGrid(t, 3, 1, 2, 3, 4, 5, 6)
	for _, heights := range [][]float64{{nan}, {inf}, {-inf, 2}, {3, 2}, {2, 2}, {2, nan}} {
		_, err := Contours(g, heights)
		assert.ErrorContains(t, err, "heights must rise", heights)
	}
	for _, c := range [][2]float64{{0, inf}, {-inf, 0}, {nan, 3}, {3, nan}, {0, 1e9}, {-1e9, 0}} {
		_, err := ChooseContourInterval(c[0], c[1], 0, 10, "ft")
		assert.ErrorContains(t, err, "which no ground has", c)
	}
	for _, i := range []ContourInterval{{0, "m"}, {-1, "m"}, {nan, "ft"}, {1e-9, "m"}} {
		_, err := i.Levels(0, 1000)
		assert.ErrorContains(t, err, "an interval above 0", i)
	}
	for _, c := range [][2]float64{{0, inf}, {-inf, 0}, {-inf, inf}} {
		_, err := ContourInterval{5, "ft"}.Levels(c[0], c[1])
		assert.Error(t, err, c)
	}
	chosen, err := ChooseContourInterval(0, 10, nan, 10, "ft")
	require.NoError(t, err)
	assert.Equal(t, ContourInterval{5000, "ft"}, chosen, "of heights whose error is no number")
}
