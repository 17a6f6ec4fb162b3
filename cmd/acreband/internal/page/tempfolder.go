package page

import (
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
)

// tempPrefix begins the names of servers' folders for what lies on disk for a while.
const tempPrefix = "acreband-page-"

// tempFolder is a folder of a server's own, locked while the server lives.
type tempFolder struct {
	path string
	lock *os.File // the folder itself
}

// newTempFolder makes the folder, for this user only, after it took away those of servers
// that died.
func newTempFolder(log *slog.Logger) (*tempFolder, error) {
	clearDead(os.TempDir(), log)
	for {
		path, err := os.MkdirTemp("", tempPrefix) // 0700
		if err != nil {
			return nil, err
		}
		t, err := lockFolder(path)
		if t != nil {
			return t, nil
		}
		// Another server that starts took it for that of a dead one, and takes it away.
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return nil, errors.Join(err, os.RemoveAll(path))
		}
	}
}

// lockFolder locks a folder of this user; nil where another has it, or took it away.
func lockFolder(path string) (*tempFolder, error) {
	f, err := openOwn(path)
	if err != nil {
		return nil, err
	}
	if locked(f) {
		opened, e1 := f.Stat()
		there, e2 := os.Lstat(path)
		if e1 == nil && e2 == nil && os.SameFile(opened, there) {
			return &tempFolder{path, f}, nil
		}
	}
	return nil, f.Close()
}

// remove takes the folder away with all that is in it.
func (t *tempFolder) remove() error {
	return errors.Join(os.RemoveAll(t.path), t.lock.Close())
}

// clearDead takes away what servers of this user left that could not do so themselves.
func clearDead(in string, log *slog.Logger) {
	if !locks {
		return
	}
	entries, err := os.ReadDir(in)
	if err != nil {
		return // nothing is found there, and nothing can be made
	}
	for _, e := range entries {
		if !e.IsDir() || !strings.HasPrefix(e.Name(), tempPrefix) {
			continue
		}
		t, err := lockFolder(filepath.Join(in, e.Name()))
		if err == nil && t != nil {
			err = t.remove()
		}
		if err != nil && !errors.Is(err, fs.ErrPermission) { // another user's
			log.Warn("the folder of a server that died stays", "error", err)
		}
	}
}
