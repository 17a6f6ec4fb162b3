package field_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field"
)

// A list of nothing went out as null.
func TestNothingCheckedHasEmptyLists(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, (&field.Checks{}).WriteGeoJSON(&b))
	assert.Contains(t, b.String(), `"zones":[]`)
	assert.NotContains(t, b.String(), "null")
	b.Reset()
	require.NoError(t, field.Verdict{}.WriteJSON(&b))
	for _, name := range []string{"not_read", "zones", "counts_mapped_by_measured", "user_accuracy", "producer_accuracy", "spots"} {
		assert.Contains(t, b.String(), `"`+name+`": []`)
	}
}
