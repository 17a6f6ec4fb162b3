package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/units"
)

// siteFlags are what is known of a site beside its boundary and its heights.
type siteFlags struct {
	Site        []string `sep:"none" placeholder:"FILE" help:"What is on the ground, in any boundary format; a field 'kind' says what each shape is: no-go, soft, leave-tree, selective, overhead-line, building, road, path, cover, staging, travel, ground (no water, however flat), gate, bridge, water, railway, pipeline, tower, cliff, people. Or an OpenStreetMap extract (.osm, .osm.pbf), or auto: ask the Overpass API that your list of services names. Repeat for several."`
	Water       setback  `name:"water-setback" placeholder:"WIDTH|RULE" help:"How far to keep from water that an OpenStreetMap extract shows: 50ft, or a rule such as kentucky-for-69. Default: off the water alone."`
	SiteKind    string   `placeholder:"FIELD" help:"Field that says what each shape of --site is. Default: kind."`
	Staging     []string `sep:"none" placeholder:"FILE|LAT,LON" help:"Where the trailer unloads: a file of points or areas, or a spot such as '36.3420 N, 84.2455 W'. Machines are held to the access routes from there. Repeat for several."`
	Travel      []string `sep:"none" placeholder:"FILE" help:"Areas beside the parcel that machines may cross."`
	Surface     []string `sep:"none" placeholder:"PATH" help:"First surface: a raster of what light or radar met first, as --elevation takes. Less the ground it is the least height of the growth."`
	Growth      string   `placeholder:"auto" enum:",auto" default:"" help:"auto: measure the growth on the first surface of the same survey, where the service that elevation is found by has one."`
	SurfaceUnit string   `placeholder:"m|ft|us-ft" help:"Unit of its heights; overrules what it declares."`
	SurfaceCRS  string   `name:"surface-crs" placeholder:"CRS" help:"CRS of it; overrules what it declares."`
	SiteCRS     string   `name:"site-crs" placeholder:"CRS" help:"CRS of --site, --staging and --travel; overrules what they declare."`
}

// setback is a width or a rule, as a site file has them.
type setback struct {
	site.Setback
	said string
}

func (s *setback) UnmarshalText(text []byte) (err error) {
	s.said = string(text)
	s.Setback, err = site.ParseSetback(s.said)
	return err
}

// String is what was said, by which runs of many lots compare their settings.
func (s setback) String() string { return s.said }

// files are the files of a site, and the spots given to --staging; those are told apart by the
// box around the lots.
func (f *siteFlags) files(lots orb.Bound, elevation raster.Options) read.SiteFiles {
	files := read.SiteFiles{Site: f.Site, Travel: f.Travel, SiteOptions: read.SiteOptions{CRS: f.SiteCRS, KindField: f.SiteKind},
		Services: elevation.Named, Fetch: elevation.Fetch}
	files.SiteOptions.WaterSetback = f.Water.Setback
	for _, given := range f.Staging {
		if place, ok := spotOrFile(given); ok {
			files.Unload = append(files.Unload, place.Near(lots))
		} else {
			files.Staging = append(files.Staging, given)
		}
	}
	return files
}

// spotOrFile reads a spot; not ok is the name of a file.
func spotOrFile(given string) (units.Place, bool) {
	place, err := units.ParsePlace(given)
	if err != nil {
		return nil, false
	}
	_, err = os.Stat(given)
	return place, err != nil
}

// checkSpots refuses a spot of --staging that has two readings: of lots that are read one by
// one nobody knows where they lie.
func (f *siteFlags) checkSpots() error {
	for _, given := range f.Staging {
		if place, ok := spotOrFile(given); ok && len(place) > 1 {
			return usageError{fmt.Errorf("--staging %s: which is the latitude? Write it as %s, or as %s", given, text.Degrees(place[0]), text.Degrees(place[1]))}
		}
	}
	return nil
}

// on adds what they say to what is asked for of the lots in a box.
func (f *siteFlags) on(q *read.Request, lots orb.Bound) (err error) {
	q.SiteFiles, q.Surface, q.FindSurface = f.files(lots, q.ElevationOptions), f.Surface, f.Growth == "auto"
	q.SurfaceOptions, err = f.surfaceOptions(q.ElevationOptions)
	return err
}

// surfaceOptions are those of the first surface, beside those of the elevation.
func (f *siteFlags) surfaceOptions(elevation raster.Options) (raster.Options, error) {
	if f.Growth == "auto" && len(f.Surface) > 0 {
		return raster.Options{}, usageError{errors.New("--growth auto finds the first surface, and --surface gives one: say one of them")}
	}
	if err := raster.CheckUnit(f.SurfaceUnit); err != nil {
		return raster.Options{}, usageError{fmt.Errorf("--surface-unit: %w", err)}
	}
	return raster.Options{Unit: f.SurfaceUnit, CRS: f.SurfaceCRS, Named: elevation.Named, AllowRemote: elevation.AllowRemote, Fetch: elevation.Fetch, Units: elevation.Units}, nil
}
