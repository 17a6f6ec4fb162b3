package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnUndeclaredVoidIsAPlateau(t *testing.T) {
	for _, value := range []float64{0, -99, 250, 8000} {
		g := gentle(t, 300, 200, 2, func(h float64, c, r int) float64 {
			if c+r < 80 {
				return value
			}
			return h
		})
		found := plateaus(g, nil)
		require.Len(t, found, 1, "%g m", value)
		assert.Equal(t, value, found[0].HeightM)
		assert.Equal(t, 80*81/2, found[0].Cells)
		assert.InDelta(t, math.Abs(value-305), found[0].StepM, 15, "%g m", value)
		assert.True(t, found[0].Void)
	}
}

func TestScatteredZerosAreAPlateau(t *testing.T) {
	g := gentle(t, 300, 200, 2, func(h float64, c, r int) float64 {
		if c%30 == 7 && r%30 == 7 { // 10 × 7 cells, no two together
			return 0
		}
		return h
	})
	found := plateaus(g, nil)
	require.Len(t, found, 1)
	assert.Equal(t, 70, found[0].Cells)
	assert.True(t, found[0].Void)
}

func TestTheSeaIsNoVoidButToldOf(t *testing.T) {
	g := gentle(t, 300, 200, 2, func(h float64, c, r int) float64 { return max(h-315, 0) })
	found := plateaus(g, nil)
	require.Len(t, found, 1)
	assert.Equal(t, 0.0, found[0].HeightM)
	assert.False(t, found[0].Void)
	doubts := must(Doubts(g, true))
	assert.Equal(t, []string{DoubtPlateau, DoubtWater}, kinds(doubts))
	assert.Contains(t, doubts[0].Words, "the sea, or an undeclared no-data value")
}

func TestWhatHasABankIsNoVoid(t *testing.T) {
	g := gentle(t, 300, 200, 2, nil)
	flatten(g, func(c, r int) bool { return disc(c, r, 150, 100, 50) }, 0.5)
	assert.Empty(t, plateaus(g, nil), "a pond")
	assert.Empty(t, plateaus(gentle(t, 300, 200, 30, func(h float64, _, _ int) float64 { return math.Round(h/10) * 10 }), nil), "stairs of 10 m")
	assert.Empty(t, plateaus(gridOf(t, 300, 200, 1, func(c, r int) float64 { return 0 }), nil), "one height all over has no edge")
}
