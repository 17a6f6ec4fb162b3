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
func (f *parcelFlags) survey(job groundJob, meter *meter) (*mapping.Ground, *zoning.ZoneMap, error) {
	request := read.Request{
		Progress:         meter.tell,
		Elevation:        job.elevation,
		ElevationOptions: job.raster,
		Parcel:           f.Parcel,
		Boundary:         job.quality,
		ParcelOptions:    job.parcels,
	}
	if err := f.lotsFor(&request); err != nil {
		return nil, nil, err
	}
	if err := f.siteFlags.on(&request, boxOf(request.Lots)); err != nil {
		return nil, nil, err
	}
	request.SiteOptions.Units = job.judge.Units
	tellFetching(job.raster.Fetch, meter)
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

// lotsFor reads the lots before all else where a spot of --staging asks where they lie.
func (f *parcelFlags) lotsFor(q *read.Request) (err error) {
	for _, given := range f.Staging {
		if place, ok := spotOrFile(given); ok && len(place) > 1 && q.Lots == nil {
			if q.Lots, err = read.Read(context.Background(), f.Parcel, q.ParcelOptions); err != nil {
				return inputError{err}
			}
		}
	}
	return nil
}

// lotsLeftOut is an error where some lots are not on the map.
func lotsLeftOut(ground *mapping.Ground, zones *zoning.ZoneMap) error {
	if n := lotsMissing(ground, zones); n > 0 {
		return fmt.Errorf("%w: %d of %d", errSomeLots, n, n+len(zones.Lots))
	}
	return nil
}

// lotsMissing counts the lots that are not on the map.
func lotsMissing(ground *mapping.Ground, zones *zoning.ZoneMap) int {
	return len(ground.Failed) + len(ground.Lots) - len(zones.Lots)
}
