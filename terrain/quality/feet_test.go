package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSteepGroundInFeetIsDoubted(t *testing.T) {
	for _, cell := range []float64{1, 3, 10} {
		f, ok := findFeet(steep(t, 300, 300, cell, 1/0.3048))
		assert.True(t, ok, "feet on %g m: %+v", cell, f)
		f, ok = findFeet(steep(t, 300, 300, cell, 1))
		assert.False(t, ok, "meters on %g m: %+v", cell, f)
		f, ok = findFeet(steep(t, 300, 300, cell, 1.6))
		assert.True(t, ok, "the meters are steep: more than 70/1.6%% on %g m: %+v", cell, f)
	}
	assert.Contains(t, kinds(must(Doubts(steep(t, 300, 300, 10, 1/0.3048), true))), DoubtFeet)
	assert.NotContains(t, kinds(must(Doubts(steep(t, 300, 300, 10, 1/0.3048), false))), DoubtFeet, "the unit was declared")
}

// Both kinds of error, which the package owns up to.
func TestFeetAreOnlyEverADoubt(t *testing.T) {
	_, ok := findFeet(gentle(t, 300, 300, 1, func(h float64, _, _ int) float64 { return h / 0.3048 }))
	assert.False(t, ok, "gentle ground in feet looks like meters")
	_, ok = findFeet(gridOf(t, 300, 300, 10, func(c, r int) float64 { return 200 + 8*float64(c) }))
	assert.True(t, ok, "a mountainside of 80% in meters looks like feet")
}

func TestSteepnessOfAPlane(t *testing.T) {
	f, _ := findFeet(gridOf(t, 100, 100, 5, func(c, r int) float64 { return 200 + 2.4*float64(c) + 3.2*float64(r) }))
	assert.InDelta(t, 80, f.MedianPct, 1e-3, "√(0.48² + 0.64²)")
	assert.Zero(t, f.Over100)
}
