package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
)

// parcelFlags are what commands share that map one boundary: map, checks and progress.
type parcelFlags struct {
	siteFlags
	Parcel string `required:"" placeholder:"FILE" help:"Boundary: GeoJSON, KML, KMZ, Shapefile (zipped too), GeoPackage or GPX. Each feature is a lot."`
}

// survey reads the ground and maps it.
func (f *parcelFlags) survey(job groundJob, s streams) (*mapping.Ground, *zoning.ZoneMap, error) {
	meter := newMeter(s.err)
	defer meter.done()
	request := read.Request{
		Progress:         meter.tell,
		Elevation:        job.elevation,
		ElevationOptions: job.raster,
		Parcel:           f.Parcel,
		Boundary:         job.quality,
		ParcelOptions:    job.parcels,
	}
	if err := f.siteFlags.on(&request); err != nil {
		return nil, nil, err
	}
	ground, err := read.Prepare(context.Background(), request)
	if err != nil {
		return nil, nil, inputError{err}
	}
	collectFor(len(ground.Elevation.Grid.Z))
	zones, err := mapping.Map(context.Background(), ground, job.fleet, job.judge)
	if errors.Is(err, coverage.ErrCellSize) || errors.Is(err, coverage.ErrNoGround) || errors.Is(err, coverage.ErrTooLarge) || errors.Is(err, coverage.ErrTooFine) || errors.Is(err, mapping.ErrTooCoarse) || errors.Is(err, mapping.ErrSite) {
		err = inputError{err}
	}
	return ground, zones, err
}

// lotsLeftOut is an error where some lots are not on the map.
func lotsLeftOut(ground *mapping.Ground, zones *zoning.ZoneMap) error {
	all := len(ground.Failed) + len(ground.Lots)
	if n := all - len(zones.Lots); n > 0 {
		return fmt.Errorf("%w: %d of %d", errSomeLots, n, all)
	}
	return nil
}
