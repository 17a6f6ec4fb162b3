package sweep

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A real disk that is full, first for the pieces and then for the copy: nothing that is
// not whole has a name, the error says what is the matter, and with room the run goes on
// to the same bytes.
func TestFullTmpfs(t *testing.T) {
	dir := tiles(t)
	undisturbed := sent{[]string{dir}, t.TempDir(), 64}
	_, err := Run(context.Background(), undisturbed.config())
	require.NoError(t, err)
	want := outputsIn(t, undisturbed.Dir)
	full := sent{[]string{dir}, t.TempDir(), 64}
	mount := func(flags uintptr, bytes int) error {
		return syscall.Mount("tmpfs", full.Dir, "tmpfs", flags, fmt.Sprint("size=", bytes))
	}
	room := len(want[BandsName]) + len(want[SlopeName])
	if err := mount(0, room/4); err != nil {
		t.Skipf("no tmpfs can be mounted here: %v", err)
	}
	defer func() { require.NoError(t, syscall.Unmount(full.Dir, 0)) }()
	_, err = Run(context.Background(), full.config())
	require.ErrorIs(t, err, ErrPieces)
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.ErrorContains(t, err, "no space left on device; free some space there")

	kept := func() int {
		files, err := filepath.Glob(filepath.Join(full.Dir, keptName, "*.piece"))
		require.NoError(t, err)
		return len(files)
	}
	few := kept()
	assert.Positive(t, few, "what fits is kept")
	for more := 2; ; more++ { // until the pieces fit, and the copy does not
		require.NoError(t, mount(syscall.MS_REMOUNT, more*room/4))
		r, err := Run(context.Background(), full.config())
		if err == nil {
			assert.NotZero(t, r.Grids[0].Again)
			break
		}
		require.ErrorIs(t, err, syscall.ENOSPC)
		for _, name := range []string{BandsName, SlopeName} {
			if text, err := os.ReadFile(filepath.Join(full.Dir, name)); err == nil {
				assert.Equal(t, want[name], string(text), "what has its name is whole")
			}
		}
	}
	assert.Equal(t, want, outputsIn(t, full.Dir))
}
