package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The files beside the program are what it writes.
func TestFilesAreMadeHere(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, write(dir))
	for _, name := range []string{"boundary.geojson", "site.geojson", "staging.geojson", "travel.geojson"} {
		want, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		got, err := os.ReadFile(filepath.Join("..", name))
		require.NoError(t, err)
		assert.Equal(t, string(want), string(got), "go run ./examples/site/make")
	}
	want, got := heights(), read(t, filepath.Join("..", "elevation.tif"))
	require.Len(t, got, len(want))
	for i := range want {
		// One step: processors that fuse multiplication and addition round otherwise.
		require.InDelta(t, want[i], got[i], 1.0/128, "go run ./examples/site/make; cell %d", i)
	}
	info, err := os.Stat(filepath.Join("..", "elevation.tif"))
	require.NoError(t, err)
	assert.Less(t, info.Size(), int64(300_000))
}

func read(t *testing.T, path string) []float32 {
	t.Helper()
	ds, err := godal.Open(path)
	require.NoError(t, err)
	defer ds.Close()
	z := make([]float32, cols*rows)
	require.NoError(t, ds.Read(0, 0, z, cols, rows))
	return z
}
