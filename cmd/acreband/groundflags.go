package main

import (
	"fmt"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/units"
)

// groundFlags are what map, lots and checks share: which elevation, which machines,
// and how ground is judged.
type groundFlags struct {
	surveyFlags
	More []string `arg:"" optional:"" name:"raster" help:"Further elevation."`
}

func (f *groundFlags) read() (groundJob, error) { return f.surveyFlags.read(f.More...) }

// surveyFlags are groundFlags for a command whose arguments are other files than
// elevation.
type surveyFlags struct {
	Elevation []string `sep:"none" placeholder:"PATH" help:"Elevation: a raster, a zip, a folder or a glob of rasters, a VRT, a tile index, an http address, or a service by name; repeat for several. Default: the finest that the services have for the ground; see 'acreband services'."`
	Fleet     string   `placeholder:"FILE" help:"Fleet file; see 'acreband fleet'. Default: the built-in fleet."`
	elevationFlags
	ElevationError string `placeholder:"LENGTH|KIND" help:"Standard deviation of a height, such as 0.15m or 6in, or a kind of elevation: ${kinds}. Default: measured from the raster, or assumed from the cell."`
	Cautious       bool   `help:"Draw zones by the slope that ground may have at the upper end of the elevation's error."`
	Margin         string `placeholder:"PERCENT" help:"Points of slope to take off every limit when zones are drawn, such as 3%; 'acreband readings' says how many. With --cautious both are taken off."`
	Surveyed       string `placeholder:"DATE" help:"When the ground was measured: 2019, 2019-06 or 2019-06-30. It is printed."`
	OldestSurvey   string `placeholder:"DATE" help:"Warn where the ground was measured before this."`
	WaterIsGround  bool   `help:"Let machines onto water, which is dead flat or nearly so; it is no-go otherwise."`
	Ground         string `placeholder:"dry|wet" enum:"dry,wet" default:"dry" help:"State of the ground that zones are drawn for; the acres of the other are listed beside."`
	SlopeOnly      bool   `help:"Ask nothing but slope, step and roughness: no turning, width, access routes, reach, growth or patches."`
	Simplify       string `placeholder:"LENGTH" help:"Draw lines between zones with fewer corners, nowhere farther off than this, such as 3ft. Ground only goes to a machine that may work all of it."`
	Boundary       string `placeholder:"QUALITY" help:"How well the boundary's line is known: surveyed, county or sketched. Acres nearer to it than that are listed."`
	Repair         string `placeholder:"PERCENT" help:"How much of a lot's acres a repair of its boundary may change, such as 5%. Default: 1%; a lot where it would be more is refused."`
	ParcelCRS      string `name:"parcel-crs" placeholder:"CRS" help:"CRS of the boundary, such as EPSG:2227; overrules what it declares."`
	ID             string `name:"id" placeholder:"FIELD" help:"Field that names the lots. Default: lot, name or id, else their place in the file."`
	Layer          string `placeholder:"NAME" help:"Layer of the boundary file."`
	SlopeScale     string `placeholder:"cell|machine" help:"Scale at which slope is taken: single cells, or the ground under a machine. Default: machine, where cells are less than half of it."`
}

// groundJob is what groundFlags say.
type groundJob struct {
	elevation []string
	raster    raster.Options
	fleet     zoning.Fleet
	book      *plan.Book
	judge     mapping.Options
	quality   zoning.BoundaryQuality
	parcels   read.Options
}

// read checks the flags and reads the files they name, but for elevation and
// boundary.
func (f *surveyFlags) read(more ...string) (groundJob, error) {
	job := groundJob{
		elevation: append(f.Elevation, more...),
		parcels:   read.Options{CRS: f.ParcelCRS, Field: f.ID, Layer: f.Layer},
	}
	scale := mapping.Scale(f.SlopeScale)
	if scale != mapping.AutoScale && scale != mapping.CellScale && scale != mapping.MachineScale {
		return job, usageError{fmt.Errorf("--slope-scale %q; write cell or machine", f.SlopeScale)}
	}
	for flag, date := range map[string]string{"--surveyed": f.Surveyed, "--oldest-survey": f.OldestSurvey} {
		if date == "" {
			continue
		}
		if err := mapping.CheckDate(date); err != nil {
			return job, usageError{fmt.Errorf("%s: %w", flag, err)}
		}
	}
	noise, err := readNoise(f.ElevationError)
	if err != nil {
		return job, usageError{err}
	}
	if f.Boundary != "" {
		if job.quality, err = zoning.BoundaryQualityOf(f.Boundary); err != nil {
			return job, usageError{fmt.Errorf("--boundary: %w", err)}
		}
	}
	if job.fleet, job.book, err = readFleetWithPlan(f.Fleet); err != nil {
		return job, inputError{err}
	}
	if job.raster, err = f.options(); err != nil {
		return job, err
	}
	job.judge = mapping.Options{
		Scale: scale, Noise: noise, Cautious: f.Cautious, WaterIsGround: f.WaterIsGround,
		Surveyed: f.Surveyed, OldestSurvey: f.OldestSurvey, Ground: zoning.Moisture(f.Ground), SlopeOnly: f.SlopeOnly,
		Loads: job.book.Loads(job.fleet), DrainageSetback: job.book.Job.Setback,
	}
	if f.Margin != "" {
		if job.judge.MarginPct, err = readMargin(f.Margin); err != nil {
			return job, usageError{err}
		}
	}
	if f.Repair != "" {
		if job.parcels.Repair, err = readRepair(f.Repair); err != nil {
			return job, usageError{err}
		}
	}
	if f.Simplify != "" {
		if job.judge.SimplifyM, err = units.Length(f.Simplify); err != nil {
			return job, usageError{fmt.Errorf("--simplify: %w", err)}
		}
	}
	return job, nil
}
