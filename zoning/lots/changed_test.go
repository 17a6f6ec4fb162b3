package lots

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/resume"
)

// Cause: a raster overwritten while lots were mapped ended with exit 0 and lots of both
// rasters in one table. No output appears, and nothing of what was mapped is gone on with,
// even where the raster comes back as it was.
func TestARasterOverwrittenOnTheWay(t *testing.T) {
	for _, what := range []string{"overwrite", "truncate"} {
		c := config(t)
		tile := filepath.Join(c.Job.Elevation[0], "tile2.tif")
		before, err := os.ReadFile(tile)
		require.NoError(t, err)
		info, err := os.Stat(tile)
		require.NoError(t, err)
		_, want := ran(t, c)
		c = elsewhere(t, c)
		c.Workers = 1
		writeHeights(t, tile+".other", tileCells, 0, tileCells, tileCells, 32, func(x, y float64) float64 { return relief(y, x) })
		c.Child = withFaults("L020:" + what + ":" + tile)
		r, err := Run(never(), c)
		require.ErrorIs(t, err, resume.ErrChanged, what)
		require.ErrorContains(t, err, "elevation tile2.tif was ")
		require.ErrorContains(t, err, "nothing is written")
		require.Equal(t, madeLots, r.Lots)
		require.Empty(t, outputsIn(t, c.Dir), what)

		require.NoError(t, os.WriteFile(tile, before, 0o666))
		require.NoError(t, os.Chtimes(tile, info.ModTime(), info.ModTime()))
		c.Child = withFaults()
		again, got := ran(t, c)
		require.Zero(t, again.Again, what)
		mustBeSame(t, want, got)
	}
}
