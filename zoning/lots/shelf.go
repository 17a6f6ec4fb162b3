package lots

import (
	"context"
	"iter"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// shelves are the rasters that lots may lie on, with those that they do.
type shelves struct {
	lots      read.LotSource
	elevation shelf
	surface   shelf         // of no catalogue without a first surface
	around    orb.Bound     // the lots; empty before the first
	searched  []find.Source // services that are still to be asked, once it is known where the lots lie
}

// shelf is a catalogue with the entries that lots touch.
type shelf struct {
	*raster.Catalogue
	touched map[int]bool // and whether by something that an earlier start has read too
}

func openShelf(paths []string, o raster.Options) (shelf, error) {
	c, err := raster.NewCatalogue(context.Background(), paths, o) // in a process of its own, which is ended
	return shelf{c, map[int]bool{}}, err
}

func (s shelf) touch(entries []int, before bool) {
	for _, i := range entries {
		s.touched[i] = s.touched[i] || before
	}
}

// late lists the paths of entries that an earlier start cannot have known of.
func (s shelf) late() (out []string) {
	all := s.Entries()
	for i, before := range s.touched {
		if !before {
			out = append(out, all[i].Path)
		}
	}
	return out
}

// found is the entries that were touched, in the order named. Where none was all are,
// for messages on what is near.
func (s shelf) found() []raster.Entry {
	all := s.Entries()
	var out []raster.Entry
	for i, e := range all {
		if _, ok := s.touched[i]; ok {
			out = append(out, e)
		}
	}
	if len(out) == 0 {
		return all
	}
	return out
}

func openShelves(job Job) (s *shelves, err error) {
	s = &shelves{around: orb.MultiPolygon{}.Bound()}
	rasters, searched, err := read.SplitElevation(job.Elevation, job.RasterOptions)
	if err != nil {
		return nil, err
	}
	if s.searched = searched; job.FindSurface && len(searched) == 0 {
		_, err := read.SurfaceOf(nil, job.RasterOptions, job.SurfaceOptions)
		return nil, err
	}
	if s.elevation, err = openShelf(rasters, job.RasterOptions); err != nil {
		return nil, err
	}
	s.lots.Elevation = s.elevation.Catalogue
	if len(job.Surface) > 0 {
		if s.surface, err = openShelf(job.Surface, read.SurfaceOptions(job.SurfaceOptions)); err != nil {
			s.close()
			return nil, err
		}
		s.lots.Surface = s.surface.Catalogue
	}
	return s, nil
}

// groundOf is where elevation is wanted for all lots.
func (s *shelves) groundOf(lots iter.Seq2[zoning.Lot, error]) (orb.MultiPolygon, error) {
	var usable []zoning.Lot
	for lot, err := range lots {
		if err != nil {
			return nil, err
		}
		if lot.Err == nil {
			b := lot.Ground.Bound() // of ground on both sides of the antimeridian its parts are asked for
			if b.Max[0]-b.Min[0] < 180 {
				lot.Ground = orb.MultiPolygon{b.ToPolygon()}
			}
			usable = append(usable, zoning.Lot{Parcel: zoning.Parcel{Ground: lot.Ground}})
		}
	}
	return read.GroundOf(usable, s.lots.Features), nil
}

// findElevation asks services, once for all lots, what lies around them.
func (s *shelves) findElevation(job Job, ground orb.MultiPolygon) error {
	if len(ground) == 0 {
		return nil // no lot can be used, which reading them again says
	}
	search, err := read.FindElevation(context.Background(), job.RasterOptions, s.searched, ground)
	if err != nil {
		return err
	}
	s.elevation.AddTiles(search.Tiles)
	if !job.FindSurface {
		return nil
	}
	surface, err := read.SurfaceOf(search, job.RasterOptions, job.SurfaceOptions)
	if err != nil {
		return err
	}
	s.surface = shelf{surface, map[int]bool{}}
	s.lots.Surface = surface
	return nil
}

// readSite reads the site files.
func (s *shelves) readSite(job Job) (err error) {
	if s.lots.Features, err = job.Site.ReadDrawn(context.Background()); err != nil {
		return err
	}
	return nil
}

// touchSite notes what the site features touch.
func (s *shelves) touchSite() {
	for _, f := range s.lots.Features {
		s.elevation.touch(s.elevation.NearWide(mapping.WaysOf(f)), true)
	}
}

// readExtracts reads what maps of others show around all the lots, and leaves out what was
// drawn of it.
func (s *shelves) readExtracts(job Job) (lent []site.Feature, notes []string, err error) {
	lent, notes, err = job.Site.ReadExtracts(context.Background(), s.around)
	if err != nil || len(lent) == 0 {
		return nil, notes, err
	}
	all, gave := site.Yield(append(slices.Clone(s.lots.Features), lent...))
	lent = slices.DeleteFunc(all, func(f site.Feature) bool { return !f.Lent() })
	if gave > 0 {
		notes = append(notes, read.GaveWay(gave))
	}
	return lent, notes, nil
}

func (s *shelves) close() {
	s.elevation.Close()
	if s.surface.Catalogue != nil {
		s.surface.Close()
	}
}

// touch notes what a lot touches, and whether an earlier start could read it too; one that
// cannot be used has no ground.
func (s *shelves) touch(ground orb.MultiPolygon, before bool) {
	b := ground.Bound()
	switch {
	case b.IsEmpty():
		return
	case s.around.IsEmpty():
		s.around = b
	default:
		s.around = s.around.Union(b)
	}
	s.elevation.touch(s.elevation.NearWide(ground), before)
	if s.lots.Surface != nil {
		s.surface.touch(s.lots.SurfaceNear(ground), before)
	}
}

func (s *shelves) found() (reading, error) {
	r := reading{Entries: s.elevation.found(), Late: s.elevation.late(), Warnings: s.elevation.Warnings}
	if s.lots.Surface != nil {
		r.Late = append(r.Late, s.surface.late()...)
		r.Surface, r.Warnings = s.surface.found(), slices.Concat(r.Warnings, s.surface.Warnings)
	}
	var err error
	r.Inputs, err = r.inputs(context.Background())
	return r, err
}
