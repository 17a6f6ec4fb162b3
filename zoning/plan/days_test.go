package plan_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
)

// By the formula of the package's documentation: acres over rate, factors and the share
// of an hour that is work, over the hours of a day.
func TestDays(t *testing.T) {
	_, book, err := plan.Parse("fleet.yaml", []byte(`machines:
  - key: track-loader
    name: Track loader
    limit: 30%
plan:
  track-loader:
    rate_light: 0.8ac/h
    slope_factor: 100% at 10%, 50% at 30%
job:
  productive: 50%
  day: 10h
  obstacles: 80%
  finish: 100%
`))
	require.NoError(t, err)
	days, ok := book.Days("track-loader", plan.Light, 6.4, 20)
	require.True(t, ok)
	assert.InEpsilon(t, 6.4/(0.8*0.75*0.8)/0.5/10, days, 1e-12)
	_, ok = book.Days("track-loader", plan.CoverNotGiven, 6.4, 20)
	assert.False(t, ok)
	_, ok = book.Days("airship", plan.Light, 6.4, 20)
	assert.False(t, ok)
	_, ok = plan.Default().Days("remote-crawler", plan.Heavy, 6.4, 20)
	assert.False(t, ok, "it does not work such cover")
}
