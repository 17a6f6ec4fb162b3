package canopy

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// Cause: ground and surface exchanged was mapped with a warning: tree tops and roofs were
// the ground, and the growth on it unknown.
func TestGroundAndSurfaceSwappedIsRefused(t *testing.T) {
	p := newPair(11)
	ground := p.Ground(t)
	for name, surface := range map[string]*terrain.Grid{
		"as it should be": p.Surface(t, 0, 0, 0), "lying half a meter low": p.Surface(t, 0, 0, -0.5), "a cell beside": p.Surface(t, 1, 1, 0),
	} {
		_, report := measured(t, ground, surface, nil)
		assert.False(t, report.Swapped, name)
		assert.NotContains(t, report.Refusal(), "swapped", name)
		_, report = measured(t, surface, ground, nil)
		assert.True(t, report.Swapped, name)
		assert.NotEmpty(t, report.Refusal(), name)
	}
	_, report := measured(t, p.Surface(t, 0, 0, 0), ground, nil)
	assert.Contains(t, report.Refusal(), "ground and surface are swapped; give the bare earth as elevation and the first surface as surface")

	// Another datum is not taken for it.
	_, report = measured(t, ground, p.Surface(t, 0, 0, -3), nil)
	assert.False(t, report.Swapped)
	low := gridOf(t, p.Cols, p.Rows, p.cellM, func(c, r int) float64 { return ground.At(c, r) - 3 })
	_, report = measured(t, ground, low, nil)
	assert.False(t, report.Swapped)

	// Two surveys of bare earth are not swapped, nor is one with pits and posts.
	again := gridOf(t, p.Cols, p.Rows, p.cellM, func(c, r int) float64 {
		switch z := ground.At(c, r); (c*7 + r*13) % 20 {
		case 0:
			return z - 4
		case 1:
			return z + 4
		default:
			return z + 0.1*float64(c%3)
		}
	})
	_, report = measured(t, ground, again, nil)
	assert.False(t, report.Swapped)
}
