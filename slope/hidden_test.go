package slope

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// surfaceOf is a grid of heights by a formula of meters east and south.
func surfaceOf(t testing.TB, cols, rows int, cellM float64, height func(x, y float64) float64) *terrain.Grid {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(height(float64(i%cols)*cellM, float64(i/cols)*cellM))
	}
	g, err := terrain.NewGrid(z, cols, rows, cellM, cellM)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func TestCellsAsLongAsAMachineHideNothing(t *testing.T) {
	g := surfaceOf(t, 20, 20, 1, func(x, y float64) float64 { return math.Sin(x) * math.Cos(y) })
	assert.Nil(t, HiddenIn(g, [2]int{1, 1}, 3, 3.048))
	assert.Nil(t, HiddenIn(g, [2]int{1, 1}, 3.5, 3), "what rounds a footprint to whole cells is no relief")
	assert.NotNil(t, HiddenIn(g, [2]int{1, 1}, 3.6, 3))
	assert.Nil(t, HiddenIn(g, [2]int{1, 1}, 3, math.Inf(1)), "without a machine")
}

// By hand: z = x²/40 bends by 2·10²/40/10 = 0.5 between cells of 10 m, and by twice that
// between every other, so that growth is 0.5 and θ none. Over 30 m, a machine of 3.75 m
// long is three octaves below.
func TestHiddenSlopeOfABowl(t *testing.T) {
	g := surfaceOf(t, 30, 30, 10, func(x, _ float64) float64 { return x * x / 40 })
	h := HiddenIn(g, [2]int{1, 1}, 30, 3.75)
	want := math.Hypot(0.45*math.Pow(3, 0.78)*0.5, 0.0165*3)
	assert.InEpsilon(t, want, h.MedianRise(0.9), 1e-3)
	for r := range 30 {
		for _, v := range h.row(r) {
			assert.InEpsilon(t, want*want/(1.2815516*1.2815516), v, 2e-3, "at the rim too, by what is known beside it")
		}
	}
	// Drawn at 5 m, and so told: the same ground.
	drawn := surfaceOf(t, 60, 60, 5, func(x, _ float64) float64 { return x * x / 40 })
	assert.InEpsilon(t, want, HiddenIn(drawn, [2]int{2, 2}, 30, 3.75).MedianRise(0.9), 1e-3)
}

// White noise has no scale: it is twice as rough an octave down, and no ground is more.
func TestNoGroundGainsMoreThanNoiseDoes(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	g := surfaceOf(t, 60, 60, 10, func(_, _ float64) float64 { return random.NormFloat64() })
	// Mean square bend of noise σ on cells w: (6 + 6 + 2·4/16)·σ²/w².
	bend := math.Sqrt(12.5) / 10
	assert.InEpsilon(t, 0.45*math.Pow(2, 0.78)*4*bend, HiddenIn(g, [2]int{1, 1}, 30, 7.5).MedianRise(0.9), 0.15)
}

// Where no height is known nothing bounds what is hidden.
func TestHiddenSlopeBesideVoids(t *testing.T) {
	g := surfaceOf(t, 30, 30, 10, func(x, y float64) float64 {
		if x >= 100 {
			return math.NaN()
		}
		return x * y / 100
	})
	h := HiddenIn(g, [2]int{1, 1}, 30, 3)
	assert.False(t, math.IsInf(float64(h.row(15)[9]), 1), "beside what is known")
	smooth := HiddenIn(surfaceOf(t, 30, 30, 10, func(x, _ float64) float64 { return x / 5 }), [2]int{1, 1}, 30, 7.5)
	assert.InEpsilon(t, 0.0165*2, smooth.MedianRise(0.9), 1e-3, "no relief is seen, and some is there")
	assert.True(t, math.IsInf(float64(h.row(15)[20]), 1))
}

// A field's upper slopes are those of Cov.Upper where cells hide nothing, and more where
// they do; what is in doubt has no bound, what is unknown none either.
func TestUpperSlopesOfAField(t *testing.T) {
	cov := Noise{SigmaM: 0.1, RangeM: RangeUnknown}.Covariance(PlaneKernel(1, 1), terrain.Metric{A: 1, C: 1})
	f := &Field{Cols: 4, Rows: 1, Squared: []float32{0, 0.09, 0.09, nan}}
	f.AddUpper()
	Spread{Cov: cov}.Fill(f, []bool{false, false, true, false})
	assert.InEpsilon(t, cov.Upper(0, Certainty), math.Sqrt(float64(f.UpperSquared[0])), 1e-6)
	assert.InEpsilon(t, cov.Upper(0.3, Certainty), math.Sqrt(float64(f.UpperSquared[1])), 1e-6)
	assert.True(t, math.IsInf(float64(f.UpperSquared[2]), 1))
	assert.True(t, math.IsNaN(float64(f.UpperSquared[3])))

	Spread{Cov: cov, OffBy: 0.05}.Fill(f, nil)
	assert.InEpsilon(t, cov.Upper(0.35, Certainty), math.Sqrt(float64(f.UpperSquared[1])), 1e-6)

	sigma := cov.MaxSigma()
	hidden := &Hidden{cols: 2, rows: 1, span: [2]int{2, 1}, variance: []float32{float32(3 * sigma * sigma), 0}}
	Spread{Cov: cov, Hidden: hidden}.Fill(f, nil)
	twice := Noise{SigmaM: 0.2, RangeM: RangeUnknown}.Covariance(PlaneKernel(1, 1), terrain.Metric{A: 1, C: 1})
	assert.InEpsilon(t, twice.Upper(0.3, Certainty), math.Sqrt(float64(f.UpperSquared[1])), 1e-6, "variances add")
	assert.InEpsilon(t, cov.Upper(0.3, Certainty), math.Sqrt(float64(f.UpperSquared[2])), 1e-6)

	hidden.variance[1] = hidden.variance[0]
	s := Spread{Cov: cov, Hidden: hidden, OffBy: 0.02}
	assert.InEpsilon(t, twice.SureBelow(0.5, Certainty)-0.02, s.SureBelow(0.5, Certainty), 1e-6)
	assert.Zero(t, s.SureBelow(0.05, Certainty))

	unknown := Noise{SigmaM: math.NaN(), RangeM: RangeUnknown}.Covariance(PlaneKernel(1, 1), terrain.Metric{A: 1, C: 1})
	Spread{Cov: unknown}.Fill(f, nil)
	assert.True(t, math.IsInf(float64(f.UpperSquared[0]), 1), "an error that nobody knows bounds nothing")
}
