package canopy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// skewed is a frame on the equator whose columns are w metres apart and whose rows h metres,
// each row lying s metres farther east than the one before.
func skewed(t *testing.T, cols, rows int, w, h, s float64) *terrain.Frame {
	const f = 1 / 298.257223563
	const lonM = 6378137 * math.Pi / 180
	const latM = lonM * (1 - f) * (1 - f)
	frame, err := terrain.NewFrame(64, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(w*c[0] + s*c[1]) / lonM, -h * c[1] / latM}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// A shift in cells is as long as its way on the ground, and slopes are those of the ground,
// on skewed axes too.
func TestRegistrationOnSkewedAxes(t *testing.T) {
	const w, h, s = 2, 3, 1
	p := newPair(11)
	frame := skewed(t, p.Cols, p.Rows, w, h, s)
	ground, surface := p.Ground(t), p.Surface(t, 0.9, 0.6, 0)
	ground.Frame, surface.Frame = frame, frame
	_, report := measured(t, ground, surface, nil)
	r := report.Registration
	require.True(t, r.Known)
	assert.InDelta(t, 0.9, r.Cols, 0.1)
	assert.InDelta(t, 0.6, r.Rows, 0.1)
	assert.InDelta(t, math.Hypot(w*r.Cols+s*r.Rows, h*r.Rows), r.M, 1e-4)
	plane := gridOf(t, 20, 20, 1, func(c, r int) float64 { return 300 + 0.3*(w*float64(c)+s*float64(r)) - 0.2*h*float64(r) })
	plane.Frame = skewed(t, 20, 20, w, h, s)
	all := newOverlay(plane, plane).samples(nil)
	require.Len(t, all, 18*18)
	for _, one := range all {
		assert.InDelta(t, math.Hypot(0.3, 0.2), one.Tan, 1e-4)
		assert.InDelta(t, 0.3*w, one.P, 1e-4)
		assert.InDelta(t, 0.3*s-0.2*h, one.Q, 1e-4)
		assert.Zero(t, one.Dh)
	}
	water := make([]bool, 400)
	water[5*20+5] = true
	assert.Len(t, newOverlay(plane, plane).samples(water), 18*18-1)
}
