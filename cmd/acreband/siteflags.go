package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning/read"
)

// siteFlags are what is known of a site beside its boundary and its heights.
type siteFlags struct {
	Site        []string `sep:"none" placeholder:"FILE" help:"What is on the ground, in any boundary format; a field 'kind' says what each shape is: no-go, soft, leave-tree, selective, overhead-line, building, road, path, cover, staging, travel, gate, bridge. Repeat for several."`
	SiteKind    string   `placeholder:"FIELD" help:"Field that says what each shape of --site is. Default: kind."`
	Staging     []string `sep:"none" placeholder:"FILE" help:"Where the trailer unloads: points or areas. Machines are held to the ways in from there."`
	Travel      []string `sep:"none" placeholder:"FILE" help:"Areas beside the parcel that machines may cross."`
	Surface     []string `sep:"none" placeholder:"PATH" help:"First surface: a raster of what light or radar met first, as --elevation takes. Less the ground it is the least height of the growth."`
	SurfaceUnit string   `placeholder:"m|ft|us-ft" help:"Unit of its heights; overrules what it declares."`
	SurfaceCRS  string   `name:"surface-crs" placeholder:"CRS" help:"CRS of it; overrules what it declares."`
	SiteCRS     string   `name:"site-crs" placeholder:"CRS" help:"CRS of --site, --staging and --travel; overrules what they declare."`
}

func (f *siteFlags) files() read.SiteFiles {
	return read.SiteFiles{Site: f.Site, Staging: f.Staging, Travel: f.Travel,
		SiteOptions: read.SiteOptions{CRS: f.SiteCRS, KindField: f.SiteKind}}
}

// on adds what they say to what is asked for.
func (f *siteFlags) on(q *read.Request) (err error) {
	q.SiteFiles, q.Surface = f.files(), f.Surface
	q.SurfaceOptions, err = f.surfaceOptions(q.ElevationOptions)
	return err
}

// surfaceOptions are those of the first surface, beside those of the elevation.
func (f *siteFlags) surfaceOptions(elevation raster.Options) (raster.Options, error) {
	if err := raster.CheckUnit(f.SurfaceUnit); err != nil {
		return raster.Options{}, usageError{fmt.Errorf("--surface-unit: %w", err)}
	}
	return raster.Options{Unit: f.SurfaceUnit, CRS: f.SurfaceCRS, Named: elevation.Named, AllowRemote: elevation.AllowRemote}, nil
}

// spot is a place on the command line, LON,LAT.
type spot orb.Point

// Decode takes what follows the flag as it is: a longitude west of Greenwich begins with
// a hyphen, as flags do.
func (p *spot) Decode(ctx *kong.DecodeContext) error {
	text := ""
	if next := ctx.Scan.Pop(); !next.IsEOL() {
		text = next.String()
	}
	lon, lat, ok := strings.Cut(text, ",")
	x, errX := strconv.ParseFloat(strings.TrimSpace(lon), 64)
	y, errY := strconv.ParseFloat(strings.TrimSpace(lat), 64)
	if !ok || errX != nil || errY != nil || !(x >= -180 && x <= 180 && y >= -90 && y <= 90) {
		return fmt.Errorf("%q is no spot; write longitude and latitude in degrees, such as -84.25,36.32", text)
	}
	*p = spot{x, y}
	return nil
}
