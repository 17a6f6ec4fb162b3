package read

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// Request names the files of a job and what they do not say themselves.
type Request struct {
	Elevation        []string // what raster.NewCatalogue takes, and keys of services that are searched; see [FindElevation] for none
	ElevationOptions raster.Options
	Parcel           string // boundary file; each feature is a lot
	ParcelOptions    Options
	Lots             []zoning.Lot           // instead of Parcel, from whoever has them already
	Boundary         zoning.BoundaryQuality // how well its line is known; "" where nobody says

	Surface        []string // the first surface, what light or radar met first; as Elevation
	SurfaceOptions raster.Options

	// FindSurface asks for the first surface of the same survey where the elevation was found by a service, instead of Surface.
	FindSurface bool

	SiteFiles                // what is known of the ground beside
	Features  []site.Feature // the same, from whoever has it already

	Progress mapping.Progress // nil tells nobody
}

// Prepare reads the lots of a boundary file and one window of elevation around
// them all. A lot that cannot be used is set aside in Failed; where none is
// left, Prepare returns what was wrong with the first. Once the context is done it returns
// its error, at the next file, lot or strip of a raster, without waiting for a server.
func Prepare(ctx context.Context, q Request) (*mapping.Ground, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if q.Lots != nil && len(q.Lots) == 0 {
		return nil, errors.New("there is no lot to prepare; give one or more, or a boundary file")
	}
	if err := checkFeatures(q.Features); err != nil {
		return nil, err
	}
	// PROJ opens its database anew on every thread that asks it something.
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	rasters, searched, err := SplitElevation(q.Elevation, q.ElevationOptions)
	if err != nil {
		return nil, err
	}
	catalogue, err := raster.NewCatalogue(ctx, rasters, q.ElevationOptions)
	if err != nil {
		return nil, err
	}
	defer catalogue.Close()
	lots := q.Lots
	if lots == nil {
		if lots, err = Read(ctx, q.Parcel, q.ParcelOptions); err != nil {
			return nil, err
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	features, err := q.ReadDrawn(ctx)
	if err != nil {
		return nil, err
	}
	features = append(features, q.Features...)
	var search *find.Search
	if len(searched) > 0 {
		q.tell("finding elevation")
		if search, err = FindElevation(ctx, q.ElevationOptions, searched, GroundOf(lots, features)); err != nil {
			return nil, err
		}
		catalogue.AddTiles(search.Tiles)
	}
	features, notes, err := q.beside(ctx, lots, features)
	if err != nil {
		return nil, err
	}
	var usable, failed []zoning.Lot
	for _, lot := range lots {
		if lot.Err == nil {
			lot.Err = onElevation(ctx, q.Parcel, catalogue, lot.Parcel)
			if err := ctx.Err(); err != nil {
				return nil, err
			}
		}
		if lot.Err != nil {
			failed = append(failed, lot)
			continue
		}
		usable = append(usable, lot)
	}
	if len(usable) == 0 {
		if search != nil && errors.Is(failed[0].Err, raster.ErrOffRaster) {
			return nil, NothingFound(search, failed[0].Ground)
		}
		if n := len(failed); n > 1 {
			return nil, fmt.Errorf("%w (none of its %d lots can be mapped)", failed[0].Err, n)
		}
		return nil, failed[0].Err
	}
	near := mapping.Reach(usable)
	for _, f := range features {
		if err := mapping.CheckWay(f, near, q.SiteOptions.Units); err != nil {
			return nil, err
		}
	}
	g, err := readGround(ctx, catalogue, usable, features, q.Parcel, q.Boundary)
	if err != nil {
		return nil, err
	}
	if search != nil && !anyHeights(g.Elevation, usable) {
		return nil, NothingFound(search, usable[0].Ground)
	}
	g.Failed, g.Progress = failed, q.Progress
	g.Warnings = append(g.Warnings, notes...)
	if err := q.checkSite(features, near); err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if q.FindSurface {
		surface, err := SurfaceOf(search, q.ElevationOptions, q.SurfaceOptions)
		if err != nil {
			return nil, err
		}
		defer surface.Close()
		if err := readSurface(ctx, g, surface); err != nil {
			return nil, err
		}
	} else if len(q.Surface) > 0 {
		catalogue, err := raster.NewCatalogue(ctx, q.Surface, SurfaceOptions(q.SurfaceOptions))
		if err != nil {
			return nil, err
		}
		defer catalogue.Close()
		if err := readSurface(ctx, g, catalogue); err != nil {
			return nil, err
		}
	}
	g.Warnings = slices.Concat(catalogue.Warnings, g.Warnings)
	return g, nil
}

// beside adds what maps of others show around the lots to what was drawn.
func (q Request) beside(ctx context.Context, lots []zoning.Lot, drawn []site.Feature) (all []site.Feature, notes []string, err error) {
	lent, notes, err := q.ReadExtracts(ctx, boxOf(lots))
	if err != nil || len(lent) == 0 {
		return drawn, notes, err
	}
	all, gave := site.Yield(append(drawn, lent...))
	if gave > 0 {
		notes = append(notes, GaveWay(gave))
	}
	return all, notes, nil
}

// boxOf is the box around the lots that can be used; empty where there is none.
func boxOf(lots []zoning.Lot) orb.Bound {
	box := orb.MultiPoint{}.Bound()
	for _, lot := range lots {
		switch b := lot.Ground.Bound(); {
		case lot.Err != nil || b.IsEmpty():
		case box.IsEmpty():
			box = b
		default:
			box = box.Union(b)
		}
	}
	return box
}

// readGround reads one window of elevation around lots.
func readGround(ctx context.Context, catalogue *raster.Catalogue, lots []zoning.Lot, features []site.Feature, file string, boundary zoning.BoundaryQuality) (*mapping.Ground, error) {
	var edges []float64
	if boundary != "" {
		var err error
		if edges, err = edgeAcres(lots, boundary); err != nil {
			return nil, fmt.Errorf("%s: %w", file, err)
		}
	}
	all, err := mapping.Around(lots, features)
	if err != nil {
		return nil, err
	}
	elevation, err := readElevation(ctx, catalogue, lots, all)
	if errors.Is(err, raster.ErrTooLarge) {
		return nil, fmt.Errorf("%s: %w; split the boundary, or use a coarser raster", file, err)
	}
	if err != nil {
		return nil, err
	}
	g, err := mapping.NewGround(elevation, lots, features)
	if err != nil {
		return nil, err
	}
	g.Boundary, g.EdgeAcres = boundary, edges
	g.Warnings = slices.Concat(elevation.Warnings, partlyOff(elevation, lots))
	if n := g.Site.Away; n > 0 {
		g.Warnings = append(g.Warnings, fmt.Sprintf("%d of %d site features lie off the ground that was read, and say nothing of it", n, len(features)))
	}
	return g, nil
}

// edgeAcres measures of each lot the ground that lies so near its line that it may be
// the neighbour's.
func edgeAcres(lots []zoning.Lot, q zoning.BoundaryQuality) ([]float64, error) {
	var out []float64
	for _, lot := range lots {
		_, acres, err := edgeGround(lot.Parcel, q.InsetM())
		if err != nil {
			return nil, fmt.Errorf("lot %s: %w", lot.Lot, err)
		}
		out = append(out, acres)
	}
	return out, nil
}

// onElevation refuses a parcel that lies on none of the rasters, or has a corner far from
// all of them, saying where both lie, and whether it would lie there with its coordinates swapped.
func onElevation(ctx context.Context, file string, catalogue *raster.Catalogue, p zoning.Parcel) error {
	if err := checkGround(p); err != nil {
		return err
	}
	on, err := touches(ctx, catalogue, p.Ground)
	if err != nil {
		return err
	}
	if on {
		return slipped(file, catalogue, p)
	}
	at := p.Ground[0].Bound().Center() // all of it may lie on either side of the antimeridian
	where, middle, km := catalogue.Nearest(at)
	err = fmt.Errorf("%s: lot %s lies at %s; the elevation nearest to it (%s) is around %s, %s away",
		file, p.Lot, text.Degrees(at), where, text.Degrees(middle), distance(km))
	if swapped := swap(p.Ground); swapped != nil {
		if on, e := touches(ctx, catalogue, swapped); e == nil && on {
			return offRaster{fmt.Errorf("%w; with longitude and latitude swapped it would lie on it: longitude comes first in the file", err)}
		}
	}
	return offRaster{fmt.Errorf("%w; check both files' CRS (%s, %s)", err, setting.Name("parcel-crs"), setting.Name("elevation-crs"))}
}

// offRaster is [raster.ErrOffRaster] with the place of what lies off, in words for people.
type offRaster struct{ error }

func (offRaster) Is(e error) bool { return e == raster.ErrOffRaster }
func (o offRaster) Unwrap() error { return o.error }

// farKM is how far, in kilometres, a corner may lie from all elevation: no lot is so large
// that it reaches farther beyond what is known of it.
const farKM = 100

// slipped refuses a parcel with a corner so far from the elevation that it must be a slip,
// before all ground as far as there is looked at.
func slipped(file string, catalogue *raster.Catalogue, p zoning.Parcel) error {
	for _, poly := range p.Ground {
		b := poly.Bound()
		if geo.DistanceHaversine(b.Min, b.Max) < 1000*farKM {
			continue
		}
		for _, ring := range poly {
			for _, corner := range ring {
				if catalogue.Within(corner, farKM) {
					continue
				}
				where, _, km := catalogue.Nearest(corner)
				return offRaster{fmt.Errorf("%s: lot %s: its corner at %s lies %s from the elevation nearest to it (%s): a slip? Draw that corner again, or cut the lot into parts and give elevation for each",
					file, p.Lot, text.Degrees(corner), distance(km), where)}
			}
		}
	}
	return nil
}

// swap exchanges longitude and latitude; nil where that is no place on earth.
func swap(ground orb.MultiPolygon) orb.MultiPolygon {
	out := ground.Clone()
	for _, poly := range out {
		for _, ring := range poly {
			for i, p := range ring {
				if math.Abs(p[0]) > 90 {
					return nil
				}
				ring[i] = orb.Point{p[1], p[0]}
			}
		}
	}
	return out
}

func distance(km float64) string {
	if km < 10 {
		return fmt.Sprintf("%.1f km (%.1f mi)", km, km/1.609344)
	}
	return fmt.Sprintf("%.0f km (%.0f mi)", km, km/1.609344)
}

// partlyOff lists the lots with a corner beyond the cells that were read, or
// where tiles of one grid leave a gap.
func partlyOff(e *terrain.Elevation, lots []zoning.Lot) []string {
	var out []string
	g := e.Grid
	beyond := func(p orb.Point) bool {
		c, r := g.Frame.Cell(p[0], p[1])
		c, r = c-float64(g.Col0), r-float64(g.Row0)
		if !(c >= 0 && r >= 0 && c <= float64(g.Cols) && r <= float64(g.Rows)) {
			return true
		}
		col, row := min(int(c), g.Cols-1), min(int(r), g.Rows-1)
		return len(e.Sources) > 1 && math.IsNaN(g.At(col, row))
	}
	for _, lot := range lots {
		off := slices.ContainsFunc(lot.Ground, func(poly orb.Polygon) bool { return slices.ContainsFunc(poly[0], beyond) })
		if off {
			out = append(out, fmt.Sprintf("lot %s reaches beyond the elevation; the ground there is mapped as no elevation data", lot.Lot))
		}
	}
	return out
}
