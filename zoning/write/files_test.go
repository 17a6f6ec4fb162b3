package write

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Links that lie where a part might be are not followed: a part's folder is the run's own, and
// no one can know its name before.
func TestLinksAreNotFollowed(t *testing.T) {
	dir, elsewhere := t.TempDir(), filepath.Join(t.TempDir(), "precious")
	require.NoError(t, os.WriteFile(elsewhere, []byte("precious"), 0o666))
	for _, name := range []string{".zones.geojson.part", "zones.geojson", ".acreband-X.part"} {
		require.NoError(t, os.Symlink(elsewhere, filepath.Join(dir, name)))
	}
	f, err := Begin(dir)
	require.NoError(t, err)
	defer f.Discard()
	info, err := os.Stat(filepath.Join(dir, f.under))
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	require.NoError(t, os.Symlink(elsewhere, filepath.Join(dir, f.under, newName, "other")))
	_, err = f.Create("other")
	require.ErrorIs(t, err, os.ErrExist)
	w, err := f.Create("zones.geojson")
	require.NoError(t, err)
	_, _ = w.WriteString("zones")
	require.NoError(t, f.Commit())
	text, err := os.ReadFile(elsewhere)
	require.NoError(t, err)
	require.Equal(t, "precious", string(text))
	info, err = os.Lstat(filepath.Join(dir, "zones.geojson"))
	require.NoError(t, err)
	require.True(t, info.Mode().IsRegular())

	g, err := Begin(dir)
	require.NoError(t, err)
	defer g.Discard()
	require.NotEqual(t, f.under, g.under)
	require.GreaterOrEqual(t, len(g.under), len(partPrefix)+26+len(partSuffix)) // 128 bits
}

// A part whose run is still at work is let be; once that has ended it is taken away.
func TestRunsBesideEachOther(t *testing.T) {
	dir := t.TempDir()
	a, err := Begin(dir)
	require.NoError(t, err)
	w, err := a.Create("a")
	require.NoError(t, err)
	_, _ = w.WriteString("a")
	b, err := Begin(dir)
	require.NoError(t, err)
	w, err = b.Create("b")
	require.NoError(t, err)
	_, _ = w.WriteString("b")
	require.NoError(t, b.Commit())
	require.NoError(t, a.Commit())
	require.Equal(t, map[string]string{"a": "a", "b": "b"}, in(t, dir))

	killed, err := Begin(dir)
	require.NoError(t, err)
	require.NoError(t, errors.Join(killed.lock.Close(), killed.disk.Close())) // as the system does
	require.Len(t, in(t, dir), 2+2)
	recovered(t, dir)
	require.Equal(t, map[string]string{"a": "a", "b": "b"}, in(t, dir))
}

// A folder that takes a file's place is told before anything is written, and the others are
// not touched.
func TestAFolderInAFilesPlace(t *testing.T) {
	dir := folder(t)
	f, err := Begin(dir)
	require.NoError(t, err)
	w, err := f.Create("zones.geojson")
	require.NoError(t, err)
	_, _ = w.WriteString("new")
	_, err = f.Create("lots")
	require.ErrorContains(t, err, filepath.Join(dir, "lots")+": a folder is in its place")
	_, err = f.Create("sheet.pdf")
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "sheet.pdf"), 0o777)) // since
	require.ErrorContains(t, f.Commit(), "sheet.pdf: a folder is in its place")
	f.Discard()
	require.Equal(t, was, in(t, dir))
	for _, name := range []string{"../out", "/etc/passwd", "", ".acreband-x", "a/../../b"} {
		_, err := f.Create(name)
		require.Error(t, err, name)
	}
}

// What is given up leaves nothing, and no folder that it made.
func TestDiscard(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	f, err := Begin(dir)
	require.NoError(t, err)
	_, err = f.Create("a")
	require.NoError(t, err)
	f.Discard()
	_, err = os.Stat(dir)
	require.ErrorIs(t, err, os.ErrNotExist)
	require.Error(t, f.Commit())
}

func TestAlone(t *testing.T) {
	dir := t.TempDir()
	f, err := Begin(dir)
	require.NoError(t, err)
	defer f.Discard()
	require.NoError(t, f.Alone("piece.tif", func(path string) error {
		require.Empty(t, in(t, dir)["piece.tif"])
		return os.WriteFile(path, []byte("piece"), 0o666)
	}))
	require.Equal(t, "piece", in(t, dir)["piece.tif"])
	require.ErrorContains(t, f.Alone("piece.tif", func(path string) error {
		require.NoError(t, os.WriteFile(path, []byte("half"), 0o666))
		return errors.New("no more")
	}), "piece.tif: no more")
	require.Equal(t, "piece", in(t, dir)["piece.tif"])
	require.NoError(t, Bytes(filepath.Join(dir, "run.prom"), []byte("figures")))
	f.Discard()
	require.Equal(t, map[string]string{"piece.tif": "piece", "run.prom": "figures"}, in(t, dir))
}

// What was written appears when it is told to, and leaves nothing where it cannot.
func TestWritten(t *testing.T) {
	dir := t.TempDir()
	f, err := Begin(dir)
	require.NoError(t, err)
	defer f.Discard()
	piece := func(path string) error { return os.WriteFile(path, []byte("piece"), 0o666) }
	appear, err := f.Written("a.tif", piece)
	require.NoError(t, err)
	require.Empty(t, in(t, dir)["a.tif"])
	require.NoError(t, appear())
	require.Equal(t, "piece", in(t, dir)["a.tif"])

	appear, err = f.Written("b.tif", piece)
	require.NoError(t, err)
	require.NoError(t, os.Mkdir(filepath.Join(dir, "b.tif"), 0o777))
	require.ErrorContains(t, appear(), "b.tif: a folder is in its place")
	require.NoError(t, os.Remove(filepath.Join(dir, "b.tif")))
	_, err = f.Written("b.tif", piece)
	require.NoError(t, err, "the name is free again")
	f.Discard()
	require.Equal(t, map[string]string{"a.tif": "piece"}, in(t, dir))
}

// More files than are synced one by one appear together too.
func TestManyFiles(t *testing.T) {
	dir := t.TempDir()
	f, err := Begin(dir)
	require.NoError(t, err)
	defer f.Discard()
	for i := range manyFiles + 5 {
		w, err := f.Create(filepath.ToSlash(filepath.Join("zones", strings.Repeat("x", i+1))))
		require.NoError(t, err)
		_, _ = w.WriteString("zone")
		require.NoError(t, w.Close())
	}
	require.Empty(t, f.open) // of thousands no buffer is kept
	require.NoError(t, f.Commit())
	require.Len(t, in(t, dir), manyFiles+5)
}
