package zoning_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

func TestSlopesThatAFleetIsHeldTo(t *testing.T) {
	m := zoning.Machine{Key: "a", LimitPct: 40, CrossPct: 20, TetherAbovePct: 30.5}
	m.Wet.AlongPct = 25
	got := zoning.Fleet{m}.SlopesPct()
	assert.True(t, slices.IsSorted(got))
	for _, want := range []float64{40, 39.98, 20, 19.98, 30.5, 30.48, 25, 24.98} {
		assert.True(t, slices.ContainsFunc(got, func(pct float64) bool { return pct > want-1e-9 && pct < want+1e-9 }), "%v in %v", want, got)
	}
	assert.Empty(t, zoning.Fleet{}.SlopesPct())
}
