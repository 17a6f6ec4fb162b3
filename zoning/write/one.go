package write

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// Make has a file written that is to appear under a name, by one who can write to a path
// only: see [Files.Path]. Where the disk is full the error says so, whatever the writer says.
func (f *Files) Make(name string, write func(path string) error) error {
	path, err := f.Path(name)
	if err != nil {
		return err
	}
	if err := write(path); err != nil {
		return f.failed(name, err)
	}
	return nil
}

// failed drops a file, and says why.
func (f *Files) failed(name string, err error) error {
	err = f.Cause(err)
	f.Drop(name)
	return fmt.Errorf("%s: %w", filepath.Join(f.dir, name), err)
}

// Write is [Files.Make] for one who writes to a writer.
func (f *Files) Write(name string, write func(io.Writer) error) error {
	w, err := f.Create(name)
	if err != nil {
		return err
	}
	if err = write(w); err == nil {
		err = w.Close()
	}
	if err != nil {
		return f.failed(name, err)
	}
	return nil
}

// Alone is [Files.Make] of a file that appears at once, not together with the others.
func (f *Files) Alone(name string, write func(path string) error) error {
	appear, err := f.Written(name, write)
	if err != nil {
		return err
	}
	return appear()
}

// Written is the first half of [Files.Alone]: the file is written, and appears once what is
// returned was called. That waits for the disk; another goroutine may do so.
func (f *Files) Written(name string, write func(path string) error) (appear func() error, err error) {
	if err := f.Make(name, write); err != nil {
		return nil, err
	}
	return func() error {
		if err := f.appear(name); err != nil {
			return f.failed(name, err)
		}
		return nil
	}, nil
}

// appear puts a file on the disk and gives it its name.
func (f *Files) appear(name string) error {
	part := f.partOf(name)
	if err := f.disk.sync(part); err != nil {
		return err
	}
	if err := f.free(name); err != nil {
		return err
	}
	if err := f.disk.rename(part, name); err != nil {
		return err
	}
	f.forget(name)
	return f.disk.syncFolders(folderOf(name))
}

// Bytes writes one file, whole or not at all, into a folder that is there.
func Bytes(path string, text []byte) error {
	if _, err := os.Stat(filepath.Dir(path)); err != nil {
		return err
	}
	f, err := Begin(filepath.Dir(path))
	if err != nil {
		return err
	}
	defer f.Discard()
	return f.Alone(filepath.Base(path), func(part string) error {
		w, err := os.OpenFile(part, os.O_CREATE|os.O_EXCL|os.O_WRONLY|noFollow, 0o666)
		if err != nil {
			return err
		}
		_, err = w.Write(text)
		return errors.Join(err, w.Close())
	})
}

// Cause finds the cause of an error of a writer that tells it in words of its own, such as
// GDAL's or those for a part: a disk that is full, which is syscall.ENOSPC. Others come back
// as they are.
func (f *Files) Cause(err error) error {
	if err == nil || errors.Is(err, ErrPartly) {
		return err
	}
	said := strings.ToLower(err.Error())
	if errors.Is(err, syscall.ENOSPC) || strings.Contains(said, syscall.ENOSPC.Error()) || strings.Contains(said, "disk is full") || f.full() {
		return fmt.Errorf("%w; free some space there", syscall.ENOSPC)
	}
	return err
}

// probeBytes is the room that a disk must have for it not to be the cause.
const probeBytes = 1 << 20

// full reports whether nothing more can be written.
func (f *Files) full() bool {
	const name = "/probe"
	w, err := f.disk.create(f.under+name, 0o600)
	if err != nil {
		return errors.Is(err, syscall.ENOSPC)
	}
	_, err = w.Write(make([]byte, probeBytes))
	err = errors.Join(err, w.Sync(), w.Close())
	_ = f.disk.remove(f.under + name) // else the next run takes it away
	return errors.Is(err, syscall.ENOSPC)
}
