package canopy

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A twentieth of the cells lies far below, and a twentieth level: a little less is no swap.
func TestATwentiethIsSunkAndATwentiethLevel(t *testing.T) {
	for _, c := range []struct {
		sunk, level int // of a thousand
		swapped     bool
	}{{50, 50, true}, {49, 50, false}, {50, 49, false}, {46, 60, false}, {60, 46, false}} {
		all := append(samplesOf(c.sunk, 0, -3), samplesOf(c.level, 0, 0)...)
		all = append(all, samplesOf(1000-c.sunk-c.level, 0, -1.5)...)
		var r GrowthReport
		r.findSunk(all)
		assert.Equal(t, c.swapped, r.Swapped, c)
	}
}
