package raster

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/raster/geotiff"
)

// Overviews are put together by several goroutines: the file is the same by any number of them,
// and a piece that is gone meanwhile is named by all.
func TestOverviewsByAnyNumberOfGoroutines(t *testing.T) {
	p := Parting{300, 5000, 512, 512}
	classes := make([]uint8, p.Cols*p.Rows)
	for i := range classes {
		classes[i] = uint8(i / 77 % 3)
	}
	pieces, want := partsOf(t, t.TempDir(), p, classes, 4)
	levels, strips := (&whole[uint8]{layout: newLayout[uint8](p)}).reducedLevels()
	require.Len(t, levels, 4)
	require.Len(t, strips, 5+3+2+1)
	h := header(t, p.Cols, p.Rows)
	write := func(processors int) (string, error) {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		path := filepath.Join(t.TempDir(), "whole.tif")
		return path, WriteWhole(path, h, p, pieces, threeClasses)
	}
	one, err := write(1)
	require.NoError(t, err)
	checkWhole(t, one, h, p, want)
	for _, n := range []int{2, 3, 8} {
		path, err := write(n)
		require.NoError(t, err)
		require.Equal(t, must(os.ReadFile(one)), must(os.ReadFile(path)), n)
	}

	w := &whole[uint8]{layout: newLayout[uint8](p), pieces: pieces}
	require.NoError(t, w.readFeet())
	gone := pieces[6].Path
	require.NoError(t, os.Remove(gone))
	for _, n := range []int{1, 2, 8} {
		scratch, err := os.Create(filepath.Join(t.TempDir(), "overviews"))
		require.NoError(t, err)
		defer scratch.Close()
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		require.ErrorContains(t, w.overviews(&geotiff.File{}, scratch), gone, n)
	}
}
