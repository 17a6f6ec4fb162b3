package field_test

import (
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The table of checks told slopes and who may walk there otherwise than the GeoJSON did.
func TestChecksAreTheSameInBothFiles(t *testing.T) {
	c := hillChecks(t)
	rows, err := csv.NewReader(strings.NewReader(text(t, c.WriteCSV))).ReadAll()
	require.NoError(t, err)
	var g struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal([]byte(text(t, c.WriteGeoJSON)), &g))
	require.Len(t, g.Features, len(rows)-1)
	compared := 0
	for i, f := range g.Features {
		for k, name := range rows[0] {
			v, has := f.Properties[name]
			if !has || v == nil {
				continue
			}
			told := rows[i+1][k]
			if _, isText := v.(string); isText {
				assert.Equal(t, v, told, name)
			} else {
				want, err := json.Marshal(v)
				require.NoError(t, err)
				assert.Equal(t, string(want), told, name)
			}
			compared++
		}
	}
	assert.Greater(t, compared, 6*len(g.Features))
}
