package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The page shows the limits that may be changed along before across, and those of wet
// ground last, whatever their order in fleet files.
func TestLimitsStandAlongBeforeAcross(t *testing.T) {
	var keys []string
	for _, l := range limits {
		keys = append(keys, string(l.Key))
	}
	assert.Equal(t, []string{"limit", "tether_above", "cross", "wet_limit", "wet_cross"}, keys)
}
