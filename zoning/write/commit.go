package write

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"
)

// ErrPartly says that some of the files have appeared and could not be taken back; the next
// run in the folder gives the others their names. Of any other error of [Files.Commit] it is
// true that the folder was left as it was.
var ErrPartly = errors.New("some of the files are new and some are not")

// marker is what a run that gives names says of them.
type marker struct {
	Files   []renamed `json:"files"`
	Folders []string  `json:"folders,omitempty"` // that were not there before
	Undoes  bool      `json:"undoes"`            // what was there is kept
}

// renamed is a file of a marker.
type renamed struct {
	Name string `json:"name"`
	New  bool   `json:"new,omitempty"` // nothing was there under its name
}

// Commit makes the files appear, and ends. Files that are open are closed.
func (f *Files) Commit() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if f.ended {
		return errors.New("the files were given up")
	}
	if len(f.names) == 0 {
		_ = f.disk.removeAll(f.under) // the next run takes away what stays
		return f.letGo()
	}
	if err := f.commit(); err != nil {
		err = fmt.Errorf("%s: %w", f.dir, f.Cause(err))
		if errors.Is(err, ErrPartly) { // the part is for the next run
			err = errors.Join(err, f.letGo())
		}
		return err
	}
	return f.letGo()
}

func (f *Files) commit() error {
	for _, name := range f.names {
		if w := f.open[name]; w != nil {
			_ = w.close() // it is told of as lost
		}
		if err := f.lost[name]; err != nil {
			return err
		}
	}
	unlock, err := f.disk.lockFolder()
	if err != nil {
		return err
	}
	defer unlock()
	if err := f.disk.recover(); err != nil { // of one that was killed since
		return err
	}
	m, err := f.prepare()
	if err != nil {
		return err
	}
	if err := f.syncFiles(m); err != nil {
		return err
	}
	if err := f.mark(m); err != nil {
		return err
	}
	if err := f.disk.finish(f.under, m); err != nil {
		return f.disk.takeBack(f.under, m, err)
	}
	return nil
}

// prepare lists the files and keeps what is under their names.
func (f *Files) prepare() (m marker, err error) {
	m.Undoes = true
	for _, name := range f.names {
		if err := f.free(name); err != nil {
			return m, err
		}
		for folder := folderOf(name); folder != "." && !f.disk.exists(folder) && !slices.Contains(m.Folders, folder); folder = folderOf(folder) {
			m.Folders = append(m.Folders, folder)
		}
		m.Files = append(m.Files, renamed{name, !f.disk.exists(name)})
	}
	for _, r := range m.Files {
		if r.New || !m.Undoes {
			continue
		}
		old := f.under + "/" + oldName + "/" + r.Name
		if err := f.disk.mkdirAll(folderOf(old), 0o700); err != nil {
			return m, err
		}
		if err := f.disk.link(r.Name, old); err != nil {
			m.Undoes = false
		}
	}
	return m, nil
}

// manyFiles is from how many on the whole disk is synced.
const manyFiles = 100

// syncFiles puts files and their names in the part on the disk.
func (f *Files) syncFiles(m marker) error {
	all := false
	if len(f.names) >= manyFiles {
		var err error
		if all, err = syncDisk(f.lock); err != nil {
			return err
		}
	}
	var parts, olds []string
	for _, r := range m.Files {
		part := f.partOf(r.Name)
		if !all {
			if err := f.disk.sync(part); err != nil {
				return err
			}
		}
		parts = append(parts, part)
		if !r.New && m.Undoes {
			olds = append(olds, f.under+"/"+oldName+"/"+r.Name)
		}
	}
	return f.disk.syncFolders(foldersOf(append(parts, olds...))...)
}

// mark decides that the files appear.
func (f *Files) mark(m marker) error {
	text, err := json.Marshal(m)
	if err != nil {
		return err
	}
	path := f.under + "/" + finishName
	w, err := f.disk.create(path+".new", 0o600)
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	if err = errors.Join(err, w.Sync(), w.Close()); err != nil {
		return err
	}
	if err := f.disk.rename(path+".new", path); err != nil {
		return err
	}
	if err := f.disk.syncFolders(f.under); err != nil {
		return errors.Join(err, f.disk.remove(path))
	}
	return nil
}

// finish gives files their names, as far as they do not have them, and takes the part away.
func (d disk) finish(under string, m marker) error {
	var names []string
	for _, folder := range m.Folders {
		if err := d.mkdirAll(folder, 0o777); err != nil {
			return err
		}
	}
	for _, r := range m.Files {
		names = append(names, r.Name)
		part := under + "/" + newName + "/" + r.Name
		if !d.exists(part) {
			continue // it has it already
		}
		if err := d.rename(part, r.Name); err != nil {
			return err
		}
	}
	if err := d.syncFolders(foldersOf(names)...); err != nil {
		return err
	}
	d.clear(under, finishName)
	return nil
}

// clear takes a part away, its marker first. What stays the next run takes away.
func (d disk) clear(under, marker string) {
	if d.remove(under+"/"+marker) == nil {
		_ = d.removeAll(under)
	}
}

// takeBack undoes what was begun of giving names, for a reason.
func (d disk) takeBack(under string, m marker, why error) error {
	if !m.Undoes {
		return fmt.Errorf("%w: %w", ErrPartly, why)
	}
	err := d.rename(under+"/"+finishName, under+"/"+undoName)
	if err == nil {
		err = d.undo(under, m)
	}
	if err != nil {
		return fmt.Errorf("%w: %w; they could not be taken back: %w", ErrPartly, why, err)
	}
	return why
}

// undo gives what was there its names again, and takes the part away.
func (d disk) undo(under string, m marker) error {
	for _, r := range m.Files {
		old := under + "/" + oldName + "/" + r.Name
		var err error
		switch {
		case r.New:
			err = d.remove(r.Name)
		case d.exists(old):
			if err = d.rename(old, r.Name); err == nil {
				err = d.remove(old) // two names of one file stay both when one is given the other's
			}
		}
		if err != nil {
			return err
		}
	}
	for _, folder := range slices.Backward(deepestLast(m.Folders)) {
		_ = d.remove(folder) // something else may lie in it by now
	}
	if err := d.syncFolders("."); err != nil {
		return err
	}
	d.clear(under, undoName)
	return nil
}

// deepestLast sorts folders so that each comes after those it lies in.
func deepestLast(folders []string) []string {
	return slices.SortedFunc(slices.Values(folders), func(a, b string) int {
		return strings.Count(path.Clean(a), "/") - strings.Count(path.Clean(b), "/")
	})
}
