package canopy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of 400 values that lie evenly, one apart, the narrowest band that holds a twentieth
// is 20 wide. Its middle is the 11th, and half of those below lie within 5 of it.
func TestACrowdOfEvenValuesHoldsATwentieth(t *testing.T) {
	v := make([]float64, 400)
	for i := range v {
		v[i] = float64(i)
	}
	c, ok := lowestCrowd(v, 0)
	require.True(t, ok)
	assert.Equal(t, []float64{10, 0.05}, []float64{c.mid, c.share})
	assert.InDelta(t, toSigma*5, c.spread, 1e-12)
}

// A fuller band takes the place of a lower one as far as two bands away, 20 here.
func TestAFullerBandWithinTwoBandsIsTheCrowd(t *testing.T) {
	for _, c := range []struct{ fuller, mid float64 }{{19, 19}, {20, 20}, {21, 0}} {
		var v []float64
		for i := range 400 {
			switch {
			case i < 100:
				v = append(v, 0)
			case i < 300:
				v = append(v, c.fuller)
			default:
				v = append(v, 1000+100*float64(i))
			}
		}
		got, ok := lowestCrowd(v, 10)
		require.True(t, ok)
		assert.Equal(t, c.mid, got.mid, c)
	}
}

// Cells whose ground is void are not counted, in whatever row they lie.
func TestGrowthCountsGroundAlone(t *testing.T) {
	void := func(c, r int) bool { return r == 2 && c != 1 }
	ground := gridOf(t, 4, 3, 1, func(c, r int) float64 {
		if void(c, r) {
			return math.NaN()
		}
		return 300
	})
	_, r := measured(t, ground, gridOf(t, 4, 3, 1, func(c, r int) float64 { return 302 }), nil)
	assert.Equal(t, 9, r.Cells)
}
