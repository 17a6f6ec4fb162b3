package quality

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

// The slope of a plane, a fall of 0.48 to the east and of 0.54 to the south, is 72.25% on
// whatever axes.
func TestFeetOnSkewedAxes(t *testing.T) {
	const w, h, s = 3, 5, 2
	for _, south := range []float64{0.54, -0.54} {
		g := gridOf(t, 60, 50, 1, func(c, r int) float64 { return 500 - 0.48*(w*float64(c)+s*float64(r)) - south*h*float64(r) })
		g.Frame = skewed(t, 60, 50, w, h, s)
		got, steep := findFeet(g)
		require.True(t, steep)
		assert.InDelta(t, 100*math.Hypot(0.48, 0.54), got.MedianPct, 0.01)
	}
}

// On cells in degrees, which shrink to the north, water has the area of its own rows; the
// cell in the middle stands for a window, wherever that lies in the raster.
func TestAreasOnAGridInDegrees(t *testing.T) {
	const n, cell = 200, 0.01
	frame, err := terrain.NewFrame(16, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{12 + c[0]*cell, 60 - c[1]*cell}
		}
		return out, nil
	})
	require.NoError(t, err)
	g := gridOf(t, n, n, 1, func(c, r int) float64 {
		if c >= 50 && c < 60 && r >= 20 && r < 190 {
			return 299
		}
		return 300 + 0.001*float64(r*n+c)
	})
	g.Frame = frame
	whole := waterOf(g, nil, false, resampling{}, nil)
	require.Len(t, whole.List, 1)
	want := 0.0
	for r := 20; r < 190; r++ {
		want += 10 * frame.MetricAt(55, float64(r)+0.5).CellAreaM2()
	}
	assert.InEpsilon(t, want, whole.AreaM2, 1e-9)
	part := *g
	part.Col0, part.Row0, part.Cols, part.Rows, part.Z = 40, 100, 40, 60, g.Z[100*n+40:]
	w, h := part.MiddleCellM()
	mw, mh := frame.MetricAt(60, 130).CellM()
	assert.Equal(t, [2]float64{mw, mh}, [2]float64{w, h})
	assert.Equal(t, Patch{Col: 10, Row: 0, Cells: 600, HeightM: 299, AreaM2: waterOf(&part, nil, false, resampling{}, nil).AreaM2}, waterOf(&part, nil, false, resampling{}, nil).List[0])
	want = 0
	for r := 100; r < 160; r++ {
		want += 10 * frame.MetricAt(55, float64(r)+0.5).CellAreaM2()
	}
	assert.InEpsilon(t, want, waterOf(&part, nil, false, resampling{}, nil).AreaM2, 1e-9)
}

// A void beside ground is no rim, and what lies beyond the window is none.
func TestTheRimOfWater(t *testing.T) {
	g := gridOf(t, 12, 12, 30, func(c, r int) float64 {
		switch {
		case c < 5 && r < 5:
			return 300
		case c == 5 && r < 3:
			return math.NaN()
		case c == 5:
			return 299 - 0.01*float64(r)
		}
		return 301 + 0.001*float64(r*12+c)
	})
	w := waterOf(g, nil, false, resampling{}, nil)
	require.Len(t, w.List, 1)
	// East two lower cells and three voids, south five higher ones.
	assert.InDelta(t, 2.0/7, w.List[0].LowerRim, 1e-12)
	for i := range g.Z { // mirrored, in the other corner
		if i < 72 {
			g.Z[i], g.Z[143-i] = g.Z[143-i], g.Z[i]
		}
	}
	w = waterOf(g, nil, false, resampling{}, nil)
	require.Len(t, w.List, 1)
	assert.InDelta(t, 2.0/7, w.List[0].LowerRim, 1e-12)
}
