package lots

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"github.com/acreband/acreband/zoning/text"
)

// writeSplit writes a file for each lot that was mapped. A lot whose file cannot take its
// name is set aside; the others go on. Where the disk has no room none is written.
func (a *assembly) writeSplit(dir string) error {
	dir = filepath.Join(dir, splitName)
	a.unsplit = map[int]*Fault{}
	ours := map[string]bool{}
	for f, err := range a.records() {
		if err != nil {
			return err
		}
		if f.kind != kindMapped {
			continue
		}
		var r record
		if err := f.parseHead(&r); err != nil {
			return err
		}
		name := fileName(f.place, r.Lot)
		ours[name] = true
		err := a.writeOne(splitName+"/"+name, f, r)
		if errors.Is(err, syscall.ENOSPC) {
			return err
		}
		if err != nil {
			a.unsplit[f.place] = &Fault{"its file cannot be written: " + err.Error(), "free the space or the name, and start again to write it"}
		}
	}
	return a.tellOthers(dir, ours)
}

// tellOthers warns of lots' files that this run has not written: they are of other
// inputs, and whoever takes the whole folder takes them too.
func (a *assembly) tellOthers(dir string, ours map[string]bool) error {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	n, first := 0, ""
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".geojson" || ours[e.Name()] {
			continue
		}
		if n++; n == 1 {
			first = e.Name()
		}
	}
	if n > 0 {
		a.made.Warnings = append(a.made.Warnings, fmt.Sprintf("%s holds %d files that are not of this run, such as %s: remove them, or name another folder", dir, n, first))
	}
	return nil
}

func (a *assembly) writeOne(name string, f frame, r record) error {
	zones, hazards, err := parts(f)
	if err != nil {
		return err
	}
	sum, err := a.sumOf(r)
	if err != nil {
		return err
	}
	w, err := a.files.Create(name)
	if err != nil {
		return err
	}
	err = sum.WriteGeoJSON(w, func(yield func([]byte, error) bool) { _ = yield(zones, nil) && yield(hazards, nil) })
	if err = errors.Join(err, w.Close()); err != nil {
		a.files.Drop(name)
	}
	return err
}

// fileName is the name of a lot's file: its place, which makes it the only one, and
// what of its name any file system takes.
func fileName(place int, lot string) string {
	return fmt.Sprintf("%d-%s.geojson", place, text.FileName(lot))
}
