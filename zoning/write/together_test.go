package write

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// was and is are a folder before files appear in it and after.
var (
	was = map[string]string{"zones.geojson": "old zones", "lots/2.geojson": "old lot", "notes.txt": "the user's own"}
	is  = map[string]string{"zones.geojson": "new zones", "lots/2.geojson": "new lot", "notes.txt": "the user's own",
		"sheet.pdf": "new sheet", "deep/er/1.geojson": "one more"}
)

// in reads the files of a folder, with what a run left there.
func in(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			if name := filepath.Base(path); strings.HasPrefix(name, partPrefix) {
				out[name] = "left by a run"
			}
			return err
		}
		text, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path)
		out[filepath.ToSlash(name)] = string(text)
		return err
	}))
	return out
}

// quick is a folder in memory, where there is one: on a disk thousands of runs wait for it.
func quick(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("/dev/shm", "acreband-test-")
	if err != nil {
		return t.TempDir()
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

func folder(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(quick(t), "out")
	for name, text := range was {
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	}
	return dir
}

// steps stops or fails a run at its operations.
type steps struct {
	n              int   // operations so far
	killAt, failAt int   // 0 never
	failsWith      error // once
	did            []string
}

// errKilled is what a killed run panics with.
var errKilled = errors.New("killed")

func (s *steps) before(what, name string) error {
	if s.n++; s.n == s.killAt {
		panic(errKilled)
	}
	s.did = append(s.did, what+" "+name)
	if s.n == s.failAt {
		return s.failsWith
	}
	return nil
}

// run makes the files appear as far as the steps let it, and reports whether it was killed.
func run(t *testing.T, dir string, s *steps) (err error, dead bool) {
	t.Helper()
	var f *Files
	defer func() {
		if r := recover(); r != nil {
			require.Equal(t, errKilled, r)
			dead = true
			if f != nil { // the system closes what a killed process had open
				_ = f.lock.Close()
				_ = f.disk.Close()
			}
		}
	}()
	// The run itself, but for what its end does: that is not for a killed one.
	if f, err = begin(dir, s.before); err != nil {
		return err, false
	}
	for name, text := range is {
		if name == "notes.txt" {
			continue
		}
		w, err := f.Create(name)
		if err != nil {
			f.Discard()
			return err, false
		}
		if _, err := w.WriteString(text); err != nil {
			return err, false
		}
	}
	err = f.Commit()
	f.Discard()
	return err, false
}

// recovered begins and ends a run that writes nothing.
func recovered(t *testing.T, dir string) {
	t.Helper()
	f, err := Begin(dir)
	require.NoError(t, err)
	f.Discard()
}

// Killed after any step, the next run finds the folder as it was or as it was to be.
func TestKilledAtEveryStep(t *testing.T) {
	outcomes := map[string]int{}
	for n := 1; ; n++ {
		dir := folder(t)
		s := &steps{killAt: n}
		err, dead := run(t, dir, s)
		if !dead {
			require.NoError(t, err)
			require.Equal(t, is, in(t, dir))
			break
		}
		recovered(t, dir)
		got := in(t, dir)
		if decided := slices.ContainsFunc(s.did, func(d string) bool {
			return strings.HasPrefix(d, "rename ") && strings.HasSuffix(d, "/"+finishName)
		}); decided {
			require.Equal(t, is, got, "killed before step %d", n)
			outcomes["finished"]++
		} else {
			require.Equal(t, was, got, "killed before step %d", n)
			outcomes["as before"]++
		}
	}
	require.Greater(t, outcomes["finished"], 8)
	require.Greater(t, outcomes["as before"], 10)
}

// A run that is killed while it finishes what another left is finished by the next.
func TestKilledWhileItRecovers(t *testing.T) {
	for n := 1; ; n++ {
		dead := false
		for m := 1; ; m++ {
			dir := folder(t)
			if _, dead = run(t, dir, &steps{killAt: n}); !dead {
				break
			}
			_, again := run(t, dir, &steps{killAt: m})
			recovered(t, dir)
			if got := in(t, dir); got["sheet.pdf"] == "" {
				require.Equal(t, was, got, "killed before steps %d and %d", n, m)
			} else {
				require.Equal(t, is, got, "killed before steps %d and %d", n, m)
			}
			if !again {
				break
			}
		}
		if !dead {
			break
		}
	}
}

// "Left as it was" is true after every failure that is not ErrPartly, and what that leaves the
// next run puts right.
func TestFailingAtEveryStep(t *testing.T) {
	for n := 1; ; n++ {
		dir := folder(t)
		s := &steps{failAt: n, failsWith: syscall.EIO}
		err, _ := run(t, dir, s)
		got := in(t, dir)
		switch {
		case err == nil && s.n < n:
			return
		case err == nil:
			require.Equal(t, is["zones.geojson"], got["zones.geojson"])
		case !errors.Is(err, ErrPartly):
			require.ErrorIs(t, err, syscall.EIO)
			maps.DeleteFunc(got, func(name, _ string) bool { return strings.HasPrefix(name, partPrefix) })
			require.Equal(t, was, got, "failed at step %d: %v", n, err)
		}
		recovered(t, dir)
		if got := in(t, dir); err == nil || got["sheet.pdf"] != "" {
			require.Equal(t, is, got, "failed at step %d", n)
		} else {
			require.Equal(t, was, got, "failed at step %d", n)
		}
	}
}

// A run killed while it takes names back, because one could not be given, leaves to the next
// to go on with that.
func TestKilledWhileItTakesBack(t *testing.T) {
	taken := 0
	for fail := 1; ; fail++ {
		s := &steps{failAt: fail, failsWith: syscall.EIO}
		if err, _ := run(t, folder(t), s); err == nil && s.n < fail {
			break
		}
		for kill := fail + 1; ; kill++ {
			dir := folder(t)
			if _, dead := run(t, dir, &steps{failAt: fail, failsWith: syscall.EIO, killAt: kill}); !dead {
				break
			}
			taken++
			recovered(t, dir)
			if got := in(t, dir); got["sheet.pdf"] == "" {
				require.Equal(t, was, got, "failed at %d, killed before %d", fail, kill)
			} else {
				require.Equal(t, is, got, "failed at %d, killed before %d", fail, kill)
			}
		}
	}
	require.Greater(t, taken, 100)
}

// Files and the names of their parts are on the disk before the marker is, and names are
// before the marker goes.
func TestOrderOnTheDisk(t *testing.T) {
	s := &steps{}
	err, _ := run(t, folder(t), s)
	require.NoError(t, err)
	at := func(what string) int {
		for i, d := range s.did {
			op, name := strings.Fields(what)[0], strings.Fields(what)[1]
			if d == what || name[0] == '/' && strings.HasPrefix(d, op+" ") && strings.HasSuffix(d, name) {
				return i
			}
		}
		t.Fatalf("%s was not done: %q", what, s.did)
		return 0
	}
	marked := at("rename /" + finishName)
	for name := range is {
		if name != "notes.txt" {
			require.Less(t, at("sync /new/"+name), marked)
			require.Greater(t, at("rename "+name), marked)
		}
	}
	for _, folder := range []string{"/new", "/new/lots", "/old/lots", "/new/deep", "/new/deep/er"} {
		require.Less(t, at("sync "+folder), marked, folder)
	}
	require.Greater(t, at("sync lots"), at("rename lots/2.geojson"))
	require.Greater(t, at("sync deep"), at("rename deep/er/1.geojson"))
	require.Greater(t, at("remove /"+finishName), at("sync lots"))
}
