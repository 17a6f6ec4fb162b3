package slope

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

func grid(t testing.TB, z []float32, cols, rows int, dx, dy float64) *terrain.Grid {
	g, err := terrain.NewGrid(z, cols, rows, dx, dy)
	require.NoError(t, err)
	return g
}

// surface samples z(x, y) in metres, x east and y north of the grid's middle.
func surface(t testing.TB, cols, rows int, cell float64, z func(x, y float64) float64) *terrain.Grid {
	h := make([]float32, cols*rows)
	for r := range rows {
		for c := range cols {
			h[r*cols+c] = float32(z((float64(c)+0.5-float64(cols)/2)*cell, (float64(rows)/2-float64(r)-0.5)*cell))
		}
	}
	return grid(t, h, cols, rows, cell, cell)
}

// Three windows published in textbook-style exercises on Horn's method, with a
// plane; slopes recomputed by hand from Horn 1981.
func TestHornWorkedWindows(t *testing.T) {
	for _, c := range []struct {
		z        []float32
		w        float64
		pct, deg float64
	}{
		{[]float32{50, 45, 50, 30, 30, 30, 8, 10, 10}, 5, 380.032893, 75.257658},
		{[]float32{42, 45, 47, 40, 44, 49, 44, 48, 52}, 10, 42.019341, 22.791825},
		{[]float32{101, 92, 85, 101, 92, 85, 101, 91, 84}, 10, 81.336492, 39.123697},
		{[]float32{3, 3, 3, 2, 2, 2, 1, 1, 1}, 10, 10, 5.710593},
	} {
		f := must(Of(grid(t, c.z, 3, 3, c.w, c.w)))
		assert.InEpsilon(t, c.pct, f.Pct(1, 1), 1e-7)
		assert.InDelta(t, c.deg, degreesOfPct(f.Pct(1, 1)), 1e-5)
	}
}

func TestUnitTrap(t *testing.T) {
	// tan and arctan by hand calculator.
	for pct, deg := range map[float64]float64{30: 16.70, 35: 19.29, 40: 21.80, 50: 26.57, 65: 33.02, 100: 45} {
		assert.InDelta(t, deg, degreesOfPct(pct), 0.005)
	}
	assert.InDelta(t, 60, degreesOfPct(173.2), 0.01)
}

func TestPlaneIsExactEverywhere(t *testing.T) {
	for az := 0.0; az < 360; az += 45 {
		s, c := math.Sincos(az * math.Pi / 180)
		f := must(Of(surface(t, 9, 7, 2, func(x, y float64) float64 { return 0.35 * (x*s + y*c) })))
		for r := range f.Rows {
			for col := range f.Cols {
				assert.InDelta(t, 35, f.Pct(col, r), 1e-4, "azimuth %g at %d,%d: edges and corners too", az, col, r)
			}
		}
	}
}

// One, and any two, of the eight neighbours void: a plane stays exact.
func TestPlaneIsExactWithVoidNeighbours(t *testing.T) {
	nan := float32(math.NaN())
	for i := range 9 {
		for j := range 9 {
			if i == 4 || j == 4 {
				continue
			}
			z := []float32{7, 9, 11, 4, 6, 8, 1, 3, 5} // p = 2, q = -3
			z[i], z[j] = nan, nan
			f := must(Of(grid(t, z, 3, 3, 10, 10)))
			assert.InEpsilon(t, 10*math.Sqrt(13), f.Pct(1, 1), 1e-6, "voids at %d and %d", i, j)
		}
	}
}

func TestVoidCentreIsUnknown(t *testing.T) {
	z := []float32{1, 2, 3, 1, float32(math.NaN()), 3, 1, 2, 3}
	assert.True(t, math.IsNaN(must(Of(grid(t, z, 3, 3, 1, 1))).Pct(1, 1)))
}

func TestSpikeIsInItsNeighboursAndVoidIsNot(t *testing.T) {
	// Horn leaves its centre out: a spike tilts the cells beside it.
	z := make([]float32, 25)
	z[12] = 8
	f := must(Of(grid(t, z, 5, 5, 1, 1)))
	assert.Equal(t, 0.0, f.Pct(2, 2))
	assert.InDelta(t, 200, f.Pct(1, 2), 1e-4) // 2·8/8
	assert.InDelta(t, 100*math.Sqrt2, f.Pct(1, 1), 1e-4)
	z[12] = float32(math.NaN())
	f = must(Of(grid(t, z, 5, 5, 1, 1)))
	assert.True(t, math.IsNaN(f.Pct(2, 2)))
	assert.Equal(t, 0.0, f.Pct(1, 1))
}

func TestCellsOnOneLineGiveNoSlope(t *testing.T) {
	f := must(Of(grid(t, []float32{1, 2, 3, 4}, 4, 1, 1, 1)))
	for c := range 4 {
		assert.True(t, math.IsNaN(f.Pct(c, 0)))
	}
	nan := float32(math.NaN())
	z := []float32{1, nan, nan, nan, 2, nan, nan, nan, 3}
	assert.True(t, math.IsNaN(must(Of(grid(t, z, 3, 3, 1, 1))).Pct(1, 1)))
}

func TestConeHasOneSlope(t *testing.T) {
	f := must(Of(surface(t, 401, 401, 1, func(x, y float64) float64 { return 500 - 0.4*math.Hypot(x, y) })))
	for _, c := range [][2]int{{20, 200}, {50, 60}, {350, 380}, {200, 399}} {
		// Horn reads a curved contour too gentle by order (cell/radius)².
		r := math.Hypot(float64(c[0]-200), float64(c[1]-200))
		assert.InDelta(t, 40, f.Pct(c[0], c[1]), 40/(r*r)+1e-3)
	}
}

// Halving the cell quarters the error on a smooth hill: Horn is second order.
func TestGaussianHillConvergesAtSecondOrder(t *testing.T) {
	const height, sigma = 60.0, 80.0
	at := func(cell float64) float64 {
		n := int(math.Round(480/cell)) | 1
		f := must(Of(surface(t, n, n, cell, func(x, y float64) float64 {
			return height * math.Exp(-(x*x+y*y)/(2*sigma*sigma))
		})))
		var worst float64
		for r := 2; r < n-2; r++ {
			for c := 2; c < n-2; c++ {
				x, y := (float64(c)+0.5-float64(n)/2)*cell, (float64(n)/2-float64(r)-0.5)*cell
				d := math.Hypot(x, y)
				want := 100 * height * d / (sigma * sigma) * math.Exp(-d*d/(2*sigma*sigma))
				worst = max(worst, math.Abs(f.Pct(c, r)-want))
			}
		}
		return worst
	}
	e8, e4, e2 := at(8), at(4), at(2)
	assert.InDelta(t, 4, e8/e4, 0.3)
	assert.InDelta(t, 4, e4/e2, 0.3)
}

func TestStripsGiveTheSameBits(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	z := make([]float32, 97*200)
	for i := range z {
		z[i] = float32(rng.NormFloat64() * 30)
		if rng.IntN(12) == 0 {
			z[i] = float32(math.NaN())
		}
	}
	g := grid(t, z, 97, 200, 1.3, 0.9)
	whole := must(Of(g))
	for _, h := range []int{1, 7, 64} {
		f := NewField(g)
		for r := 0; r < g.Rows; r += h {
			Rows(g, r, min(r+h, g.Rows), f)
		}
		for i := range f.Squared {
			if math.Float32bits(whole.Squared[i]) != math.Float32bits(f.Squared[i]) {
				t.Fatalf("strips of %d differ at %d", h, i)
			}
		}
	}
}

// The plane by the fast path and by the fit agree where both apply.
func TestFitOfNineIsHorn(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		z := make([]float32, 9)
		for i := range z {
			z[i] = float32(rng.NormFloat64() * 10)
		}
		g := grid(t, z, 3, 3, 2, 3)
		f := NewField(g)
		f.fromRemaining(g, 1, 1)
		assert.InEpsilon(t, float64(must(Of(g)).Squared[4]), float64(f.Squared[4]), 1e-5)
	}
}

// Coarser cells read gentler: mean and spread of slope fall with each averaging,
// as has been published (Thompson et al. 2001 from 10 to 30 m; for 8 to 80 m in
// an abstract).
func TestCoarserReadsGentler(t *testing.T) {
	const n = 900
	fine := surface(t, n, n, 1, func(x, y float64) float64 {
		return 30*math.Sin(x/60)*math.Cos(y/75) + 6*math.Sin(x/14+y/19) + 1.2*math.Sin(x/4)*math.Cos(y/5)
	})
	lastMean, lastSpread := math.Inf(1), math.Inf(1)
	for _, k := range []int{1, 3, 10, 30} {
		z := make([]float32, (n/k)*(n/k))
		for i := range z {
			var sum float64
			for r := range k {
				for c := range k {
					sum += fine.At(i%(n/k)*k+c, i/(n/k)*k+r)
				}
			}
			z[i] = float32(sum / float64(k*k))
		}
		f := must(Of(grid(t, z, n/k, n/k, float64(k), float64(k))))
		var mean, square float64
		for i := range f.Squared {
			s := f.Pct(i%f.Cols, i/f.Cols)
			mean, square = mean+s, square+s*s
		}
		mean /= float64(len(z))
		spread := math.Sqrt(square/float64(len(z)) - mean*mean)
		assert.Less(t, mean, lastMean, "%d m", k)
		assert.Less(t, spread, lastSpread, "%d m", k)
		lastMean, lastSpread = mean, spread
	}
}

func BenchmarkHorn(b *testing.B) {
	const n = 4000
	z := make([]float32, n*n)
	for i := range z {
		z[i] = float32(math.Sin(float64(i%n)/90)*40 + math.Cos(float64(i/n)/70)*30)
	}
	g := grid(b, z, n, n, 1, 1)
	f := NewField(g)
	b.SetBytes(n * n * 8) // a height read and a slope written
	for b.Loop() {
		Rows(g, 0, n, f)
	}
	b.ReportMetric(n*n*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mcells/s")
}

func ExampleOf() {
	heights := []float32{ // metres, from the north-west
		3, 3, 3,
		2, 2, 2,
		1, 1, 1,
	}
	g, err := terrain.NewGrid(heights, 3, 3, 10, 10) // 10 m cells
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := Of(g)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f%%\n", f.Pct(1, 1))
	// Output: 10.0%
}

// Cells of a row share a metric in blocks. On a turned grid in degrees, whose rows
// run down the meridian, blocks of 32 cells once put slope off by 1.7e-4.
func TestBlocksFollowTheMetric(t *testing.T) {
	const n, cell = 200, 1.0 / 1200
	for name, turned := range map[string]bool{"rows along parallels": false, "rows down the meridian": true} {
		frame, err := terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
			out := make([][2]float64, len(cells))
			for i, c := range cells {
				x, y := c[0], -c[1]
				if turned {
					x, y = -c[1], -c[0]
				}
				out[i] = [2]float64{-84 + x*cell, 60 + y*cell}
			}
			return out, nil
		})
		require.NoError(t, err)
		z := make([]float32, n*n)
		for i := range z {
			z[i] = float32(40*math.Sin(float64(i%n)/7) + 30*math.Cos(float64(i/n)/9))
		}
		g := &terrain.Grid{Z: z, Cols: n, Rows: n, Stride: n, Frame: frame}
		f := must(Of(g))
		for r := 1; r < n-1; r++ {
			for c := 1; c < n-1; c++ {
				h := func(dc, dr int) float64 { return float64(z[(r+dr)*n+c+dc]) }
				p := (h(1, -1) + 2*h(1, 0) + h(1, 1) - h(-1, -1) - 2*h(-1, 0) - h(-1, 1)) / 8
				q := (h(-1, 1) + 2*h(0, 1) + h(1, 1) - h(-1, -1) - 2*h(0, -1) - h(1, -1)) / 8
				m := frame.MetricAt(float64(c)+0.5, float64(r)+0.5)
				want := 100 * math.Sqrt(m.A*p*p+2*m.B*p*q+m.C*q*q)
				require.InDelta(t, want, f.Pct(c, r), 4e-6*want+1e-9, name)
			}
		}
	}
}
