package raster

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A full disk is an error that says so.
func TestWantOfRoomIsTold(t *testing.T) {
	full := t.TempDir()
	if err := syscall.Mount("tmpfs", full, "tmpfs", 0, "size=65536"); err != nil {
		t.Skipf("no tmpfs can be mounted here: %v", err)
	}
	defer func() { require.NoError(t, syscall.Unmount(full, 0)) }()
	h := header(t, 700, 530)
	parting, all := Parting{700, 530, 1024, 1024}, terrain.Window{Col1: 700, Row1: 530}
	for _, write := range []func(path string) error{
		func(path string) error { return new(PieceWriter).Values(path, parting, all, nil, someValues(700*530)) },
		func(path string) error {
			return new(PieceWriter).Classes(path, parting, all, nil, noisyClasses(700*530))
		},
		func(path string) error {
			piece := filepath.Join(t.TempDir(), "piece.tif")
			require.NoError(t, new(PieceWriter).Values(piece, parting, all, nil, someValues(700*530)))
			return WriteWhole(path, h, parting, []Piece{{piece, all}}, nil)
		},
	} {
		require.ErrorIs(t, write(filepath.Join(full, "a.tif")), syscall.ENOSPC)
		_ = os.Remove(filepath.Join(full, "a.tif"))
	}
}

// Cause: GDAL 3.10, which once made the copy, may leave its end unwritten on a full disk without an error.
func TestACopyThatTheDiskCutShortIsAnError(t *testing.T) {
	const cols, rows = 1400, 1030
	h := header(t, cols, rows)
	parting := Parting{cols, rows, 2048, 2048}
	pieces := []Piece{{filepath.Join(t.TempDir(), "piece"), terrain.Window{Col1: cols, Row1: rows}}}
	require.NoError(t, new(PieceWriter).Values(pieces[0].Path, parting, pieces[0].At, nil, someValues(cols*rows)))
	whole := filepath.Join(t.TempDir(), "whole.tif")
	require.NoError(t, WriteWhole(whole, h, parting, pieces, nil))
	want, err := os.ReadFile(whole)
	require.NoError(t, err)
	full := t.TempDir()
	if err := syscall.Mount("tmpfs", full, "tmpfs", 0, "size=65536"); err != nil {
		t.Skipf("no tmpfs can be mounted here: %v", err)
	}
	defer func() { require.NoError(t, syscall.Unmount(full, 0)) }()
	const page = 4096
	pages := func(n int) int { return (len(want)*n/100 + page) / page * page }
	for _, room := range []int{pages(20), pages(60), pages(90), pages(98), pages(99), len(want) / page * page, 3 * len(want)} {
		require.NoError(t, syscall.Mount("tmpfs", full, "tmpfs", syscall.MS_REMOUNT, fmt.Sprint("size=", room)))
		path := filepath.Join(full, "a.tif")
		if err := WriteWhole(path, h, parting, pieces, nil); err != nil {
			assert.ErrorIs(t, err, syscall.ENOSPC, room)
			assert.Less(t, room, 2*len(want))
		} else {
			got, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.True(t, slices.Equal(want, got), "%d bytes of room, %d of %d written", room, len(got), len(want))
		}
		left, err := filepath.Glob(filepath.Join(full, "*"))
		require.NoError(t, err)
		for _, f := range left {
			require.NoError(t, os.Remove(f))
		}
	}
}

// noisyClasses do not pack well.
func noisyClasses(n int) []uint8 {
	cells := make([]uint8, n)
	for i := range cells {
		cells[i] = uint8(i * i >> 3 % 31 * i >> 5 % 7)
	}
	return cells
}
