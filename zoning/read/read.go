package read

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
)

// errStopped says that whoever reads the lots wants no more.
var errStopped = errors.New("stopped")

// reader is one walk through a file.
type reader struct {
	ctx context.Context // looked at before each feature
	*file
	opts  Options
	where *where // nil where every lot is wanted
	yield func(zoning.Lot) bool

	place    int
	named    map[string]int // place of the first lot of each name
	drawn    map[uint64]int // and of each ground, by its digest
	held     *zoning.Lot    // the last lot, held back for the notes of a file of one
	released int            // lots before it
	loops    bool           // closed lines count as boundaries
	shaped   bool           // some feature held a polygon, or was walked
	leftOut  tally
	lots     int // and corners, that are wanted so far
	corners  int
}

func readLots(ctx context.Context, path string, o Options, yield func(zoning.Lot) bool) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	f, err := openFile(path, request{crs: o.CRS, crsFlag: setting.Name("parcel-crs"), layer: o.Layer, choose: boundaryLayers})
	if err != nil {
		return err
	}
	defer f.close()
	r := &reader{ctx: ctx, file: f, opts: o, yield: yield, named: map[string]int{}, drawn: map[uint64]int{}}
	if err := r.checkField(); err != nil {
		return err
	}
	if o.Repair != 0 && !(o.Repair > 0 && o.Repair <= MostRepair) {
		return fmt.Errorf("a repair may not change %g of a lot's acres: give a share above 0 and up to %g, or 0 for %g", o.Repair, MostRepair, DefaultRepair)
	}
	if o.Where != "" {
		if r.where, err = parseWhere(o.Where); err != nil {
			return fmt.Errorf("%s %s: %w", setting.Name("where"), o.Where, err)
		}
		if err := r.checkWhere(); err != nil {
			return err
		}
	}
	if f.format.walked {
		if err := checkCloseM(o.CloseM); err != nil {
			return err
		}
	}
	return r.run()
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
		needs := "a closed polygon"
		if r.format.walked {
			needs = "a track or a route that comes back to its start"
		}
		return fmt.Errorf("holds %s; a parcel needs %s", holds, needs)
	}
	if r.held == nil && r.where != nil {
		return fmt.Errorf("none of its lots meets %s %s", setting.Name("where"), r.opts.Where)
	}
	if !r.format.drawing {
		r.leftOut.empty = 0 // these came as lots with an error
	}
	if t := r.leftOut.String(); t != "" {
		t = "left out of the file as no boundary: " + t
		if r.released == 0 {
			r.held.Notes = append(r.held.Notes, t)
		} else {
			r.tell(t)
		}
	}
	if r.released == 0 {
		r.held.Notes, r.notes = append(r.notes, r.held.Notes...), nil
	}
	r.tell(r.notes...)
	return r.release()
}

// tell tells what concerns the file.
func (r *reader) tell(notes ...string) {
	for _, note := range notes {
		if r.opts.Tell != nil {
			r.opts.Tell(note)
		}
	}
}

func (r *reader) pass() error {
	for _, l := range r.layers {
		l.rewind()
		fields := nameFields(l.fields, r.opts.Field)
		names := len(fields)
		if r.format.drawing {
			fields = append(fields, fieldNamed(l.fields, "icon")...)
		}
		if r.format.walked {
			fields = append(fields, fieldNamed(l.fields, gpxField)...)
		}
		asked := len(fields)
		fields = append(fields, r.whereFields(l)...)
		for {
			if err := r.ctx.Err(); err != nil {
				return err
			}
			f, err := l.next(fields)
			if err != nil {
				if stopped := r.release(); stopped != nil {
					return stopped
				}
				return err
			}
			if f == nil {
				break
			}
			picture := isPicture(f.values[names:asked], f.geometry)
			hazard := r.format.walked && slices.Contains(f.values[names:asked], hazardTrack)
			f.unwanted = r.where != nil && !r.where.holds(f.values[asked:])
			f.values = f.values[:names]
			if picture {
				r.leftOut.pictures++
			} else if hazard {
				r.leftOut.hazards++
			} else if err := r.feature(l, f); err != nil {
				return err
			}
		}
	}
	return nil
}

// hazardTrack is the type of the tracks that our own GPX files have of hazards, which are
// no boundaries.
const hazardTrack = "Hazards"

// isPicture tells a picture laid over the ground from a boundary: GDAL reads
// KML's GroundOverlay as a polygon of four corners with its image as icon.
func isPicture(icon []string, g orb.Geometry) bool {
	p, ok := g.(orb.Polygon)
	return ok && len(icon) > 0 && icon[0] != "" && len(p) == 1 && len(p[0]) == 5
}

// feature makes a lot of a feature, or counts it as left out.
func (r *reader) feature(l *layer, f *feature) error {
	if r.format.walked {
		return r.walk(l, f)
	}
	s := sortOut(f.geometry)
	var notes []string
	if r.loops && len(s.loops) > 0 {
		for _, loop := range s.loops {
			s.polygons = append(s.polygons, orb.Polygon{loop})
		}
		s.loops = nil
		notes = append(notes, "drawn as a closed line, taken for a boundary")
	}
	empty := f.err == nil && len(s.polygons)+len(s.loops)+len(s.lines)+len(s.points) == 0
	switch {
	case empty && r.format.drawing:
		r.leftOut.empty++
		return nil
	case empty && r.loops:
		return nil // handed on in the first pass
	case empty:
		r.leftOut.empty++
		return r.hold(f, mended{notes: notes}, errors.New("has no geometry that can be read: draw its boundary"))
	case f.err != nil:
		r.shaped = true
		return r.hold(f, mended{notes: notes}, f.err)
	case len(s.polygons) == 0:
		r.leftOut.add(s)
		return nil
	}
	r.shaped = true
	if err := r.checkMost(f); err != nil {
		return err
	}
	if err := r.look(f); err != nil || f.unwanted {
		return r.hold(f, mended{}, err)
	}
	beside := tally{points: len(s.points), lines: len(s.lines), loops: len(s.loops)}
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
	m, err := c.ground(s.polygons, r.opts.mending())
	m.notes = append(notes, m.notes...)
	return r.hold(f, m, err)
}

// look asks whether the next lot is to be looked at.
func (r *reader) look(f *feature) error {
	if f.unwanted || r.opts.Look == nil {
		return nil
	}
	return r.opts.Look(r.place + 1)
}

// hold names a lot and releases the one before it. One that is not wanted only
// takes its place.
func (r *reader) hold(f *feature, m mended, err error) error {
	r.place++
	if f.unwanted {
		return nil
	}
	if r.lots++; r.opts.MostLots > 0 && r.lots > r.opts.MostLots {
		return errors.Join(r.release(), &TooMany{"lots", r.opts.MostLots})
	}
	if err := r.release(); err != nil {
		return err
	}
	lot := &zoning.Lot{Place: r.place, Notes: m.notes, Repair: m.repair}
	var note string
	if lot.Lot, note = lotName(f.values, r.place); note != "" {
		lot.Notes = append(lot.Notes, note)
	}
	if note = noName(f.values, lot.Lot); note != "" {
		lot.Notes, lot.Unnamed = append(lot.Notes, note), true
	}
	if first, taken := r.named[lot.Lot]; taken {
		lot.SameName = first
		lot.Notes = append(lot.Notes, fmt.Sprintf("the name %q is that of lot %d of the file, too", lot.Lot, first))
	} else {
		r.named[lot.Lot] = r.place
	}
	if err != nil {
		if m.repair.Refused {
			err = fmt.Errorf("%w, or allow more (%s)", err, setting.Name("repair"))
		}
		lot.Err = fmt.Errorf("%s: lot %s: %w", r.path, lot.Lot, err)
	} else {
		lot.Parcel.Ground = m.ground
		r.compare(lot)
	}
	r.held = lot
	return nil
}

// compare notes where a lot has the ground of an earlier one.
func (r *reader) compare(lot *zoning.Lot) {
	digest := digestOf(lot.Ground)
	first, taken := r.drawn[digest]
	if !taken {
		r.drawn[digest] = lot.Place
		return
	}
	lot.SameGround = first
	lot.Notes = append(lot.Notes, fmt.Sprintf("its ground is that of lot %d of the file, too: sums count it again", first))
}

// digestOf is the sum of the digests of all edges, so that it does not matter where
// rings begin nor in which order parts come.
func digestOf(ground orb.MultiPolygon) (sum uint64) {
	h := fnv.New64a()
	var edge [32]byte
	for _, poly := range ground {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				for k, v := range [4]float64{ring[i-1][0], ring[i-1][1], ring[i][0], ring[i][1]} {
					binary.LittleEndian.PutUint64(edge[8*k:], math.Float64bits(v))
				}
				h.Reset()
				h.Write(edge[:])
				sum += h.Sum64()
			}
		}
	}
	return sum
}

// release hands on the lot held back.
func (r *reader) release() error {
	if r.held == nil {
		return nil
	}
	lot := *r.held
	r.held = nil
	r.released++
	if !r.yield(lot) {
		return errStopped
	}
	return nil
}
