package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"syscall"

	"github.com/alecthomas/kong"

	"github.com/acreband/acreband/cmd/acreband/internal/sweep"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/lots"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/resume"
)

type rasterCmd struct {
	Elevation []string  `required:"" sep:"none" placeholder:"PATH" help:"Elevation, as for 'acreband map'. Where its rasters lie on several grids each gets a folder in DIR."`
	More      []string  `arg:"" optional:"" name:"raster" help:"Further elevation."`
	Fleet     string    `placeholder:"FILE" help:"Fleet file; see 'acreband fleet'. Default: the built-in fleet."`
	Units     unitsFlag `default:"us" placeholder:"us|metric" help:"Units of what is told, in the files too: feet, or meters."`
	elevationFlags
	ElevationError string   `placeholder:"LENGTH|KIND" help:"Standard deviation of a height, for --cautious, such as 0.15m or 6in, or a kind of elevation: ${kinds}. Default: assumed from the cell."`
	Cautious       bool     `help:"Draw zones by the slope that ground may have at the upper end of the elevation's error."`
	WaterIsGround  bool     `help:"Let machines onto water, which is dead flat or nearly so; it is no-go otherwise."`
	Ground         string   `placeholder:"dry|wet" enum:"dry,wet" default:"dry" help:"State of the ground that bands are drawn for."`
	SlopeScale     string   `placeholder:"cell|machine" help:"Scale at which slope is taken: single cells, or the ground under a machine. Default: machine, where cells are less than half of it."`
	Out            string   `required:"" placeholder:"DIR" help:"Folder for the files that are written, and for what is kept until they are whole."`
	Write          []string `default:"bands.tif,slope.tif" placeholder:"NAME" help:"Files to write: bands.tif, slope.tif."`
	Workers        int      `default:"${workers}" help:"Pieces that are worked at once."`
	Anew           bool     `help:"Begin again, whatever an earlier run left in DIR."`
	Progress       string   `default:"auto" enum:"auto,json,none" placeholder:"auto|json|none" help:"Progress on standard error: a bar on a terminal and lines elsewhere, JSON lines for scripts, or none."`
}

// notRasterInputs are flags of raster that change no result, those whose files are looked into,
// and units, which a run knows itself.
var notRasterInputs = []string{"help", "version", "elevation", "fleet", "out", "write", "units", "workers", "anew", "progress", "offline", "cache", "cache-limit"}

func (c *rasterCmd) Run(s streams, k *kong.Context) error {
	config, err := c.config(k)
	if err != nil {
		return err
	}
	collectOften()
	show := newProgress(c.Progress, s.err)
	var mu sync.Mutex
	config.Tell = func(step string, done, total int) {
		mu.Lock()
		defer mu.Unlock()
		show.tell(lots.Progress{Step: step, Done: done, Total: total})
	}
	stop, done := stopOnInterrupt(s.err)
	defer done()
	undo := context.AfterFunc(stop.Now, func() { os.Exit(exitOther) }) // what is whole is kept
	result, err := sweep.Run(stop.Soon, config)
	undo()
	show.done()
	if err != nil {
		return asRasterExit(err)
	}
	return c.tellResult(s.err, config, result)
}

// config is the run that the flags ask for.
func (c *rasterCmd) config(k *kong.Context) (config sweep.Config, err error) {
	config = sweep.Config{Elevation: append(c.Elevation, c.More...), Version: version(), Dir: c.Out, Workers: c.Workers, Anew: c.Anew}
	for _, name := range c.Write {
		switch name {
		case sweep.BandsName:
			config.Bands = true
		case sweep.SlopeName:
			config.Slope = true
		default:
			return config, usageError{fmt.Errorf("--write: %q is no output; those are %s and %s", name, sweep.BandsName, sweep.SlopeName)}
		}
	}
	scale := mapping.Scale(c.SlopeScale)
	if !slices.Contains([]mapping.Scale{mapping.AutoScale, mapping.CellScale, mapping.MachineScale}, scale) {
		return config, usageError{fmt.Errorf("--slope-scale %q; write cell or machine", c.SlopeScale)}
	}
	if c.Workers < 1 {
		return config, usageError{errors.New("--workers must be at least 1")}
	}
	noise, err := readNoise(c.ElevationError)
	if err != nil {
		return config, usageError{err}
	}
	if config.RasterOptions, err = c.options(); err != nil {
		return config, err
	}
	config.RasterOptions.Units = c.Units.Units
	if config.Fleet, err = readFleet(c.Fleet); err != nil {
		return config, inputError{err}
	}
	config.Options = mapping.Options{
		Scale: scale, Noise: noise, Cautious: c.Cautious, WaterIsGround: c.WaterIsGround, Ground: zoning.Moisture(c.Ground), SlopeOnly: true, Units: c.Units.Units,
	}
	if config.Settings, err = settingsOf(k.Flags(), notRasterInputs); err != nil {
		return config, inputError{err}
	}
	return config, checkFolder(c.Out)
}

// asRasterExit sorts the errors of a run by whose fault they are.
func asRasterExit(err error) error {
	var disk *os.PathError
	switch {
	case errors.Is(err, sweep.ErrStopped) || errors.Is(err, syscall.ENOSPC) || errors.As(err, &disk) || errors.As(err, new(*os.LinkError)):
		return err
	case errors.Is(err, resume.ErrInputs), errors.Is(err, resume.ErrChanged), errors.Is(err, raster.ErrGrids), errors.Is(err, sweep.ErrPieces), errors.Is(err, mapping.ErrTooCoarse):
		return inputError{err}
	}
	return err
}

func (c *rasterCmd) tellResult(w io.Writer, config sweep.Config, r sweep.Result) error {
	if n := len(r.Grids); n > 1 {
		fmt.Fprintf(w, "the rasters lie on %d grids, each with a folder of its own; where they overlap each has its own answer\n", n)
	}
	for _, g := range r.Grids {
		if len(r.Grids) > 1 {
			others := ""
			if n := len(g.Of) - 1; n > 0 {
				others = fmt.Sprintf(", and %d more on its grid", n)
			}
			fmt.Fprintf(w, "\n%s%s\n", g.Of[0], others)
		}
		fmt.Fprintf(w, "%d columns × %d rows in %d pieces", g.Cols, g.Rows, g.Pieces)
		if g.Again > 0 {
			fmt.Fprintf(w, "; %d of them by an earlier start", g.Again)
		}
		fmt.Fprintf(w, "\nslope  %s\n", g.Scale)
		for _, f := range []struct {
			wanted bool
			name   string
		}{{config.Bands, sweep.BandsName}, {config.Slope, sweep.SlopeName}} {
			if f.wanted {
				fmt.Fprintln(w, "wrote ", filepath.Join(g.Dir, f.name))
			}
		}
	}
	fmt.Fprintln(w, "\n"+zoning.BySlopeAlone)
	for _, caution := range zoning.Cautions(config.Options.Units) {
		fmt.Fprintln(w, caution)
	}
	return nil
}
