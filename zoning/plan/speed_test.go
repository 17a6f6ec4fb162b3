package plan_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
)

// BenchmarkFourMachines plans a map of two lots for the default fleet.
func BenchmarkFourMachines(b *testing.B) {
	g, m := mappedTwo(b, mapping.Options{})
	for b.Loop() {
		_, err := plan.ForMap(g, m, plan.Default(), plan.Medium)
		require.NoError(b, err)
	}
}
