package write

import (
	"errors"
	"os"
	"path"
	"runtime"
	"syscall"
)

// disk is the folder that files appear in, with the operations that change it. Names
// within it are slash-separated, and none leads out of it, by a link either.
type disk struct {
	*os.Root
	// before is told of each operation, and its error is that of the operation. Tests stop
	// and fail operations by it; it is nil elsewhere.
	before func(what, name string) error
}

// do runs an operation.
func (d disk) do(what, name string, op func() error) error {
	if d.before != nil {
		if err := d.before(what, name); err != nil {
			return &os.PathError{Op: what, Path: name, Err: err}
		}
	}
	return op()
}

func (d disk) rename(from, to string) error {
	return d.do("rename", to, func() error { return d.Root.Rename(from, to) })
}

func (d disk) link(from, to string) error {
	return d.do("link", to, func() error { return d.Root.Link(from, to) })
}

// remove takes a file away, or an empty folder; one that is not there is no error.
func (d disk) remove(name string) error {
	return d.do("remove", name, func() error {
		if err := d.Root.Remove(name); !errors.Is(err, os.ErrNotExist) {
			return err
		}
		return nil
	})
}

func (d disk) removeAll(name string) error {
	return d.do("remove", name, func() error { return d.Root.RemoveAll(name) })
}

func (d disk) mkdirAll(name string, mode os.FileMode) error {
	return d.do("mkdir", name, func() error { return d.Root.MkdirAll(name, mode) })
}

// create makes a file that was not there: it follows no link.
func (d disk) create(name string, mode os.FileMode) (f *os.File, err error) {
	err = d.do("create", name, func() error {
		f, err = d.Root.OpenFile(name, os.O_CREATE|os.O_EXCL|os.O_RDWR|noFollow, mode)
		return err
	})
	return f, err
}

// sync puts a file on the disk.
func (d disk) sync(name string) error {
	return d.do("sync", name, func() error {
		f, err := d.Root.OpenFile(name, os.O_RDWR|noFollow, 0)
		if err != nil {
			return err
		}
		return errors.Join(f.Sync(), f.Close())
	})
}

// syncFolders puts the names in folders on the disk, where its system can.
func (d disk) syncFolders(names ...string) error {
	if runtime.GOOS == "windows" { // it has no such thing
		return nil
	}
	for _, name := range names {
		err := d.do("sync", name, func() error {
			f, err := d.Root.Open(name)
			if err != nil {
				return err
			}
			err = f.Sync()
			if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
				err = nil // as some network disks have it
			}
			return errors.Join(err, f.Close())
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// exists reports whether a name is taken, by a link that leads nowhere too.
func (d disk) exists(name string) bool {
	_, err := d.Root.Lstat(name)
	return err == nil
}

// folderOf is the folder of a name, "." of one that lies in none.
func folderOf(name string) string { return path.Dir(name) }

// foldersOf lists the folders that names lie in, "." among them, each once.
func foldersOf(names []string) (out []string) {
	seen := map[string]bool{}
	for _, name := range names {
		for folder := folderOf(name); !seen[folder]; folder = folderOf(folder) {
			seen[folder] = true
			out = append(out, folder)
		}
	}
	return out
}
