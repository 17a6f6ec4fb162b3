package sheet

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Sums of the same acres in another order leave no ground to walk: a table once told -0.0
// acres, which read as an error, for all of it was to be sighted.
func TestNoGroundToWalkIsNone(t *testing.T) {
	acres := 0.1 + 0.2
	for _, b := range []bandTotal{{acres: 0.3, sureAcres: acres}, {acres: acres, sureAcres: 0.3}} {
		walk := b.walkAcres()
		assert.Zero(t, walk)
		assert.False(t, math.Signbit(walk))
	}
	assert.InDelta(t, 0.1, bandTotal{acres: 1, sureAcres: 0.7, sightAcres: 0.2}.walkAcres(), 1e-12)
	assert.True(t, math.IsNaN(bandTotal{acres: 1, sureAcres: math.NaN()}.walkAcres()), "not known")
}
