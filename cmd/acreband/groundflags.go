package main

import (
	"fmt"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/survey"
	"github.com/acreband/acreband/zoning/vector"
)

// groundFlags are what map and lots share: which elevation, which machines, and
// how ground is judged.
type groundFlags struct {
	Elevation []string `required:"" sep:"none" placeholder:"PATH" help:"Elevation: a raster, a zip, a folder or a glob of rasters, a VRT, a tile index, an http address, or a service by name; repeat for several."`
	More      []string `arg:"" optional:"" name:"raster" help:"Further elevation."`
	Fleet     string   `placeholder:"FILE" help:"Fleet file; see 'acreband fleet'. Default: the built-in fleet."`
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

// groundJob is what groundFlags say.
type groundJob struct {
	elevation []string
	raster    raster.Options
	fleet     []zoning.Machine
	judge     survey.Options
	quality   vector.Quality
	parcels   vector.Options
}

// read checks the flags and reads the files they name, but for elevation and
// boundary.
func (f *groundFlags) read() (groundJob, error) {
	job := groundJob{
		elevation: append(f.Elevation, f.More...),
		parcels:   vector.Options{CRS: f.ParcelCRS, Field: f.ID, Layer: f.Layer},
	}
	scale := survey.Scale(f.SlopeScale)
	if scale != survey.AutoScale && scale != survey.CellScale && scale != survey.MachineScale {
		return job, usageError{fmt.Errorf("--slope-scale %q; write cell or machine", f.SlopeScale)}
	}
	for flag, date := range map[string]string{"--surveyed": f.Surveyed, "--oldest-survey": f.OldestSurvey} {
		if date == "" {
			continue
		}
		if err := survey.CheckDate(date); err != nil {
			return job, usageError{fmt.Errorf("%s: %w", flag, err)}
		}
	}
	noise, err := readNoise(f.ElevationError)
	if err != nil {
		return job, usageError{err}
	}
	if f.Boundary != "" {
		if job.quality, err = vector.QualityOf(f.Boundary); err != nil {
			return job, usageError{fmt.Errorf("--boundary: %w", err)}
		}
	}
	if job.fleet, err = readFleet(f.Fleet); err != nil {
		return job, inputError{err}
	}
	if job.raster, err = f.options(); err != nil {
		return job, err
	}
	job.judge = survey.Options{
		Scale: scale, Noise: noise, Cautious: f.Cautious, WaterIsGround: f.WaterIsGround,
		Surveyed: f.Surveyed, OldestSurvey: f.OldestSurvey,
	}
	return job, nil
}
