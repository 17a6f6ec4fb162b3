package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One day, and a half of it, is written without an s.
func TestADayIsWrittenAsPeopleWriteIt(t *testing.T) {
	for s, want := range map[string]float64{"0.5day": 0.5, "1 day": 1, "2days": 2, "0days": 0} {
		got, err := leastDays.number(s)
		require.NoError(t, err, s)
		assert.Equal(t, want, got, s)
	}
	var j Job
	require.NoError(t, j.Set("window", "1day"))
	assert.Equal(t, 1.0, j.WindowDays)
	for _, s := range []string{"0.5", "0.5da", "-1day", "101days"} {
		_, err := leastDays.number(s)
		assert.Error(t, err, s)
	}
}
