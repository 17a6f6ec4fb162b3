package read

import (
	"context"
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/text"
)

// SurfaceOptions are the options of a catalogue of first surfaces, whose messages name
// the flags of those, and which look for other faults.
func SurfaceOptions(o raster.Options) raster.Options {
	o.Flags, o.Surface = "surface", true
	return o
}

// readSurface reads the first surface over the ground's cells, and lays it on them.
func readSurface(ctx context.Context, g *mapping.Ground, catalogue *raster.Catalogue) error {
	window := orb.MultiPolygon{g.Outline()}
	rasters, err := catalogue.AroundOf(ctx, window, giving(g.Elevation))
	if err != nil {
		return err
	}
	read, err := raster.Read(ctx, rasters, window)
	switch {
	case errors.Is(err, raster.ErrOffRaster):
		at := g.Lots[0].Ground[0].Bound().Center()
		where, middle, km := catalogue.Nearest(at)
		return offRaster{fmt.Errorf("%w: the lots lie at %s; the surface nearest to them (%s) is around %s, %s away; check its CRS (%s)",
			mapping.ErrSurface, text.Degrees(at), where, text.Degrees(middle), distance(km), setting.Name("surface-crs"))}
	case errors.Is(err, raster.ErrTooLarge):
		return fmt.Errorf("%w: %w; use a coarser surface, or split the boundary", mapping.ErrSurface, err)
	case err != nil:
		return err
	}
	read.Warnings = append(catalogue.Warnings[:len(catalogue.Warnings):len(catalogue.Warnings)], read.Warnings...)
	return g.AddSurface(read)
}

// giving are the sources that gave some cell its height.
func giving(e *terrain.Elevation) []terrain.Source {
	if e.From == nil {
		return e.Sources
	}
	gave := make([]bool, len(e.Sources))
	for _, s := range e.From {
		if s != terrain.NoSource {
			gave[s] = true
		}
	}
	var out []terrain.Source
	for i, s := range e.Sources {
		if gave[i] {
			out = append(out, s)
		}
	}
	return out
}
