package batch

import (
	"bufio"
	"errors"
	"os"
	"path/filepath"
)

// whole is a file that is written under another name and appears when it is whole.
type whole struct {
	*bufio.Writer // nil where another writes it
	file          *os.File
	path          string
}

// partOf is the name under which a file is written.
func partOf(path string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+".part")
}

func createWhole(path string) (*whole, error) {
	f, err := os.OpenFile(partOf(path), os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o666)
	if err != nil {
		return nil, err
	}
	return &whole{bufio.NewWriterSize(f, 1<<16), f, path}, nil
}

// finish closes it with all of it on the disk.
func (w *whole) finish() error {
	err := w.flush()
	return errors.Join(err, w.file.Sync(), w.close())
}

// close closes it.
func (w *whole) close() error {
	if w.file == nil {
		return nil
	}
	err := errors.Join(w.flush(), w.file.Close())
	w.file = nil
	return err
}

func (w *whole) flush() error {
	if w.Writer == nil {
		return nil
	}
	return w.Flush()
}

// appear gives it its name.
func (w *whole) appear() error { return os.Rename(partOf(w.path), w.path) }

// discard takes away what has not appeared.
func (w *whole) discard() {
	_ = w.close()
	_ = os.Remove(partOf(w.path))
}
