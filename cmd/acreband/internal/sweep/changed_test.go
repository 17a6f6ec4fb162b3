package sweep

import (
	"context"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/resume"
)

// Cause: a raster overwritten while pieces were made ended with exit 0 and ground of both
// rasters in one output.
func TestARasterOverwrittenOnTheWay(t *testing.T) {
	dir := tiles(t)
	names, err := filepath.Glob(filepath.Join(dir, "*.tif"))
	require.NoError(t, err)
	run := sent{[]string{dir}, t.TempDir(), 64}
	c := run.config()
	var once sync.Once
	c.Tell = func(_ string, done, _ int) {
		if done > 0 {
			once.Do(func() {
				text, err := os.ReadFile(names[0])
				if err == nil {
					text[len(text)-1] ^= 1
					_ = os.WriteFile(names[0], text, 0o666)
				}
			})
		}
	}
	_, err = Run(context.Background(), c)
	require.ErrorIs(t, err, resume.ErrChanged)
	require.ErrorContains(t, err, filepath.Base(names[0])+" was ")
	for _, name := range []string{BandsName, SlopeName} {
		require.NoFileExists(t, filepath.Join(run.Dir, name))
	}
	left, err := filepath.Glob(filepath.Join(run.Dir, keptName, "*"))
	require.NoError(t, err)
	require.Empty(t, left)
}
