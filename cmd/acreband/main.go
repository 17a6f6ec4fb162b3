package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/text"
)

// Exit codes, which scripts rely on.
const (
	exitDone     = 0
	exitOther    = 1
	exitUsage    = 2
	exitInput    = 3
	exitSomeLots = 4
)

type cli struct {
	Map       mapCmd           `cmd:"" help:"Map the zones of a parcel: GeoJSON, a picture, and a table of acres."`
	Lots      lotsCmd          `cmd:"" help:"Map every lot of a subdivision or a county: a table, the zones, and what failed. Goes on where it was stopped."`
	Merge     mergeCmd         `cmd:"" help:"Join the parts that 'acreband lots --shard' left to the files of one run."`
	Raster    rasterCmd        `cmd:"" help:"Write zones and slope of whole rasters, by slope alone. Goes on where it was stopped."`
	Process   processCmd       `cmd:"" hidden:"" help:"What 'acreband lots' starts."`
	Reader    readerCmd        `cmd:"" hidden:"" help:"What 'acreband serve' starts."`
	Checks    checksCmd        `cmd:"" help:"Pick spots of a map to measure with a clinometer: waypoints, GeoJSON, a list to print and a table."`
	Readings  readingsCmd      `cmd:"" help:"Judge a map by the slopes measured at those spots, and say which margin they ask for."`
	Progress  progressCmd      `cmd:"" help:"Set worked ground and hours against a map: acres done and left, and rates so far."`
	Elevation elevationCmd     `cmd:"" help:"Say what a raster is, and what would be assumed of it."`
	Version   kong.VersionFlag `help:"Print the version."`
	HelpAll   helpAll          `help:"Show all that each flag takes."`
	Fleet     fleetCmd         `cmd:"" help:"Print the default fleet file, ready to edit."`
	Services  servicesCmd      `cmd:"" help:"Print the list of public elevation services that --elevation takes by name, ready to edit."`
	Serve     serveCmd         `cmd:"" help:"Serve a page on this machine: drop or draw a boundary, see the zones, change limits, download the files."`
}

// elevationFlags say what a raster does not say itself.
type elevationFlags struct {
	ElevationUnit string `placeholder:"m|ft|us-ft" help:"Unit of heights; overrules what the raster declares."`
	ElevationCRS  string `name:"elevation-crs" placeholder:"CRS" help:"CRS of the raster, such as EPSG:26916; overrules what it declares."`
	NoData        string `name:"nodata" placeholder:"VALUE" help:"Stored value of the raster that stands for no height, such as 0, beside what it declares."`
	AllowRemote   bool   `help:"Let elevation files name addresses to be asked, as a VRT of remote rasters does. An address or a service given to --elevation needs no permission."`
	Services      string `placeholder:"FILE" help:"List of elevation services; see 'acreband services'. Default: the built-in list."`
	Offline       bool   `help:"Ask no server: use only what was fetched before and is kept in --cache."`
	Cache         string `placeholder:"DIR" help:"Folder for what is fetched from servers. Default: acreband/fetched in the user's cache folder."`
	CacheLimit    string `default:"2GB" placeholder:"SIZE" help:"Size limit of that folder, such as 500MB; what was used longest ago goes first."`
}

// options are those that opening a raster takes.
func (f elevationFlags) options() (raster.Options, error) {
	if err := raster.CheckUnit(f.ElevationUnit); err != nil {
		return raster.Options{}, usageError{fmt.Errorf("--elevation-unit: %w", err)}
	}
	o := raster.Options{Unit: f.ElevationUnit, CRS: f.ElevationCRS, AllowRemote: f.AllowRemote}
	if f.NoData != "" {
		v, err := strconv.ParseFloat(f.NoData, 64)
		if err != nil {
			return o, usageError{fmt.Errorf("--nodata %q is no number; write the value as the raster stores it, such as -9999", f.NoData)}
		}
		o.NoData = &v
	}
	if f.Services != "" {
		named, err := find.Read(f.Services)
		if err != nil {
			return o, inputError{err}
		}
		o.Named = named
	}
	var err error
	o.Fetch, err = f.client(o.Named)
	return o, err
}

// inputError is a fault of a file the user named.
type inputError struct{ error }

func (e inputError) Unwrap() error { return e.error }

// usageError is a fault of the command line.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// errSomeLots says that the run is done but not for every lot.
var errSomeLots = errors.New("some lots could not be mapped")

// streams are where a command writes: data to out, people to err.
type streams struct{ out, err io.Writer }

func main() {
	setting.CallThem(settingName)
	collectLate()
	// GDAL writes what it notices to standard error as it goes; what matters of it
	// comes back as errors. A log that the user asked for stays.
	if os.Getenv("CPL_LOG") == "" {
		_ = os.Setenv("CPL_LOG", os.DevNull)
	}
	os.Exit(run(os.Args[1:], streams{os.Stdout, os.Stderr}))
}

func run(args []string, s streams) int {
	var c cli
	exit := -1
	parser, err := kong.New(&c,
		kong.Name("acreband"),
		kong.Description("Which ground of a parcel each land-clearing machine may work, how many acres of each, and what to walk first.\n\n"+
			"Exit codes: 0 done; 2 the command was used wrongly; 3 the input cannot be used; 4 some lots failed; 1 anything else."),
		kong.Writers(s.out, s.err),
		kong.Exit(func(code int) { exit = code }),
		kong.Bind(s),
		kong.Vars{"version": version(), "kinds": strings.Join(slope.Kinds(), ", "), "outputs": outputWords(), "usual": strings.Join(usualWords, ","), "workers": defaultWorkers()},
		kong.UsageOnError(),
		kong.Help(printHelp),
	)
	if err != nil {
		fmt.Fprintln(s.err, "acreband:", err)
		return exitOther
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	ctx, err := parser.Parse(joinSpots(args))
	if exit >= 0 {
		return exit // help was asked for and printed
	}
	if err == nil {
		err = ctx.Run()
	} else {
		err = usageError{fmt.Errorf("%w (see acreband --help)", err)}
	}
	return report(err, s)
}

// version is that of the module, as the build recorded it.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok {
		return "acreband " + info.Main.Version
	}
	return "acreband, of no known version"
}

func report(err error, s streams) int {
	if err == nil {
		return exitDone
	}
	fmt.Fprintln(s.err, "acreband:", text.Lines(err.Error())) // names in it are strangers'
	switch {
	case errors.As(err, new(usageError)):
		return exitUsage
	case errors.As(err, new(inputError)):
		return exitInput
	case errors.Is(err, errSomeLots):
		return exitSomeLots
	}
	return exitOther
}
