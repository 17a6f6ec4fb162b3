package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A limit in degrees with their sign, or as a ratio, was refused.
func TestSlopesAsPeopleTypeThem(t *testing.T) {
	for typed, want := range map[string]float64{
		"30%": 30, " 30 % ": 30, "45°": 100, "45 °": 100, "45deg": 100, "1:4": 25, "1 : 4": 25, "1:1": 100, "2:5": 40, "1:2.5": 40,
	} {
		pct, err := slopeTyped(typed)
		require.NoError(t, err, typed)
		assert.InDelta(t, want, pct, 1e-9, typed)
	}
	// 4:1 is 25% to who writes run first and 400% to who writes rise first.
	for typed, says := range map[string]string{
		"4:1": "write the rise first", "0:0": "rises more than it runs", "1:0": "rises more", "20": "has no unit", "°": "is not a slope", "": "empty", "1:4%": "not a slope", "-1:4": "not a slope",
	} {
		_, err := slopeTyped(typed)
		assert.ErrorContains(t, err, says, typed)
	}
}

func FuzzSlopeTyped(f *testing.F) {
	for _, s := range []string{"30%", "14°", "14deg", "1:4", "1e9:1e9", "°°", "1:"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		pct, err := slopeTyped(s)
		if err == nil {
			assert.GreaterOrEqual(t, pct, 0.0)
		}
	})
}

// A limit typed in degrees is the limit of the map.
func TestLimitInDegrees(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	for _, typed := range []string{"1:5", "20%"} {
		status, body := s.set(a.ID, `{"limits":[{"machine":"track-loader","limit":"limit","value":"`+typed+`"}]}`)
		require.Equal(t, 200, status, "%s", body)
		assert.Contains(t, s.parse(body).Assumed[0], "Track loader, limit up and down: 20%, where the fleet file says 30%")
	}
	status, body := s.set(a.ID, `{"limits":[{"machine":"track-loader","limit":"limit","value":"5:1"}]}`)
	assert.Equal(t, 422, status)
	assert.Equal(t, "track-loader limit", s.trouble(body).Field)
}
