package write

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Figures are written as encoding/json writes them.
func TestValuesAreAsEncodingJSONHasThem(t *testing.T) {
	for _, v := range []any{0.0, math.Copysign(0, -1), 1.0, -2.5, 1e-6, 9.99e-7, 1e-9, 1e20, 1e21, 123456789.123456789, int64(-3), int64(0), "a\"<b>", nil, []int{1}} {
		want, err := json.Marshal(v)
		require.NoError(t, err)
		got, err := appendValue([]byte("x"), v)
		require.NoError(t, err)
		assert.Equal(t, "x"+string(want), string(got))
	}
}

// A name tells its unit; no two properties have one name, and names stand in JSON as
// they are.
func TestPropertiesTellTheirUnits(t *testing.T) {
	for _, all := range [][]Property{ZoneProperties(measure.US), HazardProperties()} {
		seen := map[string]bool{}
		for _, p := range all {
			assert.False(t, seen[p.Name])
			seen[p.Name] = true
			assert.Regexp(t, "^[a-z_]+$", p.Name)
			assert.Equal(t, strings.HasSuffix(p.Name, "_pct"), p.Unit == inPercent, p.Name)
			assert.Equal(t, strings.HasSuffix(p.Name, "acres"), p.Unit == inAcres, p.Name)
			assert.Equal(t, p.Unit == inPercent, strings.HasSuffix(p.Words, ", percent"), p.Name)
		}
	}
	m := writerMap(t)
	assert.Len(t, zoneValues(m, m.Lots[0], m.Lots[0].Zones[0]), len(ZoneProperties(measure.US)))
	assert.Len(t, hazardValues(zoning.Hazard{}), len(HazardProperties()))
}
