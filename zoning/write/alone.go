package write

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
)

// Alone makes one file appear at once, beside those that are to appear together. It is
// given a path to write to, as [Files.Path] is.
func (f *Files) Alone(name string, write func(path string) error) error {
	path, err := f.Path(name)
	if err != nil {
		return err
	}
	part := f.partOf(name)
	err = write(path)
	if err == nil {
		err = f.disk.sync(part)
	}
	if err == nil {
		if err = f.free(name); err == nil {
			err = f.disk.rename(part, name)
		}
	}
	if err != nil {
		err = f.hidden(err)
		f.Drop(name)
		return fmt.Errorf("%s: %w", filepath.Join(f.dir, name), err)
	}
	f.Drop(name) // it has appeared
	return f.disk.syncFolders(folderOf(name))
}

// Bytes writes one file, whole or not at all.
func Bytes(path string, text []byte) error {
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

// hidden finds the cause of an error of a writer that tells it in words of its own, such as
// GDAL's: a disk that is full.
func (f *Files) hidden(err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, ErrPartly) {
		return err
	}
	if strings.Contains(strings.ToLower(err.Error()), syscall.ENOSPC.Error()) {
		return fmt.Errorf("%w; free some space there", syscall.ENOSPC) // GDAL says it once for each block
	}
	if probe := f.probe(); probe != nil {
		return fmt.Errorf("%w; free some space there (%s)", probe, err)
	}
	return err
}

// probeBytes is the room that a disk must have for it not to be the cause.
const probeBytes = 1 << 20

// probe says why nothing more can be written; nil where something can.
func (f *Files) probe() error {
	w, err := f.disk.create(f.under+"/probe", 0o600)
	if err != nil {
		return nil // not asked
	}
	_, err = w.Write(make([]byte, probeBytes))
	err = errors.Join(err, w.Sync())
	_ = w.Close()
	_ = f.disk.remove(f.under + "/probe")
	if errors.Is(err, syscall.ENOSPC) {
		return syscall.ENOSPC
	}
	return nil
}
