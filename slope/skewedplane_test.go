package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A plane on axes that are not square has one slope, and falls one way, on all cells: in the
// middle, at the rim and beside a void, at cell scale and at machine scale. By hand: it
// rises 0.3 m a metre east and 0.2 m a metre north, which is √0.13 = 36.06%; columns go
// 0.9 m east and 0.3 m north, rows 0.4 m east and 1 m south, near longitude and latitude 0.
func TestPlaneOnSkewedAxes(t *testing.T) {
	const cols, rows = 40, 12
	const degree = 6378137 * math.Pi / 180 // of longitude on the equator, WGS84
	const flat = 1 - 0.00669437999014      // a degree of latitude there against that
	at := func(c, r float64) (east, north float64) { return 0.9*c + 0.4*r, 0.3*c - r }
	frame, err := terrain.NewFrame(64, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			east, north := at(c[0], c[1])
			out[i] = [2]float64{east / degree, north / (degree * flat)}
		}
		return out, nil
	})
	require.NoError(t, err)
	z := make([]float32, cols*rows)
	for i := range z {
		east, north := at(float64(i%cols)+0.5, float64(i/cols)+0.5)
		z[i] = float32(0.3*east + 0.2*north)
	}
	z[5*cols+7] = float32(math.NaN())
	g := &terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Frame: frame}
	// The fall, -0.3 m east and -0.2 m north, from the row's direction (18.4° north of east)
	// clockwise: 146.3° + 18.4° = 164.7° or 117 of 256.
	toward := math.Mod(math.Atan2(0.2, -0.3)+math.Atan2(0.3, 0.9)+2*math.Pi, 2*math.Pi) / (2 * math.Pi) * 256
	for name, compute := range map[string]func(f *Field){
		"cells":  func(f *Field) { Rows(g, 0, rows, f) },
		"3 by 3": func(f *Field) { Planes(g, Footprint{1, 1}, 0.5, 0, rows, f) },
		"7 by 5": func(f *Field) { Planes(g, Footprint{3, 2}, 0.5, 0, rows, f) },
	} {
		f := NewField(g)
		f.AddAspect()
		f.AddRelief()
		compute(f)
		for i := range z {
			if i == 5*cols+7 {
				assert.True(t, math.IsNaN(float64(f.Squared[i])), name)
				continue
			}
			assert.InDelta(t, 0.13, f.Squared[i], 2e-5, "%s: cell %d", name, i)
			assert.InDelta(t, toward, float64(f.Aspect[i]), 1, "%s: cell %d", name, i)
		}
	}
}

// Each cell has the metric of its own middle, at the rim and beside voids too. Columns go
// half a degree south from 60° north, rows half a degree east, and the ground rises 1 km a
// row: by hand 1/(111.32 km · 0.5 · cos φ), but for the 0.3% that the ellipsoid makes.
func TestMetricOfTheCellsMiddle(t *testing.T) {
	for _, step := range []int{1, 8} {
		metricOfTheCellsMiddle(t, step)
	}
}

func metricOfTheCellsMiddle(t *testing.T, step int) {
	frame, err := terrain.NewFrame(step, 0, 0, 40, 32, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{c[1] / 2, 60 - c[0]/2}
		}
		return out, nil
	})
	require.NoError(t, err)
	const cols, rows = 24, 5
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(1000 * (i / cols))
	}
	g := &terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Col0: 5, Row0: 7, Frame: frame}
	f, wide := must(Of(g)), NewField(g)
	wide.AddRelief()
	Planes(g, Footprint{1, 1}, 0.5, 0, rows, wide)
	for i := range z {
		lat := 60 - (5+float64(i%cols)+0.5)/2
		want := 1000 / (111320 * 0.5 * math.Cos(lat*math.Pi/180))
		for _, got := range []float32{f.Squared[i], wide.Squared[i]} {
			assert.InEpsilon(t, want, math.Sqrt(float64(got)), 4e-3, "cell %d", i)
			// That of the frame, to float32: neighbours in the row differ by a hundredth.
			if step > 1 { // between nodes of the lattice the two are no nearer than that
				assert.InEpsilon(t, f.Squared[i], wide.Squared[i], 2e-5, "cell %d", i)
				continue
			}
			assert.InEpsilon(t, 1e6*frame.MetricAt(5+float64(i%cols)+0.5, 7+float64(i/cols)+0.5).C, got, 2e-5, "cell %d", i)
		}
	}
}

// A half of less than 1 has no plane: its covariance is not known, whatever the half.
func TestNoPlaneHasNoCovariance(t *testing.T) {
	for _, half := range [][2]int{{0, 1}, {1, 0}, {-1, 1}, {1, -1}, {-3, -3}} {
		cov := Noise{SigmaM: 0.1}.Covariance(PlaneKernel(half[0], half[1]), terrain.Metric{A: 1, C: 1})
		assert.True(t, math.IsNaN(cov.MaxSigma()), "%v", half)
		assert.Zero(t, cov.SureBelow(9, Certainty), "%v", half)
	}
}

// Lags are as far apart on the ground as the cells are, on axes that are not square too.
func TestLagsOnSkewedAxes(t *testing.T) {
	u, v := [2]float64{3, 0.4}, [2]float64{-0.7, 2.2}
	l := lagsOf(PlaneKernel(1, 2), skewed(u, v))
	require.Len(t, l, 5*9)
	for n, at := range l {
		dc, dr := float64(n/9-2), float64(n%9-4)
		assert.InDelta(t, math.Hypot(dc*u[0]+dr*v[0], dc*u[1]+dr*v[1]), at.metres, 1e-9, "%g, %g", dc, dr)
	}
}
