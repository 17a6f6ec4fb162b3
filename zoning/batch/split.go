package batch

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/acreband/acreband/zoning/plain"
)

// writeSplit writes a file for each lot that was mapped. A lot whose file cannot be
// written is set aside; the others go on.
func (a *assembly) writeSplit() error {
	dir := filepath.Join(a.dir, splitName)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
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
		if err := a.writeOne(filepath.Join(dir, name), f, r); err != nil {
			a.unsplit[f.place] = &Fault{"its file cannot be written: " + err.Error(), "free the space or the name, and start again to write it"}
		}
	}
	return a.tellOthers(dir, ours)
}

// tellOthers warns of lots' files that this run has not written: they are of other
// inputs, and whoever takes the whole folder takes them too.
func (a *assembly) tellOthers(dir string, ours map[string]bool) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
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
		a.made.Warnings = append(a.made.Warnings, fmt.Sprintf("%s holds %d files that are not of this run, such as %s: take them away, or name another folder", dir, n, first))
	}
	return nil
}

func (a *assembly) writeOne(path string, f frame, r record) error {
	w, err := createWhole(path)
	if err != nil {
		return err
	}
	defer w.discard()
	zones, hazards, err := parts(f)
	if err != nil {
		return err
	}
	err = a.sumOf(r).WriteGeoJSON(w, func(yield func([]byte, error) bool) { _ = yield(zones, nil) && yield(hazards, nil) })
	if err == nil {
		err = w.close()
	}
	if err != nil {
		return err
	}
	return w.appear()
}

// fileName is the name of a lot's file: its place, which makes it the only one, and
// what of its name any file system takes.
func fileName(place int, lot string) string {
	return fmt.Sprintf("%d-%s.geojson", place, plain.FileName(lot))
}
