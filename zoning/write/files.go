package write

import (
	"bufio"
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Files are files of one folder that appear together. Its methods may be called from
// several goroutines.
type Files struct {
	dir   string // as its user named it
	made  bool   // the folder was not there before
	disk  disk
	lock  *os.File // of the part
	under string   // the part: the folder that they are written in

	mu    sync.Mutex
	names []string        // to appear, in the order of their making
	taken map[string]bool // the same
	open  map[string]*File
	lost  map[string]error // of files that were closed and are not whole
	ended bool
}

// Names within a part.
const (
	partPrefix, partSuffix = ".acreband-", ".part"

	lockName   = "lock"
	newName    = "new"    // folder of what is to appear
	oldName    = "old"    // folder of what was there under those names
	finishName = "finish" // marker: what is new is to appear
	undoName   = "undo"   // marker: what is old is to be again
)

// Begin begins files in a folder, which is made where there is none. What an earlier run
// left there is finished or taken away first.
func Begin(dir string) (*Files, error) { return begin(dir, nil) }

func begin(dir string, before func(what, name string) error) (_ *Files, err error) {
	made := false
	if _, err := os.Stat(dir); errors.Is(err, os.ErrNotExist) {
		made = true
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	f := &Files{dir: dir, made: made, disk: disk{root, before}, under: partPrefix + rand.Text() + partSuffix, taken: map[string]bool{}, open: map[string]*File{}, lost: map[string]error{}}
	defer func() {
		if err != nil {
			err = errors.Join(fmt.Errorf("%s: %w", dir, err), f.letGo())
		}
	}()
	unlock, err := f.disk.lockFolder()
	if err != nil {
		return nil, err
	}
	defer unlock()
	if err := f.disk.recover(); err != nil {
		return nil, err
	}
	if err := f.disk.mkdirAll(f.under+"/"+newName, 0o700); err != nil {
		return nil, err
	}
	if f.lock, err = f.disk.create(f.under+"/"+lockName, 0o600); err != nil {
		return nil, err
	}
	lock(f.lock, false)
	return f, nil
}

// lockFolder keeps others from recovering and giving names in the folder.
func (d disk) lockFolder() (unlock func(), err error) {
	f, err := d.Root.Open(".")
	if err != nil {
		return nil, err
	}
	lock(f, true)
	return func() { _ = f.Close() }, nil
}

// File is a file on its way. It is written through a buffer.
type File struct {
	*bufio.Writer
	file *os.File
	of   *Files
	name string
}

// Path is where the file lies until it appears.
func (f *File) Path() string {
	return filepath.Join(f.of.dir, filepath.FromSlash(f.of.partOf(f.name)))
}

// Close closes it with all of it written. Closing it again does nothing.
func (f *File) Close() error {
	f.of.mu.Lock()
	defer f.of.mu.Unlock()
	return f.close()
}

// close is Close for one who holds the lock. The buffer is not kept: there may be thousands.
func (f *File) close() error {
	if f.of.open[f.name] != f {
		return nil
	}
	err := errors.Join(f.Flush(), f.file.Close())
	delete(f.of.open, f.name)
	if err != nil {
		f.of.lost[f.name] = err
	}
	return err
}

// Create begins a file that is to appear under a slash-separated name in the folder.
// Whoever writes it may leave it to [Files.Commit] to close it.
func (f *Files) Create(name string) (*File, error) {
	part, err := f.reserve(name)
	if err != nil {
		return nil, err
	}
	file, err := f.disk.create(part, 0o666)
	if err != nil {
		f.Drop(name)
		return nil, err
	}
	w := &File{bufio.NewWriterSize(file, 1<<16), file, f, name}
	f.mu.Lock()
	f.open[name] = w
	f.mu.Unlock()
	return w, nil
}

// Path is a path for a file that is to appear under a name, for those who can write to a
// path only. Nothing is there yet, and what they put beside it is taken away.
func (f *Files) Path(name string) (string, error) {
	part, err := f.reserve(name)
	return filepath.Join(f.dir, filepath.FromSlash(part)), err
}

// Scratch makes a file that never appears, to be closed by its user.
func (f *Files) Scratch(name string) (*os.File, error) {
	return f.disk.create(f.under+"/"+name, 0o600)
}

// Drop leaves a file out that was begun.
func (f *Files) Drop(name string) {
	f.forget(name)
	f.mu.Lock()
	defer f.mu.Unlock()
	if w := f.open[name]; w != nil {
		_ = w.close() // it is of no more use
	}
	delete(f.lost, name)
	_ = f.disk.remove(f.partOf(name))
}

// forget leaves a name out.
func (f *Files) forget(name string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.names = slices.DeleteFunc(f.names, func(n string) bool { return n == name })
	delete(f.taken, name)
}

func (f *Files) partOf(name string) string { return f.under + "/" + newName + "/" + name }

// reserve takes a name in and makes the folder of its part.
func (f *Files) reserve(name string) (string, error) {
	if !filepath.IsLocal(filepath.FromSlash(name)) || strings.HasPrefix(name, partPrefix) {
		return "", fmt.Errorf("%q is no name for a file", name)
	}
	if err := f.free(name); err != nil {
		return "", err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.taken[name] {
		return "", fmt.Errorf("%s is written twice", name)
	}
	part := f.partOf(name)
	if folder := folderOf(name); folder != "." {
		if err := f.disk.mkdirAll(folderOf(part), 0o700); err != nil {
			return "", err
		}
	}
	f.names, f.taken[name] = append(f.names, name), true
	return part, nil
}

// free says why a name cannot be given.
func (f *Files) free(name string) error {
	if info, err := f.disk.Lstat(name); err == nil && info.IsDir() {
		return fmt.Errorf("%s: a folder is in its place; remove it, or name another folder", filepath.Join(f.dir, filepath.FromSlash(name)))
	}
	return nil
}

// Discard takes away what has not appeared. After [Files.Commit] it does nothing, so that
// it may be deferred.
func (f *Files) Discard() {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.ended {
		return
	}
	for _, w := range f.open {
		_ = w.file.Close() // not flushed: its writer may still be at work
	}
	_ = f.disk.removeAll(f.under) // the next run takes away what stays
	_ = f.letGo()
	if f.made {
		_ = os.Remove(f.dir) // only if nothing is in it
	}
}

// letGo closes what is open of the folder.
func (f *Files) letGo() error {
	f.ended = true
	var err error
	if f.lock != nil {
		err = f.lock.Close()
	}
	return errors.Join(err, f.disk.Close())
}
