package raster

import (
	"encoding/binary"
	"encoding/json"
	"hash/crc32"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// Overviews are put together by several goroutines: the file is the same by any number of them,
// and a piece that tells of more than it holds is named by all.
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

	short := pieces[6].Path
	f, foot, err := openPiece(short)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	foot.Tiles[0] += 1 << 20
	text, err := json.Marshal(foot)
	require.NoError(t, err)
	length := uint32(len(text))
	text = binary.LittleEndian.AppendUint32(text, length)
	text = binary.LittleEndian.AppendUint32(text, crc32.ChecksumIEEE(text[:length]))
	require.NoError(t, os.WriteFile(short, append(text, pieceMark...), 0o666))
	for _, n := range []int{1, 2, 8} {
		_, err := write(n)
		require.ErrorContains(t, err, short+": EOF", n)
	}
}
