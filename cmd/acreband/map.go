package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/survey"
)

type mapCmd struct {
	groundFlags
	siteFlags
	Parcel string `required:"" placeholder:"FILE" help:"Boundary: GeoJSON, KML, KMZ, Shapefile (zipped too), GeoPackage or GPX. Each feature is a lot."`
	Out    string `default:"out" placeholder:"DIR" help:"Folder for zones.geojson and zones.png; '-' writes the GeoJSON to standard output."`
	Why    *spot  `placeholder:"LON,LAT" help:"Explain one spot in words beside: its slope, and what keeps each machine off."`
}

func (c *mapCmd) Run(s streams) error {
	job, err := c.read()
	if err != nil {
		return err
	}
	if c.Out != "-" {
		if err := checkFolder(c.Out); err != nil {
			return err
		}
	}
	meter := newMeter(s.err)
	defer meter.done()
	request := survey.Request{
		Progress:         meter.tell,
		Elevation:        job.elevation,
		ElevationOptions: job.raster,
		Parcel:           c.Parcel,
		Boundary:         job.quality,
		ParcelOptions:    job.parcels,
	}
	request.SiteFiles = c.files()
	if err := raster.CheckUnit(c.SurfaceUnit); err != nil {
		return usageError{fmt.Errorf("--surface-unit: %w", err)}
	}
	request.Surface, request.SurfaceOptions = c.Surface, raster.Options{Unit: c.SurfaceUnit, CRS: c.SurfaceCRS, Named: job.raster.Named}
	ground, err := survey.Prepare(request)
	if err != nil {
		return inputError{err}
	}
	collectFor(len(ground.Elevation.Grid.Z))
	zones, err := survey.Map(ground, job.fleet, job.judge)
	if errors.Is(err, zoning.ErrCellSize) || errors.Is(err, zoning.ErrNoGround) || errors.Is(err, zoning.ErrTooLarge) || errors.Is(err, survey.ErrTooCoarse) {
		return inputError{err}
	}
	if err != nil {
		return err
	}
	meter.done()
	if err := c.write(zones, ground.Elevation.Grid, s.out); err != nil {
		return err
	}
	if err := sheet.Table(s.err, zones); err != nil {
		return err
	}
	if c.Why != nil {
		words, err := ground.Why(zones, orb.Point(*c.Why))
		if err != nil {
			return usageError{fmt.Errorf("--why: %w", err)}
		}
		fmt.Fprintln(s.err, "\n"+strings.Join(words, "\n  "))
	}
	all := len(ground.Failed) + len(ground.Lots)
	if n := all - len(zones.Lots); n > 0 {
		return fmt.Errorf("%w: %d of %d", errSomeLots, n, all)
	}
	return nil
}

// write writes the GeoJSON and the picture, which takes as long, at once.
func (c *mapCmd) write(zones *zoning.ZoneMap, grid *terrain.Grid, out io.Writer) error {
	if c.Out == "-" {
		return zoning.WriteGeoJSON(out, zones)
	}
	return writeTogether(c.Out, []output{
		{"zones.geojson", func(w io.Writer) error { return zoning.WriteGeoJSON(w, zones) }},
		{"zones.png", func(w io.Writer) error { return sheet.Picture(w, grid, zones) }},
	})
}
