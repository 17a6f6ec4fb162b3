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

// By hand: of z = k·i⁴ a line of five heights leaves, beside its quadratic, a cubic of 4·k·i of
// which 14.4 squares remain, and a quartic of which 576/70 do:
//
//	mean square = k²·((4i)²·14.4 + 576/70)/5
//
// which grows with i, so that the share of the windows that lie below each is known. The
// median stands for 0.92 and, twice as far apart, the quartile for 0.66 of the mean.
func TestResidualsOfAQuartic(t *testing.T) {
	const cols, rows = 44, 30
	square := func(k, i float64) float64 { return k * k * (16*i*i*14.4 + 576./70) / 5 }
	g := surfaceOf(t, cols, rows, 1, func(x, _ float64) float64 { return x * x * x * x / 1024 })
	for _, span := range [][2]int{{1, 1}, {0, -1}} {
		got := ResidualsOf(g, span)
		require.Len(t, got, 2)
		// Of 40 columns the 21st is i = 22; of 36 the tenth is i = 13, or 6.5 of two cells.
		assert.InEpsilon(t, math.Sqrt(square(1./1024, 22)/0.92), got[0].M, 1e-6)
		assert.InEpsilon(t, math.Sqrt(square(1./64, 6.5)/0.66), got[1].M, 1e-6)
		assert.Equal(t, []int{40 * 26, 36 * 22}, []int{got[0].Windows, got[1].Windows})
	}
	// Spans of 2 × 3 cells, of 2 × 0.5 m each.
	z := make([]float32, 60*80)
	for i := range z {
		z[i] = float32(i%60*(i%60)*(i%60)) / 64
	}
	oblong := ResidualsOf(grid(t, z, 60, 80, 2, 0.5), [2]int{2, 3})
	require.Len(t, oblong, 2)
	for n, want := range []struct {
		windows int
		w, h    float64
	}{{52 * 68, 4, 1.5}, {44 * 56, 8, 3}} {
		assert.Equal(t, want.windows, oblong[n].Windows)
		w, h := oblong[n].metric.CellM()
		assert.InEpsilon(t, want.w, w, 1e-6)
		assert.InEpsilon(t, want.w, oblong[n].StepM, 1e-6)
		assert.InEpsilon(t, want.h, h, 1e-6)
		// A cubic is as rough everywhere: 6·d³ of thirds, 14.4 squares of a line of five.
		d := want.w / 2
		assert.InEpsilon(t, d*d*d/64*math.Sqrt(14.4/5/[]float64{0.92, 0.66}[n]), oblong[n].M, 1e-4)
	}
}

// So many windows are looked at, each third one either way where there are nine for each of 4096 that are asked
// for; a hundred say something.
func TestWindowsOfResiduals(t *testing.T) {
	for size, want := range map[[2]int]int{
		{14, 14}:    100,       // 10 × 10
		{13, 15}:    0,         // 9 × 11
		{5, 104}:    100,       // one column
		{104, 5}:    100,       // one row
		{4, 904}:    0,         // none
		{904, 4}:    0,         // none
		{204, 204}:  67 * 67,   // 200 × 200 are 9.8 times 4096: from the second on, each third
		{194, 194}:  95 * 95,   // 190 × 190 are 8.8 times: each second
		{130, 134}:  126 * 130, // just less than four times: all
		{5, 36_904}: 12_300, {36_904, 5}: 12_300,
	} {
		g := surfaceOf(t, size[0], size[1], 1, func(x, y float64) float64 { return x / 8 })
		got, ok := residualOf(g, 1, 1, 0.5)
		assert.Equal(t, want > 0, ok, "%v", size)
		assert.Equal(t, want, got.Windows, "%v", size)
	}
	// A void is in 25 of 100 windows, which leaves too few, and of 26 × 14 leaves the others.
	for cols, want := range map[int]int{14: 0, 26: 22*10 - 25} {
		g := surfaceOf(t, cols, 14, 1, func(x, y float64) float64 { return 0.25 * x })
		g.Z[7*cols+7] = nan
		got, _ := residualOf(g, 1, 1, 0.5)
		assert.Equal(t, want, got.Windows)
	}
}

// No surface, however exact, leaves less than nothing.
func TestNoResidualIsLessThanNone(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 62))
	for range 300 {
		a, b, c := float64(rng.IntN(9)-4)/8, float64(rng.IntN(99)-49)/7, float64(rng.IntN(99)-49)/3
		g := surfaceOf(t, 15, 15, 1, func(x, y float64) float64 { return 3000 + a*x*x + b*x + c*y })
		least, ok := residualOf(g, 1, 1, 0)
		require.True(t, ok)
		require.GreaterOrEqual(t, least.M, 0.0)
	}
}

// Residuals are measured on the ground of the grid's middle. Rows go half a degree south from 60°
// north and columns half a degree east, or the other way about: 20 rows or columns on from the
// sixth is 47° or so, by hand, but for the 0.3% that the ellipsoid makes.
func TestResidualsOnTheGroundOfTheMiddle(t *testing.T) {
	for _, turned := range []bool{false, true} {
		frame, err := terrain.NewFrame(1, 0, 0, 60, 60, func(cells [][2]float64) ([][2]float64, error) {
			out := make([][2]float64, len(cells))
			for i, c := range cells {
				out[i] = [2]float64{c[0] / 2, 60 - c[1]/2}
				if turned {
					out[i] = [2]float64{c[1] / 2, 60 - c[0]/2}
				}
			}
			return out, nil
		})
		require.NoError(t, err)
		const cols, rows = 30, 40
		g := &terrain.Grid{Z: make([]float32, cols*rows), Cols: cols, Rows: rows, Stride: cols, Col0: 6, Row0: 8, Frame: frame}
		for n, r := range ResidualsOf(g, [2]int{1, 1}) {
			w, h := r.metric.CellM()
			lat, east := 60-(8+rows/2)/2.0, w
			if turned {
				lat, east = 60-(6+cols/2)/2.0, h
			}
			assert.InEpsilon(t, float64(n+1)*111320*0.5*math.Cos(lat*math.Pi/180), east, 4e-3)
			assert.InDelta(t, w, r.StepM, 1e-6)
		}
	}
}

// Heights are as far apart as the cells are on the ground, on axes that are not square too:
// steps of 2 columns, 0.9 m east and 0.3 m north each, and of 3 rows, 0.4 m east and 1 m south.
func TestLagsOfResidualsOnSkewedAxes(t *testing.T) {
	m := skewed([2]float64{0.9, 0.3}, [2]float64{0.4, -1})
	frame, err := terrain.NewFrame(64, 0, 0, 40, 60, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(0.9*c[0] + 0.4*c[1]) / 111319.49, (0.3*c[0] - c[1]) / 110574.28}
		}
		return out, nil
	})
	require.NoError(t, err)
	g := &terrain.Grid{Z: make([]float32, 40*60), Cols: 40, Rows: 60, Stride: 40, Frame: frame}
	r, ok := residualOf(g, 2, 3, 0.5)
	require.True(t, ok)
	e, f, h := m.Inverse()
	got := r.lagM()
	for i, lag := range lagShares[1:] {
		x, y := 2*float64(lag.cols), 3*float64(lag.rows)
		assert.InEpsilon(t, math.Sqrt(e*x*x+2*f*x*y+h*y*y), got[i], 1e-4, "%d, %d", lag.cols, lag.rows)
		assert.InEpsilon(t, math.Hypot(0.9*x+0.4*y, 0.3*x-y), got[i], 1e-4)
	}
}

// The largest error that a residual allows, over ranges a hundredth apart, is what Within
// says, in its noise and in its words; no deviation is above what is assumed. From a
// hundredth less than is assumed on it lowers that.
func TestWithinIsTheWorstThatResidualsAllow(t *testing.T) {
	flat := terrain.Metric{A: 1, C: 1}
	worst := func(n Noise, k Kernel, of ...Residual) (most, assumed float64) {
		for r := 0.01; r < 100; r *= 1.01 {
			unit := (Noise{SigmaM: 1, RangeM: r}).Covariance(k, flat).MaxSigma()
			assumed = max(assumed, n.SigmaM*unit)
			for _, o := range of {
				most = max(most, unit*min(n.SigmaM, o.M/math.Sqrt(o.leaves(r))))
			}
		}
		return most, assumed
	}
	assumed := Noise{SigmaM: 0.1, RangeM: RangeUnknown, From: "assumed"}
	for half, k := range map[int]Kernel{1: PlaneKernel(1, 1), 2: PlaneKernel(2, 2), 7: PlaneKernel(7, 7)} {
		near, far := Residual{M: 0.03, StepM: 1, metric: flat}, Residual{M: 0.035, StepM: 2, metric: square(2)}
		for _, of := range [][]Residual{{near}, {far}, {near, far}, {far, near}} {
			want, all := worst(assumed, k, of...)
			got := assumed.Within(of, k, flat)
			if want > 0.995*all {
				assert.Equal(t, assumed, got)
				continue
			}
			assert.InEpsilon(t, want, got.Covariance(k, flat).MaxSigma(), 4e-3, "half %d, %v", half, of)
			assert.LessOrEqual(t, got.SigmaM, 0.1)
			said := "measured from the raster: 5 × 5 heights %g m apart lie within %g m of a smooth surface, so slopes err by %.2g points at most"
			one, _ := worst(assumed, k, near)
			two, _ := worst(assumed, k, far)
			told := near
			if len(of) == 1 && of[0] == far || len(of) == 2 && two > one {
				told = far
			}
			assert.Equal(t, fmt.Sprintf(said, told.StepM, told.M, 100*got.Covariance(k, flat).MaxSigma()), got.From)
		}
	}
	k := PlaneKernel(1, 1)
	for share, lowers := range map[float64]bool{0.85: true, 0.93: true, 0.98: true, 0.998: false} {
		lo, hi := 0.0, 1.0 // the residual that allows this share of what is assumed
		for range 12 {
			mid := (lo + hi) / 2
			if most, all := worst(assumed, k, Residual{M: mid, metric: flat}); most < share*all {
				lo = mid
			} else {
				hi = mid
			}
		}
		n := assumed.Within([]Residual{{M: lo, StepM: 1, metric: flat}}, k, flat)
		assert.Equal(t, lowers, n.From != "assumed", "%g", share)
	}
	independent := Noise{SigmaM: 0.1, RangeM: 0, From: "known to be independent"}
	assert.Equal(t, independent, independent.Within([]Residual{{M: 0.001, StepM: 1, metric: flat}}, k, flat))
	nobody := assumed
	nobody.SigmaM = math.NaN()
	assert.Equal(t, "assumed", nobody.Within([]Residual{{M: 0.001, StepM: 1, metric: flat}}, k, flat).From)
}
