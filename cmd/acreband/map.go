package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/vector"
)

type mapCmd struct {
	Elevation []string `required:"" sep:"none" placeholder:"PATH" help:"Elevation: a raster, a zip, a folder or a glob of rasters, a VRT, a tile index, an http address, or a service by name; repeat for several."`
	More      []string `arg:"" optional:"" name:"raster" help:"Further elevation."`
	Parcel    string   `required:"" placeholder:"FILE" help:"Boundary: GeoJSON, KML, KMZ, Shapefile (zipped too), GeoPackage or GPX. Each feature is a lot."`
	Fleet     string   `placeholder:"FILE" help:"Fleet file; see 'acreband fleet'. Default: the built-in fleet."`
	Out       string   `default:"out" placeholder:"DIR" help:"Folder for zones.geojson and zones.png; '-' writes the GeoJSON to standard output."`
	elevationFlags
	ElevationError string `placeholder:"LENGTH|KIND" help:"Standard deviation of a height, such as 0.15m or 6in, or a kind of elevation: ${kinds}. Default: assumed from the cell."`
	Cautious       bool   `help:"Draw zones by the slope that ground may have at the upper end of the elevation's error."`
	Surveyed       string `placeholder:"DATE" help:"When the ground was measured: 2019, 2019-06 or 2019-06-30. It is printed."`
	OldestSurvey   string `placeholder:"DATE" help:"Warn where the ground was measured before this."`
	WaterIsGround  bool   `help:"Leave dead-flat water to the machines; it is no-go otherwise."`
	Boundary       string `placeholder:"QUALITY" help:"How well the boundary's line is known: surveyed, county or sketched. Acres nearer to it than that are told."`
	ParcelCRS      string `name:"parcel-crs" placeholder:"CRS" help:"CRS of the boundary, such as EPSG:2227; overrules what it declares."`
	ID             string `name:"id" placeholder:"FIELD" help:"Field that names the lots. Default: lot, name or id, else their place in the file."`
	Layer          string `placeholder:"NAME" help:"Layer of the boundary file."`
	SlopeScale     string `placeholder:"cell|machine" help:"Scale at which slope is taken: single cells, or the ground under a machine. Default: machine, where cells are less than half of it."`
}

func (c *mapCmd) Run(s streams) error {
	scale := survey.Scale(c.SlopeScale)
	if scale != survey.AutoScale && scale != survey.CellScale && scale != survey.MachineScale {
		return usageError{fmt.Errorf("--slope-scale %q; write cell or machine", c.SlopeScale)}
	}
	for flag, date := range map[string]string{"--surveyed": c.Surveyed, "--oldest-survey": c.OldestSurvey} {
		if date == "" {
			continue
		}
		if err := survey.CheckDate(date); err != nil {
			return usageError{fmt.Errorf("%s: %w", flag, err)}
		}
	}
	noise, err := readNoise(c.ElevationError)
	if err != nil {
		return usageError{err}
	}
	var quality vector.Quality
	if c.Boundary != "" {
		if quality, err = vector.QualityOf(c.Boundary); err != nil {
			return usageError{fmt.Errorf("--boundary: %w", err)}
		}
	}
	machines, err := readFleet(c.Fleet)
	if err != nil {
		return inputError{err}
	}
	elevation, err := c.options()
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
	ground, err := survey.Prepare(survey.Request{
		Progress:         meter.tell,
		Elevation:        append(c.Elevation, c.More...),
		ElevationOptions: elevation,
		Parcel:           c.Parcel,
		Boundary:         quality,
		ParcelOptions:    vector.Options{CRS: c.ParcelCRS, Field: c.ID, Layer: c.Layer},
	})
	if err != nil {
		return inputError{err}
	}
	collectFor(len(ground.Elevation.Grid.Z))
	zones, err := survey.Map(ground, machines, survey.Options{Scale: scale, Noise: noise, Cautious: c.Cautious, WaterIsGround: c.WaterIsGround, Surveyed: c.Surveyed, OldestSurvey: c.OldestSurvey})
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
