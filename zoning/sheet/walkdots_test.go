package sheet

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// What is to be walked first was told in acres, and nobody saw where it lies.
func TestWalkFirstGroundIsDotted(t *testing.T) {
	g, zm := level(t)
	p, _, _, ok := PlaneOf(g.Frame, zm)
	require.True(t, ok)
	zm.Field = must(slope.Of(g))
	zm.Cells = &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows, Col0: g.Col0, Row0: g.Row0, Frame: g.Frame}}
	painter := NewPainter(g)
	v := View{Plane: p, MetresPerDot: 1, Width: 240, Height: 140}
	// dots counts those that walk dots changed, in the west and in the east of the lot.
	dots := func(sure []float64) (west, east int) {
		plain := decoded(t, func(b *bytes.Buffer) error { return painter.Paint(b, zm, v, AllBands) })
		marked := decoded(t, func(b *bytes.Buffer) error { return painter.PaintWalkFirst(b, zm, v, AllBands, sure) })
		for y := 25; y < 115; y++ {
			for x := 30; x < 210; x++ {
				if plain.At(x, y) == marked.At(x, y) {
					continue
				}
				if x < 115 {
					west++
				} else if x > 125 {
					east++
				}
			}
		}
		return west, east
	}
	west, east := dots([]float64{10, 10, 60})
	assert.Equal(t, []int{0, 0}, []int{west, east}, "all of it is surely within its limits")
	west, east = dots([]float64{10, 10, 40})
	assert.Zero(t, west, "level ground is sure")
	assert.Greater(t, east, 1000, "50% is not surely under a limit that is sure to 40%")
	west, _ = dots([]float64{0, 10, 60})
	assert.Greater(t, west, 1000)
	zm.Cells.Unsure = make([]bool, len(zm.Cells.Masks))
	for i := range zm.Cells.Unsure {
		zm.Cells.Unsure[i] = true
	}
	west, east = dots([]float64{10, 10, 60})
	assert.Greater(t, min(west, east), 1000, "what comes from poorer data is never sure")
}
