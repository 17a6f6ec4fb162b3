package read

import (
	"errors"
	"fmt"
	"strings"
)

// file is an opened file and the layers that are read of it.
type file struct {
	path    string
	format  format
	layers  []*layer
	notes   []string // on the file as a whole
	crsName string   // the CRS as told; "" where the file is to say
	crsFlag string   // the flag that tells it, for errors
	source  *source
	crs     map[string]*crs // by WKT, made when a layer needs it
}

// request is what is asked of a file.
type request struct {
	crs, crsFlag string
	layer        string
	choose       func(layers []*layer, f format, name string) ([]*layer, error)
}

// openFile opens a file by its content and chooses its layers.
func openFile(path string, q request) (*file, error) {
	if err := registerDrivers(); err != nil {
		return nil, err
	}
	f, name, err := recognise(path, q.layer)
	if err != nil {
		return nil, err
	}
	src, err := openSource(name, f.drivers)
	if err != nil {
		// GDAL offers to make a new one, by a switch of its own.
		if strings.Contains(err.Error(), ".shx") {
			return nil, errors.New("its .shx is missing: keep .shp, .shx, .dbf and .prj together")
		}
		return nil, fmt.Errorf("cannot be read as %s: %w", f.name, err)
	}
	out := &file{path: path, format: f, source: src, crsName: q.crs, crsFlag: q.crsFlag, crs: map[string]*crs{}}
	if err := out.choose(q); err != nil {
		out.close()
		return nil, err
	}
	return out, nil
}

// choose finds the layers to read, and checks that they say their CRS rightly.
func (f *file) choose(q request) error {
	all, err := f.source.layers()
	if err != nil {
		return fmt.Errorf("its layers cannot be read: %w", err)
	}
	if f.layers, err = q.choose(all, f.format, q.layer); err != nil {
		return err
	}
	if f.format.walked {
		return f.checkGPXCRS()
	}
	if f.format.name == geoJSON.name && f.crsName == "" {
		note, err := checkMember(f.path, f.layers, f.crsFlag)
		if err != nil {
			return err
		}
		if note != "" {
			f.notes = append(f.notes, note)
		}
	}
	return nil
}

// checkGPXCRS returns an error where GPX is told to be in another CRS than its own.
func (f *file) checkGPXCRS() error {
	if f.crsName == "" {
		return nil
	}
	wkt, err := userCRS(f.crsName, f.crsFlag)
	if err == nil && wkt != wgs84Name {
		err = errors.New("is GPX, whose coordinates are WGS 84 by its own definition: leave out " + f.crsFlag)
	}
	return err
}

func (f *file) close() {
	for _, c := range f.crs {
		c.close()
	}
	f.source.close()
}

// crsOf returns how to transform a layer, from the CRS as told if it is.
func (f *file) crsOf(l *layer) (*crs, error) {
	if c := f.crs[l.wkt]; c != nil {
		return c, nil
	}
	wkt := l.wkt
	if f.crsName != "" {
		var err error
		if wkt, err = userCRS(f.crsName, f.crsFlag); err != nil {
			return nil, err
		}
	}
	if wkt == "" {
		return nil, noCRS(f.crsFlag)
	}
	c, err := newCRS(wkt, f.crsFlag)
	if err != nil {
		return nil, err
	}
	f.crs[l.wkt] = c
	if f.crsName != "" {
		f.notes = append(f.notes, "its CRS is taken as "+c.name+", as told")
	}
	return c, nil
}
