package sweep

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning/fleet"
)

// The slopes' file says how it was rounded; it holds 64ths of a point, but for slopes that
// would have been rounded below a limit.
func TestSlopesSayHowTheyWereRounded(t *testing.T) {
	c := sent{[]string{tiles(t)}, t.TempDir(), 64}.config()
	_, err := Run(context.Background(), c)
	require.NoError(t, err)
	for name, says := range map[string]bool{SlopeName: true, BandsName: false} {
		ds, err := godal.Open(filepath.Join(c.Dir, name))
		require.NoError(t, err)
		remarks := ds.Metadata("REMARKS")
		require.NoError(t, ds.Close())
		if says {
			assert.Contains(t, remarks, slope.RoundingWords)
		} else {
			assert.NotContains(t, remarks, slope.RoundingWords)
		}
	}
	slopes, _, _ := read(t, filepath.Join(c.Dir, SlopeName))
	limits := fleet.Default()
	steps, kept := 0, 0
	for _, s := range slopes {
		switch {
		case s != s:
		case s*64 == math.Round(s*64):
			steps++
		default:
			kept++
			near := math.Inf(1)
			for _, l := range limits.SlopesPct() {
				near = min(near, math.Abs(s-l))
			}
			require.LessOrEqual(t, near, 2*slope.RoundedOff, s)
		}
	}
	assert.Positive(t, steps)
	assert.Less(t, kept, steps/50)
}
