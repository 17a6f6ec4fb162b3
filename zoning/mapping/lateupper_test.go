package mapping_test

import (
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Upper slopes are found late, for the sake of memory; a rule that an embedder added would
// find none if that were after it is asked.
func TestAddedRulesFindUpperSlopes(t *testing.T) {
	g, _ := ruledGround(t)
	var asked, without atomic.Int64
	rule := trafficability.Rule{
		Reason: zoning.Reason{Key: "steep-it-may-be", Words: "steep, it may be"},
		Of: func(a trafficability.Asked) func(int) bool {
			asked.Add(1)
			if a.Ground.Field.UpperSquared == nil {
				without.Add(1)
			}
			return nil
		},
	}
	machines := fleet.Default()
	_, err := mapping.Map(t.Context(), g, machines, mapping.Options{Rules: []trafficability.Rule{rule}})
	require.NoError(t, err)
	assert.Equal(t, int64(3*len(machines)), asked.Load(), "dry, wet and as steep as it may be")
	assert.Equal(t, int64(len(machines)), without.Load(), "where the upper slope is itself the slope")
}
