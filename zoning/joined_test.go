package zoning

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Steepest by the weakest soil: 1 1/2 feet along to 1 foot up (29 CFR 1926 subpart P, appendix
// B, type C; from memory).
func TestFallOfAFaceThatDoesNotStand(t *testing.T) {
	assert.InDelta(t, 66.667, DefaultEdgePct, 0.001)
}

// Warnings about some machines keep all of those that they were told of.
func TestWarningsOfMachines(t *testing.T) {
	m := &ZoneMap{}
	m.WarnOf(1, "one")
	m.WarnOf(2, "two")
	m.WarnOf(4, "one")
	assert.Equal(t, []string{"one", "two", "one"}, m.Warnings)
	assert.Equal(t, map[string]Mask{"one": 5, "two": 2}, m.Concerns)
}

// Growth of lots that are drawn in one adds up by cover, whichever of them had any.
func TestCoverOfJoinedGrowth(t *testing.T) {
	cover := func(light, heavy float64) map[string][CoverClasses]float64 {
		return map[string][CoverClasses]float64{"loader": {1: light, 3: heavy}}
	}
	some := &Growth{Lots: []GrowthAcres{{}}, Cover: cover(1, 2)}
	none := &Growth{Lots: []GrowthAcres{{}}}
	sum := (*Growth)(nil).With(none).With(some).With(&Growth{Lots: []GrowthAcres{{}}, Cover: cover(0.5, 4)})
	assert.Equal(t, cover(1.5, 6), sum.Cover)
	assert.Equal(t, cover(1, 2), some.Cover, "what was joined stays as it is")
}

// A word that names a figure which is no limit names no limit.
func TestLimitsAreThoseThatAreLimits(t *testing.T) {
	set := 0
	for _, s := range specs {
		var m Machine
		if _, known := m.Limit(s.Key); known {
			set++
			assert.True(t, s.isLimit(), s.Key)
		}
	}
	assert.Positive(t, set)
}
