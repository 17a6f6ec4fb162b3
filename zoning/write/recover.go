package write

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// recover finishes, undoes or takes away what runs left that were killed.
func (d disk) recover() error {
	entries, err := fs.ReadDir(d.Root.FS(), ".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := e.Name()
		if !e.IsDir() || !strings.HasPrefix(name, partPrefix) || !strings.HasSuffix(name, partSuffix) {
			continue
		}
		if err := d.recoverPart(name); err != nil {
			return fmt.Errorf("what an earlier run left there cannot be cleared: %w", err)
		}
	}
	return nil
}

// take takes a part whose run has ended until it is released; none is given of one whose run
// is at work.
func (d disk) take(part string) (release func()) {
	f, err := d.Root.OpenFile(part+"/"+lockName, os.O_RDWR|noFollow, 0)
	if err != nil {
		if errors.Is(err, os.ErrNotExist) {
			return func() {}
		}
		return nil
	}
	if lock(f, false) {
		_ = f.Close()
		return nil
	}
	if !locks {
		if errors.Join(f.Close(), d.Root.Remove(part+"/"+lockName)) != nil {
			return nil
		}
	}
	return func() { _ = f.Close() }
}

// recoverPart does so with one part, unless its run is at work.
func (d disk) recoverPart(part string) error {
	release := d.take(part)
	if release == nil {
		return nil
	}
	defer release()
	m, err := d.markerIn(part + "/" + undoName)
	if err == nil {
		return d.undo(part, m)
	}
	m, err = d.markerIn(part + "/" + finishName)
	switch {
	case err == nil:
		if err := d.finish(part, m); err != nil {
			if err = d.takeBack(part, m, err); errors.Is(err, ErrPartly) {
				return err
			}
		}
		return nil
	case errors.Is(err, os.ErrNotExist): // nothing was decided
		return d.removeAll(part)
	}
	return err
}

// markerIn reads a marker.
func (d disk) markerIn(name string) (m marker, err error) {
	text, err := d.Root.ReadFile(name)
	if err != nil {
		return m, err
	}
	if err := json.Unmarshal(text, &m); err != nil {
		return m, fmt.Errorf("%s: %w", name, err)
	}
	for _, r := range m.Files {
		if !filepath.IsLocal(filepath.FromSlash(r.Name)) {
			return m, fmt.Errorf("%s: %q is no name for a file", name, r.Name)
		}
	}
	return m, nil
}
