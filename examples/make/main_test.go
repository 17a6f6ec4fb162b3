package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The files in examples are what the program writes.
func TestFilesAreMadeHere(t *testing.T) {
	for _, s := range sites {
		t.Run(s.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, s.write(dir))
			for _, f := range s.files {
				want, err := os.ReadFile(filepath.Join(dir, f.name+".geojson"))
				require.NoError(t, err)
				got, err := os.ReadFile(filepath.Join("..", s.name, f.name+".geojson"))
				require.NoError(t, err)
				assert.Equal(t, string(want), string(got), "go run ./examples/make")
			}
			elevation := filepath.Join("..", s.name, "elevation.tif")
			want, got := s.heights(), s.read(t, elevation)
			require.Len(t, got, len(want))
			for i := range want {
				// One step: processors that fuse multiplication and addition round otherwise.
				require.InDelta(t, want[i], got[i], 1.0/128, "go run ./examples/make; cell %d", i)
			}
			info, err := os.Stat(elevation)
			require.NoError(t, err)
			assert.Less(t, info.Size(), int64(300_000))
		})
	}
}

func (s site) read(t *testing.T, path string) []float32 {
	t.Helper()
	ds, err := godal.Open(path)
	require.NoError(t, err)
	defer ds.Close()
	z := make([]float32, s.cols*s.rows)
	require.NoError(t, ds.Read(0, 0, z, s.cols, s.rows))
	return z
}
