package profile

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The fall line of a plane runs by its gradient: here to the east at 30% and to the north at
// 10%, on cells that are not square; of a bank, square to it.
func TestFallLine(t *testing.T) {
	g := made(t, 60, 80, func(c, r int) float64 { return 300 - 0.6*float64(c) + 0.1*float64(r) })
	at := place(g, 30.5, 40.5)
	for _, radius := range []float64{0, 2, 15} {
		upper, lower, ok := FallLine(g, at, 40, radius)
		require.True(t, ok)
		p, err := Along(g, upper, lower)
		require.NoError(t, err)
		assert.InDelta(t, 40, p.LengthM(), 1e-6)
		assert.InDelta(t, 300-18+4, p.HeightAt(20), 1e-3)
		assert.InDelta(t, -100*math.Hypot(0.3, 0.1), p.SlopePct(len(p.DistancesM)/2, 40), 0.01, "the whole slope lies along it")
	}
	bank := made(t, 60, 80, func(c, r int) float64 {
		if r > 40 {
			return 96
		}
		return 100 + 0.02*float64(c)
	})
	upper, lower, ok := FallLine(bank, place(bank, 30.5, 40.5), 20, 4)
	require.True(t, ok)
	_, top := bank.Frame.Cell(upper[0], upper[1])
	_, foot := bank.Frame.Cell(lower[0], lower[1])
	assert.InDelta(t, 30.5, top, 0.2)
	assert.InDelta(t, 50.5, foot, 0.2)
}

func TestNoFallLine(t *testing.T) {
	level := made(t, 9, 9, func(c, r int) float64 { return 100 })
	_, _, ok := FallLine(level, place(level, 4.5, 4.5), 10, 3)
	assert.False(t, ok, "level ground falls nowhere")
	void := made(t, 9, 9, func(c, r int) float64 {
		if c != 4 {
			return math.NaN()
		}
		return float64(r)
	})
	_, _, ok = FallLine(void, place(void, 4.5, 4.5), 10, 3)
	assert.False(t, ok, "heights of one line of cells tell no fall across it")
	_, _, ok = FallLine(level, place(level, 40, 40), 10, 3)
	assert.False(t, ok, "off the grid")
	_, _, ok = FallLine(nil, [2]float64{}, 10, 3)
	assert.False(t, ok)
}
