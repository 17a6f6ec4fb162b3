package lots

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/measure"
)

// Tables of many lots are in acres: maps in hectares among them would be wrong by 2.47.
func TestManyLotsAreToldInAcres(t *testing.T) {
	c := config(t)
	c.Job.Options.Units = measure.Metric
	assert.ErrorContains(t, c.check(), "metric units are asked for")
}
