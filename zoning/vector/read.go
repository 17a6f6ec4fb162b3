package vector

import (
	"errors"
	"fmt"
	"strings"

	"github.com/acreband/acreband/zoning"
	"github.com/paulmach/orb"
)

// errStopped says that whoever reads the lots wants no more.
var errStopped = errors.New("stopped")

// reader is one walk through a file.
type reader struct {
	path   string
	opts   Options
	yield  func(Lot) bool
	layers []*layer

	crs       map[string]*crs // by WKT, made when a layer needs it
	fileNotes []string        // for the first lot

	place   int
	named   map[string]int // place of the first lot of each name
	held    *Lot           // the last lot, held back for the note on what was left out
	loops   bool           // closed lines count as boundaries
	shaped  bool           // some feature held a polygon
	leftOut tally
}

func readLots(path string, o Options, yield func(Lot) bool) error {
	if err := registerDrivers(); err != nil {
		return err
	}
	f, name, err := recognise(path, o.Layer)
	if err != nil {
		return err
	}
	src, doubt, err := openSource(name, f.drivers)
	if err != nil {
		return fmt.Errorf("cannot be read as %s: %w", f.name, err)
	}
	defer src.close()
	if doubt != nil && o.CRS == "" {
		return fmt.Errorf("is not understood (%w): if that is its CRS, name it with --parcel-crs", doubt)
	}
	r := &reader{path: path, opts: o, yield: yield, crs: map[string]*crs{}, named: map[string]int{}}
	defer r.close()
	if r.layers, err = choose(src, f, o.Layer); err != nil {
		return err
	}
	if err := r.checkField(); err != nil {
		return err
	}
	return r.run()
}

func (r *reader) close() {
	for _, c := range r.crs {
		c.close()
	}
}

// choose returns the layers to read.
func choose(src *source, f format, name string) ([]*layer, error) {
	all, err := src.layers()
	if err != nil {
		return nil, fmt.Errorf("its layers cannot be read: %w", err)
	}
	var drawn, polys []*layer
	var names []string
	for _, l := range all {
		names = append(names, l.name)
		if name != "" && l.name == name {
			return []*layer{l}, nil
		}
		if !l.bare {
			drawn = append(drawn, l)
		}
		if l.polys && !l.bare {
			polys = append(polys, l)
		}
	}
	switch {
	case name != "":
		for _, l := range all {
			if strings.EqualFold(l.name, name) {
				return []*layer{l}, nil
			}
		}
		if f.name == shapefile.name && len(all) == 1 {
			return all, nil // chosen by file name already
		}
		return nil, fmt.Errorf("has no layer %q: its layers are %s", name, strings.Join(names, ", "))
	case f.allLayers || len(polys) == 0:
		return drawn, nil
	case len(polys) > 1:
		names = nil
		for _, l := range polys {
			names = append(names, l.name)
		}
		return nil, severalLayers(names)
	}
	return polys, nil
}

func (r *reader) checkField() error {
	for _, l := range r.layers {
		if r.opts.Field == "" || nameFields(l.fields, r.opts.Field) != nil {
			return nil
		}
	}
	if len(r.layers) == 0 {
		return nil // there is a better error to come
	}
	return noSuchField(r.opts.Field, r.layers)
}

// run reads all layers, a second time for closed lines if there is no polygon.
func (r *reader) run() error {
	err := r.pass()
	if err == nil && !r.shaped && r.leftOut.loops > 0 {
		r.loops, r.leftOut = true, tally{}
		err = r.pass()
	}
	if err != nil {
		return err
	}
	if !r.shaped {
		holds := r.leftOut.String()
		if holds == "" {
			holds = "nothing"
		}
		return fmt.Errorf("holds %s; a parcel needs a closed polygon", holds)
	}
	if r.leftOut.points+r.leftOut.lines+r.leftOut.loops > 0 {
		t := r.leftOut
		t.empty = 0
		r.held.Notes = append(r.held.Notes, fmt.Sprintf("left out of the file: %s that are no boundary", t))
	}
	return r.release()
}

func (r *reader) pass() error {
	for _, l := range r.layers {
		l.rewind()
		fields := nameFields(l.fields, r.opts.Field)
		for {
			f, err := l.next(fields)
			if err != nil {
				return errors.Join(r.release(), err)
			}
			if f == nil {
				break
			}
			if err := r.feature(l, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// feature makes a lot of a feature, or counts it as left out.
func (r *reader) feature(l *layer, f *feature) error {
	s := sortOut(f.geometry)
	var notes []string
	if r.loops && len(s.loops) > 0 {
		for _, loop := range s.loops {
			s.polygons = append(s.polygons, orb.Polygon{loop})
		}
		s.loops = nil
		notes = append(notes, "drawn as a closed line, taken for a boundary")
	}
	empty := f.err == nil && len(s.polygons)+len(s.loops)+s.lines+s.points == 0
	switch {
	case empty && r.loops:
		return nil // told of in the first pass
	case empty:
		r.leftOut.empty++
		return r.hold(f, notes, nil, errors.New("has no geometry: draw its boundary"))
	case f.err != nil:
		r.shaped = true
		return r.hold(f, notes, nil, f.err)
	case len(s.polygons) == 0:
		r.leftOut.add(s)
		return nil
	}
	r.shaped = true
	beside := tally{points: s.points, lines: s.lines, loops: len(s.loops)}
	if t := beside.String(); t != "" {
		notes = append(notes, t+" beside its polygons left out")
	}
	if f.curved {
		notes = append(notes, "its arcs are taken as chords of half a degree")
	}
	if f.heights {
		notes = append(notes, "the heights in its boundary are not used: heights come from the elevation")
	}
	c, err := r.crsOf(l)
	if err != nil {
		return err
	}
	ground, more, err := c.ground(s.polygons)
	return r.hold(f, append(notes, more...), ground, err)
}

// hold names a lot and releases the one before it.
func (r *reader) hold(f *feature, notes []string, ground orb.MultiPolygon, err error) error {
	if err := r.release(); err != nil {
		return err
	}
	r.place++
	lot := &Lot{Place: r.place, Notes: notes}
	var note string
	if lot.Lot, note = lotName(f.values, r.place); note != "" {
		lot.Notes = append(lot.Notes, note)
	}
	if first, taken := r.named[lot.Lot]; taken {
		lot.Notes = append(lot.Notes, fmt.Sprintf("the name %q is that of lot %d of the file, too", lot.Lot, first))
	} else {
		r.named[lot.Lot] = r.place
	}
	if err != nil {
		lot.Err = fmt.Errorf("%s: lot %s: %w", r.path, lot.Lot, err)
	} else {
		lot.Parcel.Ground = ground
	}
	if r.fileNotes != nil {
		lot.Notes = append(r.fileNotes, lot.Notes...)
		r.fileNotes = nil
	}
	r.held = lot
	return nil
}

// release hands on the lot held back.
func (r *reader) release() error {
	if r.held == nil {
		return nil
	}
	lot := *r.held
	r.held = nil
	if !r.yield(lot) {
		return errStopped
	}
	return nil
}

// crsOf returns how to transform a layer, from --parcel-crs if it is given.
func (r *reader) crsOf(l *layer) (*crs, error) {
	if c := r.crs[l.wkt]; c != nil {
		return c, nil
	}
	wkt := l.wkt
	if r.opts.CRS != "" {
		var err error
		if wkt, err = userCRS(r.opts.CRS); err != nil {
			return nil, err
		}
	}
	if wkt == "" {
		return nil, errNoCRS
	}
	c, err := newCRS(wkt)
	if err != nil {
		return nil, err
	}
	r.crs[l.wkt] = c
	if r.opts.CRS != "" {
		r.fileNotes = append(r.fileNotes, "its CRS is taken as "+c.name+", as told")
	}
	return c, nil
}

// ground takes a lot's polygons to valid polygons in longitude and latitude.
func (c *crs) ground(drawn orb.MultiPolygon) (ground orb.MultiPolygon, notes []string, err error) {
	mp, notes, err := closeRings(drawn)
	if err != nil {
		return nil, notes, err
	}
	for i := range mp {
		for j := range mp[i] {
			if mp[i][j], err = c.ring(mp[i][j]); err != nil {
				return nil, notes, err
			}
		}
	}
	s, err := unwrap(mp)
	if err != nil {
		return nil, notes, err
	}
	var more []string
	if s.polygons, more, err = repair(s.polygons); err != nil {
		return nil, notes, err
	}
	notes = append(notes, more...)
	if ground, err = s.cut(); err != nil {
		return nil, notes, err
	}
	if len(ground) > 0 && s.past {
		notes = append(notes, "it crosses the antimeridian (180 degrees) and was cut in two there")
	}
	if zoning.AreaM2(ground) < smallestM2 {
		return nil, notes, errors.New("encloses no ground: its corners lie on one line")
	}
	wind(ground)
	return ground, notes, nil
}
