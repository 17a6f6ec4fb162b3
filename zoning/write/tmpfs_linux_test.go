package write

import (
	"bytes"
	"errors"
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// A full disk is told as such, also where the writer says something else about it.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=256k"); err != nil {
		t.Skipf("no tmpfs can be mounted here: %v", err)
	}
	defer func() { require.NoError(t, syscall.Unmount(dir, 0)) }()
	require.NoError(t, os.WriteFile(dir+"/a", []byte("old"), 0o666))
	f, err := Begin(dir)
	require.NoError(t, err)
	defer f.Discard()
	w, err := f.Create("a")
	require.NoError(t, err)
	_, _ = w.Write(bytes.Repeat([]byte("x"), 1<<20))
	require.Error(t, w.Close()) // also where its writer does not look
	err = f.Commit()
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NotErrorIs(t, err, ErrPartly)
	f.Discard()
	require.Equal(t, map[string]string{"a": "old"}, in(t, dir))

	f, err = Begin(dir)
	require.NoError(t, err)
	defer f.Discard()
	err = f.Alone("b", func(path string) error {
		require.Error(t, os.WriteFile(path, make([]byte, 1<<20), 0o666))
		return errors.New("TIFFAppendToStrip: write error at scanline 7")
	})
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.Equal(t, dir+"/b: no space left on device; free some space there", err.Error())
}
