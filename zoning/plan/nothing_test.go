package plan_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan"
)

// A list of nothing went out as null.
func TestPlanOfNothingHasEmptyLists(t *testing.T) {
	text, err := json.Marshal(&plan.Plan{})
	require.NoError(t, err)
	assert.NotContains(t, string(text), "null")
	assert.Contains(t, string(text), `"options":[],"keep_apart_ft":0,"assumed":[],"notes":[],"cautions":[]`)
}
