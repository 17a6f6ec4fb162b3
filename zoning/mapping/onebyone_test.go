package mapping

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Searches one by one, as on large windows, with upper slopes let go meanwhile, find what they
// find at once.
func TestSearchesOneByOne(t *testing.T) {
	rule := trafficability.Rule{
		Reason: zoning.Reason{Key: "steep-it-may-be", Words: "steep, it may be"},
		Of: func(a trafficability.Asked) func(int) bool {
			upper := a.Ground.Field.UpperSquared
			if upper == nil {
				return nil
			}
			return func(i int) bool { return upper[i] > 0.09 }
		},
	}
	for name, o := range map[string]Options{"": {}, "cautious": {Cautious: true}, "wet": {Ground: zoning.Wet}, "rules": {Rules: []trafficability.Rule{rule}}} {
		h := rough(96, 0.9, 30, false, 3)
		var found [2]*mapping
		for i := range found {
			m, err := h.ground(t).mapping(fleet.Default(), o)
			require.NoError(t, err)
			m.oneByOne = i == 1
			require.NoError(t, m.judge(t.Context()))
			require.NoError(t, m.findWorkable(t.Context()))
			found[i] = m
		}
		assert.Equal(t, found[0].cells, found[1].cells, name)
		assert.Equal(t, found[0].other.Masks, found[1].other.Masks, name)
		assert.Equal(t, found[0].field.UpperSquared == nil, found[1].field.UpperSquared == nil, name)
		for i, upper := range found[0].field.UpperSquared {
			require.Equal(t, math.Float32bits(upper), math.Float32bits(found[1].field.UpperSquared[i]), name)
		}
	}
}
