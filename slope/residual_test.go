package slope

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A quadratic surface leaves nothing; six figures of 25 heights take up six of 25 parts of
// independent noise.
func TestResidualsAreThoseOfAQuadratic(t *testing.T) {
	bowl := surfaceOf(t, 80, 60, 1, func(x, y float64) float64 { return 0.01*x*x - 0.02*x*y + 0.003*y*y + 0.3*x + 7 })
	for _, r := range ResidualsOf(bowl, [2]int{1, 1}) {
		assert.Equal(t, 0.005, r.M, "no raster is that good: %g m apart", r.StepM)
	}
	random := rand.New(rand.NewPCG(3, 4))
	noise := surfaceOf(t, 200, 200, 2, func(x, y float64) float64 { return 0.02*x + 0.05*random.NormFloat64() })
	got := ResidualsOf(noise, [2]int{1, 1})
	require.Len(t, got, 2)
	assert.Equal(t, [2]float64{2, 4}, [2]float64{got[0].StepM, got[1].StepM})
	for _, r := range got {
		assert.InEpsilon(t, 0.05*math.Sqrt(19.0/25), r.M, 0.15, "of independent noise, told as of correlated")
		assert.InDelta(t, 19.0/25, r.leaves(0), 1e-12)
		assert.Greater(t, r.leaves(1), r.leaves(10))
		assert.Greater(t, r.leaves(10), 0.0)
	}
	assert.Empty(t, ResidualsOf(surfaceOf(t, 8, 8, 1, func(x, _ float64) float64 { return x }), [2]int{1, 1}), "too few windows say nothing")
}

// smoothed is noise that was smoothed over side × side cells, as a raster may be.
func smoothed(t *testing.T, side int, sigmaM float64) *terrain.Grid {
	t.Helper()
	const n = 200
	random := rand.New(rand.NewPCG(5, 6))
	white := make([]float64, (n+side)*(n+side))
	for i := range white {
		white[i] = sigmaM * random.NormFloat64()
	}
	return surfaceOf(t, n, n, 1, func(x, y float64) float64 {
		sum := 0.0
		for j := range side {
			for i := range side {
				sum += white[(int(y)+j)*(n+side)+int(x)+i]
			}
		}
		return sum / float64(side*side)
	})
}

// The noise of a flat raster is all that it shows, and its slope error the slopes
// themselves: what the residuals allow is never less, for noise that is independent and
// for what was smoothed over 2 and 3 cells, and less than half of what is assumed of lidar.
func TestWhatResidualsAllowBoundsTheErrorOfSlope(t *testing.T) {
	for _, side := range []int{1, 2, 3} {
		g := smoothed(t, side, 0.02)
		k, metric := PlaneKernel(1, 1), g.Frame.MetricAt(100, 100)
		f := NewField(g)
		f.AddRelief()
		require.NoError(t, Planes(g, Footprint{1, 1}, 1, 0, g.Rows, f))
		square := 0.0
		for _, s := range f.Squared {
			square += float64(s) / float64(len(f.Squared))
		}
		truth := math.Sqrt(square / 2) // of one gradient
		assumed := AssumedNoise(1)
		n := assumed.Within(ResidualsOf(g, [2]int{1, 1}), k, metric)
		got := n.Covariance(k, metric).MaxSigma()
		assert.GreaterOrEqual(t, got, 0.97*truth, "smoothed over %d cells", side)
		assert.LessOrEqual(t, got, 2.3*truth, "smoothed over %d cells", side)
		assert.Less(t, got, assumed.Covariance(k, metric).MaxSigma()/2)
		assert.LessOrEqual(t, n.SigmaM, assumed.SigmaM)
		assert.Contains(t, n.From, "measured from the raster")
	}
}

// Nothing measured overrules a range that somebody knows, or stands for more than was
// assumed.
func TestResidualsOnlyLowerWhatIsAssumed(t *testing.T) {
	k, metric := PlaneKernel(1, 1), terrain.Metric{A: 1, C: 1}
	rough := smoothed(t, 1, 2)
	assumed := AssumedNoise(1)
	assert.Equal(t, assumed, assumed.Within(ResidualsOf(rough, [2]int{1, 1}), k, metric))
	assert.Equal(t, assumed, assumed.Within(nil, k, metric))
	known := Noise{SigmaM: 0.15, RangeM: 3}
	assert.Equal(t, known, known.Within(ResidualsOf(smoothed(t, 1, 0.01), [2]int{1, 1}), k, metric))
	unknown := Noise{SigmaM: math.NaN(), RangeM: RangeUnknown}
	assert.True(t, math.IsNaN(unknown.Within(ResidualsOf(rough, [2]int{1, 1}), k, metric).SigmaM))
}

// Sums along rows, and by lags, are those over every height and every pair of heights.
func TestResidualsBySumsAreThoseByHeightsAndPairs(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 50 {
		var z [25]float64
		left := 0.0
		for k := range z {
			z[k] = random.NormFloat64()
			left += z[k] * z[k]
		}
		for _, shape := range quadratic {
			along := 0.0
			for k, h := range z {
				along += shape[k] * h
			}
			left -= along * along
		}
		assert.InDelta(t, left, bent(&z), 1e-12)
	}
	noise := surfaceOf(t, 60, 60, 1.5, func(_, _ float64) float64 { return random.NormFloat64() })
	for _, r := range ResidualsOf(noise, [2]int{1, 2}) {
		e, f, h := r.metric.Inverse()
		for _, rangeM := range []float64{0, 0.3, 2, 11, 90} {
			left := 1.0
			for _, shape := range quadratic {
				for k, a := range shape {
					for l, b := range shape {
						x, y := float64(k%5-l%5), float64(k/5-l/5)
						shared := 1.0
						if k != l {
							shared = math.Exp(-math.Sqrt(e*x*x+2*f*x*y+h*y*y) / rangeM)
						}
						left -= a * b * shared / 25
					}
				}
			}
			assert.InDelta(t, left, r.leaves(rangeM), 1e-12, "range %g m", rangeM)
		}
	}
}
