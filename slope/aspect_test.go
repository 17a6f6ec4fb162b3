package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// azimuth is an aspect in degrees clockwise from the top of a north-up grid.
func azimuth(aspect uint8) float64 {
	return math.Mod(float64(aspect)*360/AspectTurn+90, 360)
}

// half a step of aspect, in degrees
const aspectTol = 360.0 / AspectTurn / 2

// Windows of textbook-style exercises; their downslope azimuths by Horn 1981 are
// computed from the published windows (180.7538, 292.7510, 92.6425 and 180).
func TestAspectOfWorkedWindows(t *testing.T) {
	for _, w := range []struct {
		z       []float32
		cellM   float64
		azimuth float64
	}{
		{[]float32{50, 45, 50, 30, 30, 30, 8, 10, 10}, 5, 180.7538},
		{[]float32{42, 45, 47, 40, 44, 49, 44, 48, 52}, 10, 292.7510},
		{[]float32{101, 92, 85, 101, 92, 85, 101, 91, 84}, 10, 92.6425},
		{[]float32{3, 3, 3, 2, 2, 2, 1, 1, 1}, 10, 180},
	} {
		g := grid(t, w.z, 3, 3, w.cellM, w.cellM)
		f := NewField(g)
		f.AddAspect()
		Rows(g, 0, 3, f)
		assert.InDelta(t, w.azimuth, azimuth(f.Aspect[4]), aspectTol)
	}
}

// A plane falls the same way wherever it is fitted: by Horn and over a footprint,
// inside the grid, on its edge and beside a void, on cells that are not square.
func TestAspectOfPlanes(t *testing.T) {
	const cols, rows, w, h = 17, 15, 2.0, 0.7
	for _, deg := range []float64{0, 17, 90, 133, 200, 271, 359} {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		z := make([]float32, cols*rows)
		for i := range z {
			east, north := float64(i%cols)*w, -float64(i/cols)*h
			z[i] = float32(-0.3 * (east*sin + north*cos))
		}
		z[5*cols+8] = nan
		g := grid(t, z, cols, rows, w, h)
		cell, machine := NewField(g), reliefField(g)
		cell.AddAspect()
		machine.AddAspect()
		Rows(g, 0, rows, cell)
		Planes(g, Footprint{2, 3}, math.Inf(1), 0, rows, machine)
		for _, f := range []*Field{cell, machine} {
			for i, a := range f.Aspect {
				if f.Squared[i] == f.Squared[i] {
					off := math.Abs(math.Remainder(azimuth(a)-deg, 360))
					assert.LessOrEqual(t, off, aspectTol+0.02, "%g° at cell %d", deg, i)
				}
			}
		}
	}
}

// Skewed axes: aspect is on the ground, not on the grid. A column that leans 30°
// east of south by cells of one metre falls straight down the row's right angle.
func TestAspectOnSkewedAxes(t *testing.T) {
	sin, cos := math.Sincos(30 * math.Pi / 180)
	// E, F and G of a row (1, 0) and a column (sin, cos), the second axis to the south.
	det := cos * cos
	m := terrain.Metric{A: 1 / det, B: -sin / det, C: 1 / det}
	// Falling south at 1: no rise along the row, -cos down the column.
	assert.Equal(t, uint8(AspectTurn/4), aspectOf(0, -cos, m))
	// Falling east at 1: -1 along the row, -sin down the column.
	assert.Equal(t, uint8(0), aspectOf(-1, -sin, m))
}
