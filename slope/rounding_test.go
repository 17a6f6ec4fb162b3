package slope_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
)

// Slopes beside every step's half, beside limits and of all sizes are off by no more than
// 1/128 of a point, and none that is not below a limit is rounded below it.
func TestRoundingKeepsSlopesOnTheirSideOfLimits(t *testing.T) {
	limits := []float64{30, 29.98, 35.0189, 100 * math.Tan(19.3*math.Pi/180), 0.1, 0.08, 173.205080757, 66.6666666, 45.5, 30.00001}
	r := slope.NewRounding(append(limits, math.NaN(), math.Inf(1), 0, -3))
	var slopes []float32
	beside := func(s float64) {
		up, down := float32(s), float32(s)
		for range 40 {
			slopes = append(slopes, up, down)
			up, down = math.Nextafter32(up, 1e6), max(0, math.Nextafter32(down, 0))
		}
	}
	for _, l := range limits {
		beside(l)
		for k := -3.0; k <= 3; k++ {
			beside(max(0, (math.Round(l*64)+k/2)/64))
		}
	}
	rnd := rand.New(rand.NewPCG(9, 9))
	for range 20_000 {
		slopes = append(slopes, float32(200*rnd.Float64()), float32(math.Exp(14*rnd.Float64())))
	}
	slopes = append(slopes, 0, math.SmallestNonzeroFloat32, 131071.99)
	rounded := slices.Clone(slopes)
	r.Pct(rounded)
	kept := 0
	for i, s := range slopes {
		got := rounded[i]
		if s < 1<<17 {
			require.LessOrEqual(t, math.Abs(float64(got)-float64(s)), slope.RoundedOff, "%v became %v", s, got)
		} else {
			require.Equal(t, s, got, "float32 itself holds no finer steps")
		}
		for _, l := range append(limits, 1, 15, 30.5, 40) {
			if float64(s) >= l {
				require.GreaterOrEqual(t, float64(got), l, "%v became %v, below %v", s, got, l)
			}
		}
		if i > len(slopes)-30_000 && got*64 != float32(math.Round(float64(got*64))) {
			kept++
		}
	}
	assert.Positive(t, kept)
	assert.Less(t, kept, 300)
	assert.LessOrEqual(t, slope.RoundedOff, 0.01)

	odd := []float32{float32(math.NaN()), float32(math.Inf(1)), math.MaxFloat32, 0}
	r.Pct(odd)
	assert.True(t, math.IsNaN(float64(odd[0])), "unknown stays unknown")
	assert.Equal(t, []float32{float32(math.Inf(1)), math.MaxFloat32, 0}, odd[1:])
	slope.NewRounding(nil).Pct(nil)
}

// Cause: the nearest float32 of a slope on a limit may lie below it.
func TestRoundingOfASlopeOnALimit(t *testing.T) {
	limit := float64(float32(35.0189)) + 1e-9 // between two float32
	r := slope.NewRounding([]float64{limit})
	got := []float32{float32(limit)}
	require.Less(t, float64(got[0]), limit)
	r.Pct(got)
	assert.GreaterOrEqual(t, float64(got[0]), limit)
}
