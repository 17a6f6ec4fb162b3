package slope

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"github.com/acreband/acreband/terrain"
)

func square(cellM float64) terrain.Metric {
	return terrain.Metric{A: 1 / (cellM * cellM), C: 1 / (cellM * cellM)}
}

// skewed is the metric of cells whose sides are the ground vectors u and v, by
// the inverse of their scalar products.
func skewed(u, v [2]float64) terrain.Metric {
	e, f, g := u[0]*u[0]+u[1]*u[1], u[0]*v[0]+u[1]*v[1], v[0]*v[0]+v[1]*v[1]
	det := e*g - f*f
	return terrain.Metric{A: g / det, B: -f / det, C: e / det}
}

// Independent noise, in closed form: σ of one gradient component is √(12/64) σz/w
// for Horn's weights and √(1/6) σz/w for Evans's, sums of squared weights. The
// second is that of Florinsky 1998 (Int. J. Geographical Information Science
// 12:47), from memory.
func TestIndependentNoiseOfOneComponent(t *testing.T) {
	for _, c := range []struct {
		k    Kernel
		want float64
	}{{HornKernel(), 0.4330}, {PlaneKernel(1, 1), 0.4082}} {
		cov := Noise{SigmaM: 1}.Covariance(c.k, square(1))
		assert.InDelta(t, c.want, math.Sqrt(cov.PP), 5e-5)
		assert.InDelta(t, c.want, math.Sqrt(cov.QQ), 5e-5)
		assert.InDelta(t, 0, cov.PQ, 1e-15)
		assert.InDelta(t, c.want, cov.MaxSigma(), 5e-5)
	}
	// A wider plane: σz/√(rows·Σi²), i from -3 to 3 over 5 rows, by hand.
	assert.InDelta(t, 1/math.Sqrt(5*28), math.Sqrt(Noise{SigmaM: 1}.Covariance(PlaneKernel(3, 2), square(1)).PP), 1e-12)
}

// Slope percent of one σ, Horn, independent noise; from the same sum of squares.
// The errors are those published of each source (see sources.go).
func TestNoiseToHornSlope(t *testing.T) {
	for _, c := range []struct{ sigmaM, cellM, pct, tol float64 }{
		{0.10, 1, 4.33, 0.005},
		{0.10, 3, 1.44, 0.005},
		{0.10, 5, 0.87, 0.005},
		{0.82, 10.3, 3.45, 0.005},
		{9.73, 30.9, 13.6, 0.05},
	} {
		cov := Noise{SigmaM: c.sigmaM}.Covariance(HornKernel(), square(c.cellM))
		assert.InDelta(t, c.pct, 100*cov.MaxSigma(), c.tol, "%g m at %g m", c.sigmaM, c.cellM)
	}
}

// field draws errors for the cells of a window that lie at the given spots,
// correlated as exp(-d/range), through a Cholesky factor.
func field(t *testing.T, spots [][2]float64, n Noise, rng *rand.Rand) func(dst []float64) {
	size := len(spots)
	c := mat.NewSymDense(size, nil)
	for i, a := range spots {
		for j, b := range spots[:i+1] {
			shared := 0.0
			if i == j {
				shared = 1
			} else if n.RangeM > 0 {
				shared = math.Exp(-math.Hypot(a[0]-b[0], a[1]-b[1]) / n.RangeM)
			}
			c.SetSym(i, j, n.SigmaM*n.SigmaM*shared)
		}
	}
	var chol mat.Cholesky
	require.True(t, chol.Factorize(c))
	var l mat.TriDense
	chol.LTo(&l)
	white := mat.NewVecDense(size, nil)
	return func(dst []float64) {
		for i := range size {
			white.SetVec(i, rng.NormFloat64())
		}
		mat.NewVecDense(size, dst).MulVec(&l, white)
	}
}

// spots places a window's cells on the ground, row by row; u and v are a cell's
// sides.
func spots(halfCols, halfRows int, u, v [2]float64) [][2]float64 {
	var out [][2]float64
	for r := -halfRows; r <= halfRows; r++ {
		for c := -halfCols; c <= halfCols; c++ {
			x, y := float64(c), float64(r)
			out = append(out, [2]float64{x*u[0] + y*v[0], x*u[1] + y*v[1]})
		}
	}
	return out
}

// hornOf is Horn's gradient as published, from nine heights.
func hornOf(z []float64) (p, q float64) {
	return ((z[2] - z[0]) + 2*(z[5]-z[3]) + (z[8] - z[6])) / 8, ((z[6] - z[0]) + 2*(z[7]-z[1]) + (z[8] - z[2])) / 8
}

// planeOf returns a function that fits a plane to a window by gonum's QR.
func planeOf(t *testing.T, halfCols, halfRows int) func(z []float64) (p, q float64) {
	var a []float64
	for r := -halfRows; r <= halfRows; r++ {
		for c := -halfCols; c <= halfCols; c++ {
			a = append(a, 1, float64(c), float64(r))
		}
	}
	var qr mat.QR
	qr.Factorize(mat.NewDense(len(a)/3, 3, a))
	var inverse mat.Dense
	eye := mat.NewDiagDense(len(a)/3, nil)
	for i := range len(a) / 3 {
		eye.SetDiag(i, 1)
	}
	require.NoError(t, qr.SolveTo(&inverse, false, eye))
	var fit mat.VecDense
	return func(z []float64) (p, q float64) {
		fit.MulVec(&inverse, mat.NewVecDense(len(z), z))
		return fit.AtVec(1), fit.AtVec(2)
	}
}

// The covariance against simulated windows: square, oblong and skewed cells,
// independent noise and three correlation lengths. Tolerance four standard
// errors of a covariance of N draws, √((v₁v₂+c²)/N).
func TestCovarianceAgainstSimulation(t *testing.T) {
	const draws = 40000
	for name, side := range map[string][2][2]float64{
		"square": {{1, 0}, {0, -1}}, "oblong": {{7.9, 0}, {0, -10.3}}, "skewed": {{3, 0.4}, {-0.7, 2.2}},
	} {
		for _, half := range [][2]int{{0, 0}, {1, 1}, {3, 2}} {
			for _, inCells := range []float64{0, 0.5, 1.5, 6} {
				rng := rand.New(rand.NewPCG(16, uint64(half[0])<<8+uint64(10*inCells)))
				n := Noise{SigmaM: 0.3, RangeM: inCells * math.Hypot(side[0][0], side[0][1])}
				k, hc, hr, gradient := HornKernel(), 1, 1, hornOf
				if half[0] > 0 {
					k, hc, hr = PlaneKernel(half[0], half[1]), half[0], half[1]
					gradient = planeOf(t, hc, hr)
				}
				cov := n.Covariance(k, skewed(side[0], side[1]))
				at := spots(hc, hr, side[0], side[1])
				draw, z := field(t, at, n, rng), make([]float64, len(at))
				ps, qs := make([]float64, draws), make([]float64, draws)
				for i := range draws {
					draw(z)
					ps[i], qs[i] = gradient(z)
				}
				what := fmt.Sprintf("%s cells, half %v, range %g cells", name, half, inCells)
				within := func(got, want, v1, v2 float64) {
					assert.InDelta(t, want, got, 4*math.Sqrt((v1*v2+want*want)/draws), what)
				}
				within(stat.Variance(ps, nil), cov.PP, cov.PP, cov.PP)
				within(stat.Variance(qs, nil), cov.QQ, cov.QQ, cov.QQ)
				within(stat.Covariance(ps, qs, nil), cov.PQ, cov.PP, cov.QQ)
			}
		}
	}
}

// The whole way: noise on a grid, through the package's own slopes. On flat
// ground the mean of slope² is the trace of the covariance on the ground, and the
// mean slope FlatMean. Every window's neighbours are skipped, so windows share no
// cell; four standard errors of a mean.
func TestFlatGroundShowsTheNoise(t *testing.T) {
	const size = 601
	rng := rand.New(rand.NewPCG(3, 1))
	z := make([]float32, size*size)
	for i := range z {
		z[i] = float32(0.1 * rng.NormFloat64())
	}
	for _, c := range []struct {
		dx, dy float64
		plane  Footprint
	}{{1, 1, Footprint{}}, {1, 1, Footprint{1, 1}}, {1, 1, Footprint{3, 3}}, {2, 3, Footprint{}}} {
		g := grid(t, z, size, size, c.dx, c.dy)
		k, f, skip := HornKernel(), must(Of(g)), 3
		if c.plane.HalfCols > 0 {
			f = planes(g, c.plane)
			k, skip = PlaneKernel(c.plane.HalfCols, c.plane.HalfRows), 2*c.plane.HalfCols+1
		}
		m := terrain.Metric{A: 1 / (c.dx * c.dx), C: 1 / (c.dy * c.dy)}
		cov := Noise{SigmaM: 0.1}.Covariance(k, m)
		var slopes, squares []float64
		for r := skip / 2; r+skip/2 < size; r += skip {
			for col := skip / 2; col+skip/2 < size; col += skip {
				slopes = append(slopes, f.Pct(col, r)/100)
				squares = append(squares, slopes[len(slopes)-1]*slopes[len(slopes)-1])
			}
		}
		root := math.Sqrt(float64(len(slopes)))
		assert.InDelta(t, m.A*cov.PP+m.C*cov.QQ, stat.Mean(squares, nil), 4*stat.StdDev(squares, nil)/root)
		assert.InDelta(t, cov.FlatMean(), stat.Mean(slopes, nil), 4*stat.StdDev(slopes, nil)/root)
	}
}

// An error shared by all heights of a window tilts nothing.
func TestSharedErrorTiltsNothing(t *testing.T) {
	assert.InDelta(t, 0, Noise{SigmaM: 10, RangeM: math.Inf(1)}.Covariance(PlaneKernel(3, 3), square(1)).MaxSigma(), 1e-6)
}

// Oksanen and Sarjakoski 2005 found the largest slope error where the practical
// range (three correlation lengths, for an exponential model) is roughly the size
// of the window, and larger than that of independent noise.
func TestWorstRangeIsAboutTheWindow(t *testing.T) {
	for half, k := range map[int]Kernel{0: HornKernel(), 1: PlaneKernel(1, 1), 2: PlaneKernel(2, 2), 3: PlaneKernel(3, 3), 7: PlaneKernel(7, 7)} {
		worst := Noise{SigmaM: 1, RangeM: RangeUnknown}.Covariance(k, square(1)).MaxSigma()
		most, at := 0.0, 0.0
		for r := 0.02; r < 200; r *= 1.01 {
			if s := (Noise{SigmaM: 1, RangeM: r}).Covariance(k, square(1)).MaxSigma(); s > most {
				most, at = s, r
			}
		}
		assert.InEpsilon(t, most, worst, 1e-3)
		window := float64(2*max(half, 1) + 1)
		assert.Greater(t, 3*at, window/2, "half %d", half)
		assert.Less(t, 3*at, window*2, "half %d", half)
		assert.Greater(t, worst, Noise{SigmaM: 1}.Covariance(k, square(1)).MaxSigma())
	}
}

// What the exponential model leaves out, as the docs state it.
func TestGaussianCorrelationDoesMore(t *testing.T) {
	for half, percent := range map[int]float64{1: 14, 3: 24} {
		l, most := lagsOf(PlaneKernel(half, half), square(1)), 0.0
		for r := 0.1; r < 100; r *= 1.02 {
			v := 0.0
			for _, at := range l {
				v += at.pp * math.Exp(-at.metres*at.metres/(r*r))
			}
			most = max(most, v)
		}
		worst := Noise{SigmaM: 1, RangeM: RangeUnknown}.Covariance(PlaneKernel(half, half), square(1)).MaxSigma()
		assert.InDelta(t, percent, 100*(math.Sqrt(most)/worst-1), 0.6)
	}
}

func TestCovOnAnotherMetric(t *testing.T) {
	m, wide := skewed([2]float64{3, 0.4}, [2]float64{-0.7, 2.2}), skewed([2]float64{6, 0.8}, [2]float64{-1.4, 4.4})
	for _, n := range []Noise{{SigmaM: 0.1}, {SigmaM: 0.1, RangeM: RangeUnknown}} {
		assert.InEpsilon(t, n.Covariance(PlaneKernel(2, 3), wide).MaxSigma(), n.Covariance(PlaneKernel(2, 3), m).On(wide).MaxSigma(), 1e-12)
	}
}

func TestUnknownNoiseIsNeverSure(t *testing.T) {
	for _, cov := range []Cov{
		Noise{SigmaM: math.NaN(), RangeM: RangeUnknown}.Covariance(HornKernel(), square(1)),
		Noise{SigmaM: 0.1}.Covariance(PlaneKernel(0, 1), square(1)),
		Noise{SigmaM: 0.1, RangeM: math.NaN()}.Covariance(HornKernel(), square(1)),
	} {
		assert.True(t, math.IsNaN(cov.MaxSigma()))
		assert.False(t, cov.SurelyBelow(0, 0.35, Certainty))
		assert.Zero(t, cov.SureBelow(0.35, Certainty))
	}
}

func BenchmarkCovarianceOfUnknownRange(b *testing.B) {
	for b.Loop() {
		Noise{SigmaM: 0.1, RangeM: RangeUnknown}.Covariance(PlaneKernel(3, 3), square(0.5))
	}
}

func ExampleNoise_Covariance() {
	n, _ := NoiseUnderCover("lidar-ql2")
	cov := n.Covariance(PlaneKernel(2, 2), terrain.Metric{A: 1, C: 1}) // 5 m across, on metre cells
	fmt.Printf("±%.1f points; surely below 35%% where it measures less than %.1f%%\n",
		100*cov.MaxSigma(), 100*cov.SureBelow(0.35, Certainty))
	// Output: ±3.6 points; surely below 35% where it measures less than 29.8%
}
