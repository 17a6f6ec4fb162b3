package page

import (
	"bufio"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// started is another process that serves with its folder in temp.
func started(t *testing.T, temp string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), asServer+"="+elevation(t), "TMPDIR="+temp)
	_, err := cmd.StdinPipe() // it serves until this ends
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	t.Cleanup(func() {
		_ = cmd.Process.Kill()
		_ = cmd.Wait()
	})
	_, err = bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	return cmd
}

func foldersIn(t *testing.T, temp string) (names []string) {
	entries, err := os.ReadDir(temp)
	require.NoError(t, err)
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// A server that was killed left its folder, with what strangers had uploaded, for good.
func TestWhatAKilledServerLeftIsCleared(t *testing.T) {
	if !locks {
		t.Skip("no lock tells a living server from a dead one here")
	}
	temp := t.TempDir()
	killed := started(t, temp)
	left := foldersIn(t, temp)
	require.Len(t, left, 1)
	require.NoError(t, os.WriteFile(filepath.Join(temp, left[0], "upload"), []byte("a stranger's"), 0o600))
	living := started(t, temp)
	both := foldersIn(t, temp)
	require.Len(t, both, 2)
	assert.Contains(t, both, left[0], "its server lives")

	require.NoError(t, killed.Process.Kill())
	require.Error(t, killed.Wait())
	require.Len(t, foldersIn(t, temp), 2, "it could not clear up")
	others := []string{filepath.Join(temp, "acreband-1"), filepath.Join(temp, "else")}
	for _, other := range others {
		require.NoError(t, os.Mkdir(other, 0o700))
	}
	elsewhere := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(elsewhere, "kept"), nil, 0o600))
	require.NoError(t, os.Symlink(elsewhere, filepath.Join(temp, tempPrefix+"link")))

	t.Setenv("TMPDIR", temp)
	s, err := New(Config{Elevation: []string{elevation(t)}, Fleet: fleet.Default(), Limits: smallLimits(), Child: reader("reads"), Log: slog.New(slog.DiscardHandler)})
	require.NoError(t, err)
	now := foldersIn(t, temp)
	assert.NotContains(t, now, left[0], "the dead server's")
	assert.Contains(t, now, filepath.Base(s.dir))
	assert.FileExists(t, filepath.Join(elsewhere, "kept"), "a link is not followed")
	assert.Len(t, now, 5, "that of the living, its own, the link and two that are nobody's")
	s.Close()
	assert.Len(t, foldersIn(t, temp), 4)
	require.NoError(t, living.Process.Kill())
}

// Servers that start at once took each other's folders for those of the dead.
func TestServersThatStartAtOnceKeepTheirFolders(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	made := make(chan *tempFolder)
	const n = 16
	for range n {
		go func() {
			folder, err := newTempFolder(slog.New(slog.DiscardHandler))
			assert.NoError(t, err)
			made <- folder
		}()
	}
	var all []*tempFolder
	for range n {
		all = append(all, <-made)
	}
	for _, f := range all {
		assert.DirExists(t, f.path)
		assert.NoError(t, f.remove())
		assert.NoDirExists(t, f.path)
	}
}
