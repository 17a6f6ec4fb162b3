package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// On two draws the nearest cell of a line is as near as the nearest of all its cells, tried
// one by one; lines with less flow than asked for are none.
func TestNearestLineAgainstAllCells(t *testing.T) {
	const cols, rows = 90, 70
	z := make([]float32, cols*rows)
	for i := range z {
		x, y := float64(i%cols), float64(i/cols)
		z[i] = float32(0.2*math.Abs(math.Remainder(x+0.4*y, 23)) - 0.05*y + 0.3*math.Sin(x/5)*math.Cos(y/7))
	}
	g, err := terrain.NewGrid(z, cols, rows, 3, 2)
	require.NoError(t, err)
	d, err := Drain(t.Context(), g, Options{LineM2: 1500})
	require.NoError(t, err)
	leastM2 := 0.0
	for _, l := range d.Lines {
		leastM2 = max(leastM2, 0.8*l.MouthM2)
	}
	on := map[int]bool{}
	some, all := 0, 0
	for _, l := range d.Lines {
		all++
		if l.MouthM2 >= leastM2 {
			some++
			l.eachCell(g, func(i int) { on[i] = true })
		}
	}
	require.Greater(t, some, 0)
	require.Greater(t, all, some)
	cells, metres := d.NearestLine(g, leastM2)
	for i := range cells {
		least := math.Inf(1)
		for j := range on {
			least = min(least, math.Hypot(3*float64(j%cols-i%cols), 2*float64(j/cols-i/cols)))
		}
		require.True(t, on[int(cells[i])], "cell %d", i)
		at := int(cells[i])
		assert.InDelta(t, math.Hypot(3*float64(at%cols-i%cols), 2*float64(at/cols-i/cols)), metres[i], 1e-4)
		assert.InDelta(t, least, metres[i], 0.1, "cell %d", i)
	}
	cells, metres = d.NearestLine(g, math.Inf(1))
	assert.Equal(t, int32(-1), cells[0])
	assert.True(t, math.IsInf(float64(metres[0]), 1))
}
