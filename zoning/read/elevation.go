package read

import (
	"context"
	"errors"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
)

// readElevation reads the elevation around lots, coarser sources only where finer ones leave ground of the lots without heights.
func readElevation(ctx context.Context, catalogue *raster.Catalogue, lots []zoning.Lot, all orb.MultiPolygon) (*terrain.Elevation, error) {
	ranks := catalogue.Ranks()
	for rank := range ranks {
		rasters, err := catalogue.AroundUpTo(ctx, all, rank, false)
		if err != nil {
			return nil, err
		}
		elevation, err := raster.Read(ctx, rasters, all)
		last := rank == ranks-1
		if errors.Is(err, raster.ErrOffRaster) && !last || err == nil && !last && !covered(elevation, lots) {
			continue
		}
		var flat bool
		if err == nil {
			flat, err = quality.FlatAtEdge(elevation.Grid)
		}
		if err == nil && flat {
			// Of a pond that lies mostly beside the lots too little shows to be known.
			if rasters, err = catalogue.AroundUpTo(ctx, all, rank, true); err != nil {
				return nil, err
			}
			elevation, err = raster.ReadWide(ctx, rasters, all)
		}
		return elevation, err
	}
	return nil, raster.ErrOffRaster
}

// touches tells whether any of a place lies on the elevation.
func touches(ctx context.Context, catalogue *raster.Catalogue, ground orb.MultiPolygon) (bool, error) {
	for rank := range catalogue.Ranks() {
		rasters, err := catalogue.AroundUpTo(ctx, ground, rank, false)
		if err != nil {
			return false, err
		}
		for _, r := range rasters {
			for _, poly := range ground { // one by one: two parts may lie on either side of it
				on, err := r.Touches(orb.MultiPolygon{poly})
				if on || err != nil {
					return on, err
				}
			}
		}
	}
	return false, nil
}
