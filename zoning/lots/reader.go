package lots

import (
	"bytes"
	"context"
	"encoding/gob"
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/child"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/site"
)

// reading is what a reader has found when it is through.
type reading struct {
	Entries  []raster.Entry // that lots touch, in the order named
	Surface  []raster.Entry // first surfaces likewise
	Inputs   resume.Inputs  // of both
	Late     []string       // paths of those that only lots touch which an earlier start could not read
	Lent     []site.Feature // what maps of others show around the lots, but for what was drawn of it
	Warnings []string       // of the boundary file, the catalogues and those maps
}

func init() {
	for _, g := range []orb.Geometry{orb.Point{}, orb.LineString{}, orb.MultiLineString{}, orb.MultiPolygon{}} {
		gob.Register(g)
	}
}

// inputs is what the rasters are compared by, as they are now.
func (r reading) inputs(ctx context.Context) (resume.Inputs, error) {
	elevation, err := resume.OfRasters(ctx, "elevation", rasters(r.Entries))
	if err != nil {
		return nil, err
	}
	surface, err := resume.OfRasters(ctx, "first surface", rasters(r.Surface))
	return append(elevation, surface...), err
}

// rasters are what is compared of entries.
func rasters(entries []raster.Entry) (out []resume.Raster) {
	for _, e := range entries {
		out = append(out, resume.Raster{Path: e.Path, Grid: e.Grid})
	}
	return out
}

func (r reading) encode() ([]byte, error) {
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(r)
	return b.Bytes(), err
}

func decodeReading(b []byte) (r reading, err error) {
	err = gob.NewDecoder(bytes.NewReader(b)).Decode(&r)
	return r, err
}

// readAll goes through the boundary file: each lot with its spot, then what they
// touch. Files of strangers are opened within the memory that the job allows.
func readAll(job Job, answers *answering) error {
	open, err := openShelves(job)
	if err != nil {
		return answers.fail(err)
	}
	defer open.close()
	if err := child.Bound(job.readerBytes(), job.readerBytes()); err != nil {
		return err
	}
	if !job.Site.None() {
		if err := answers.send(frame{kind: kindReady, body: []byte("the site files")}); err != nil {
			return err
		}
		if err := open.readSite(job); err != nil {
			return answers.unread(err)
		}
	}
	if err := answers.send(frame{kind: kindReady, body: []byte(job.Parcels)}); err != nil {
		return err
	}
	options := job.ParcelOptions
	options.Look = func(place int) error {
		if fault, deadly := job.LookedAtBefore[place]; deadly {
			return &fault
		}
		return answers.send(frame{kind: kindLook, place: place})
	}
	if len(open.searched) > 0 {
		ground, err := open.groundOf(read.Lots(context.Background(), job.Parcels, options))
		if err != nil {
			return answers.unread(err)
		}
		if err := answers.send(frame{kind: kindLook}); err != nil { // at no lot: services may take long
			return err
		}
		if err := open.findElevation(job, ground); err != nil {
			return answers.unread(err)
		}
		if err := answers.send(frame{kind: kindReady, body: []byte(job.Parcels)}); err != nil {
			return err
		}
	}
	open.touchSite()
	var told []string
	options.Tell = func(note string) { told = append(told, job.Parcels+": "+note) }
	for lot, err := range read.Lots(context.Background(), job.Parcels, options) {
		if err != nil {
			return answers.unread(err)
		}
		open.touch(lot.Ground, !job.UnreadBefore[lot.Place])
		if err := answers.lot(lot, spotOf(open.elevation.Catalogue, lot.Ground, job.cacheBytes())); err != nil {
			return err
		}
	}
	if err := answers.send(frame{kind: kindLook}); err != nil { // at no lot: it may take long
		return err
	}
	if err := job.Site.CheckPlace(open.lots.Features, open.around); err != nil {
		return answers.fail(err)
	}
	lent, notes, err := open.readExtracts(job)
	if err != nil {
		return answers.unread(err)
	}
	found, err := open.found()
	if err != nil {
		return answers.fail(fmt.Errorf("%w; is it being changed?", err))
	}
	found.Lent, found.Warnings = lent, slices.Concat(told, found.Warnings, notes)
	body, err := found.encode()
	if err != nil {
		return err
	}
	return answers.send(frame{kind: kindEnd, body: body})
}

// unread says that a file cannot be read. Where that is for want of memory the process
// ends of it, as it does where nothing catches that.
func (a *answering) unread(err error) error {
	if errors.Is(err, read.ErrMemory) {
		return err
	}
	return a.fail(err)
}

// lot sends a lot and, before it, its spot.
func (a *answering) lot(lot zoning.Lot, at spot) error {
	f, err := frameOf(lot)
	if err != nil {
		return err
	}
	if err := a.send(frame{kind: kindSpot, place: lot.Place, body: at.append(nil)}); err != nil {
		return err
	}
	return a.send(f)
}
