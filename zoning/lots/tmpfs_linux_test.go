package lots

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// A real disk that is full: what fits is kept, and with more room the run goes on to
// the same bytes.
func TestFullTmpfs(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	journal, err := os.Stat(filepath.Join(c.Dir, journalName(Shard{})))
	require.NoError(t, err)
	c = elsewhere(t, c)
	require.NoError(t, os.MkdirAll(c.Dir, 0o777))
	mount := func(flags uintptr, bytes int64) error {
		return syscall.Mount("tmpfs", c.Dir, "tmpfs", flags, fmt.Sprint("size=", bytes))
	}
	if err := mount(0, journal.Size()); err != nil {
		t.Skipf("no tmpfs can be mounted here: %v", err)
	}
	defer func() { require.NoError(t, syscall.Unmount(c.Dir, 0)) }()
	_, err = Run(never(), c) // journal, spool and outputs do not fit
	require.ErrorIs(t, err, syscall.ENOSPC)
	require.NotContains(t, outputsIn(t, c.Dir), "lots.csv")
	require.NoError(t, mount(syscall.MS_REMOUNT, 10*journal.Size()))
	r, got := ran(t, c) // by itself
	require.Zero(t, r.Failed)
	mustBeSame(t, want, got)
}
