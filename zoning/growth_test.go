package zoning

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// By hand, in international feet: 3 ft is 0.9144 m, 10 ft 3.048 m, 25 ft 7.62 m.
func TestGrowthClasses(t *testing.T) {
	for heightM, class := range map[float64]int{
		0: 0, 0.9143: 0, 0.9145: 1, 3.0479: 1, 3.0481: 2, 7.6199: 2, 7.6201: 3, 90: 3, math.NaN(): -1,
	} {
		assert.Equal(t, class, GrowthClassOf(heightM), "%g m", heightM)
	}
	for i, ft := range []float64{3, 10, 25} {
		assert.Equal(t, i+1, GrowthClassOf(ft*MetresPerFoot), "without its end: %g ft", ft)
	}
}
