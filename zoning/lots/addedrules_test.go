package lots

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/trafficability"
)

// A rule is a func, which no other process can be handed: a run that would map without it is
// refused before it begins.
func TestAddedRulesAreRefused(t *testing.T) {
	c := Config{Child: withFaults(), Dir: t.TempDir(), Workers: 1, Job: Job{Options: mapping.Options{Rules: []trafficability.Rule{{Reason: zoning.Reason{Key: "wet-meadow", Words: "wet meadow"}}}}}}
	assert.ErrorContains(t, c.check(), `"wet-meadow" cannot be handed to worker processes`)
	c.Job.Options.Rules = nil
	assert.NoError(t, c.check())
}
