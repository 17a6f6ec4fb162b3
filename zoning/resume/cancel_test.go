package resume

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// looks is done once it was looked at so often.
type looks struct {
	context.Context
	n, until int
}

func (l *looks) Err() error {
	if l.n++; l.n > l.until {
		return context.Canceled
	}
	return nil
}

// A gigabyte of rasters was summed to its end for someone who had given up.
func TestOfRastersIsCancelled(t *testing.T) {
	dir := t.TempDir()
	var rasters []Raster
	for _, name := range []string{"a.tif", "b.tif"} {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, make([]byte, 1<<20), 0o600))
		rasters = append(rasters, Raster{Path: file})
	}
	whole := &looks{t.Context(), 0, 1000}
	want, err := OfRasters(whole, "elevation", rasters)
	require.NoError(t, err)
	require.Len(t, want, 2)
	assert.Equal(t, 2*(1+1<<20>>18+1), whole.n, "before each file, each quarter of a megabyte and its end")
	for until := range whole.n {
		ctx := &looks{t.Context(), 0, until}
		got, err := OfRasters(ctx, "elevation", rasters)
		assert.ErrorIs(t, err, context.Canceled, until)
		assert.Nil(t, got)
		assert.Equal(t, until+1, ctx.n, "the look that ends it is the last")
	}
}
