package terrain

import (
	"math"
	"testing"

	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
)

// A cell 3 m east along the row, and 1 m east and 2 m south down the column: the first
// fundamental form is 3·3, 3·1, 1·1 + 2·2, its determinant 36, a cell's area 6 m².
func TestMetricOfSkewedCells(t *testing.T) {
	m := Metric{A: 5. / 36, B: -3. / 36, C: 9. / 36}
	assert.InDelta(t, 6, m.CellAreaM2(), 1e-12)
	e, f, g := m.Inverse()
	assert.InDeltaSlice(t, []float64{9, 3, 5}, []float64{e, f, g}, 1e-12)
	w, h := m.CellM()
	assert.InDeltaSlice(t, []float64{3, math.Sqrt(5)}, []float64{w, h}, 1e-12)
	x, s, y := m.Plane()
	assert.InDeltaSlice(t, []float64{3, 1, 2}, []float64{x, s, y}, 1e-12)
	for _, d := range [][2]float64{{1, 0}, {0, 1}, {2, -3}, {-1.5, 0.5}} {
		assert.InDelta(t, math.Hypot(3*d[0]+d[1], 2*d[1]), m.LengthM(d[0], d[1]), 1e-12, "%v", d)
	}
}

// Degrees in metres, by geodesics along the parallel and the meridian.
func TestDegreeM(t *testing.T) {
	const step = 1e-3
	for _, lat := range []float64{-75, -16.5, 0, 36.8, 45, 61, 89} {
		lonM, latM := DegreeM(lat)
		assert.InEpsilon(t, geodesic.WGS84.Inverse(lat, 0, lat, step).S12/step, lonM, 1e-9, "%g°", lat)
		assert.InEpsilon(t, geodesic.WGS84.Inverse(lat-step/2, 0, lat+step/2, 0).S12/step, latM, 1e-9, "%g°", lat)
	}
	lonM, latM := DegreeM(90)
	assert.InDelta(t, 0, lonM, 1e-9)
	assert.InDelta(t, 6399593.6258*math.Pi/180, latM, 1e-4, "polar radius of curvature: NIMA TR8350.2, table 3.3")
}
