package slope

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Sums that windows share must not tell a lot's noise otherwise than window by window: the
// same windows, to the bit, on noisy ground with holes, of feet and far above the sea.
func TestResidualsByRowsAreThoseOfEachWindow(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	for _, baseM := range []float64{0, 0.3048 * 1200, -3, 2900} {
		g := surfaceOf(t, 61, 47, 1, func(x, y float64) float64 {
			return baseM + 0.4*x + 6*math.Sin(y/9) + 0.05*random.NormFloat64()
		})
		for range 40 {
			g.Z[random.IntN(len(g.Z))] = nan
		}
		for _, span := range [][2]int{{1, 1}, {2, 2}, {1, 3}, {4, 2}} {
			dc, dr := span[0], span[1]
			var want []float64
			for r := 2 * dr; r < g.Rows-2*dr; r++ {
				for c := 2 * dc; c < g.Cols-2*dc; c++ {
					if s := residualAt(g, c, r, dc, dr); s == s {
						want = append(want, s)
					}
				}
			}
			require.NotEmpty(t, want)
			got := residualsOfAll(nil, g, dc, dr, new(residualRoom))
			if baseM > 100 {
				assert.True(t, slices.Equal(want, got), "%g m, %v", baseM, span)
			} else { // beside the sea's level floats are finer than sums of squares can hold
				assert.True(t, slices.EqualFunc(want, got, func(a, b float64) bool { return math.Abs(a-b) < 25e-12 }), "%g m, %v", baseM, span)
			}
		}
	}
	empty := surfaceOf(t, 12, 12, 1, func(_, _ float64) float64 { return math.NaN() })
	assert.Empty(t, residualsOfAll(nil, empty, 1, 1, new(residualRoom)))
}

func BenchmarkResidualsOfALot(b *testing.B) {
	random := rand.New(rand.NewPCG(9, 10))
	g := surfaceOf(b, 90, 90, 1, func(x, y float64) float64 { return 300 + 0.4*x + 6*math.Sin(y/9) + 0.05*random.NormFloat64() })
	for b.Loop() {
		ResidualsOf(g, [2]int{1, 1})
	}
}
