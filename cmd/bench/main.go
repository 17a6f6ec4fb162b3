// Command bench measures what mapping a parcel takes: whole runs of acreband
// side by side with the floor (a program that only opens the raster, reads the
// window and makes one coordinate transform) and with a script of GDAL's tools
// that makes the same zones, and with a map by all rules and all its usual files,
// on 45 acres of a 10 000 × 10 000 raster at 1 m; the same acres from that raster
// as an indexed folder of 10 000 tiles, side by side with the right tiles named by
// hand; workable ground against the bands of slope alone, and up to 64 million
// cells of it; 10 000 acres at once, both ways; many lots against a script over rasterio, numpy and shapely, and with one worker
// against two; how far the acres of one ground differ as its grid is turned, moved
// and coarser; bands and slope of the whole raster against GDAL only decoding it and
// GDAL's slope of it; then the slope kernel on one core. With --banks it prints what is
// found of banks instead.
//
// The raster is made once, by formula, cut once, and kept with its tiles in the
// user's cache folder.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
)

var errMissed = errors.New("a goal was missed")

func main() {
	var o options
	flag.StringVar(&o.dir, "dir", "", "folder for the raster, its tiles, the programs and what they write, about 800 MB (default: the user's cache folder)")
	flag.IntVar(&o.rounds, "rounds", 11, "rounds, of which the first is not counted; 7 at most for the folder of tiles")
	flag.IntVar(&o.lotsOnly, "make-lots", 0, "only make so many lots, anew")
	flag.IntVar(&o.lots, "lots", 1000, "lots in the run of many; 10 000 and 100 000 are worth a look")
	flag.StringVar(&o.only, "only", "", "measure lots, raster, work or spread alone")
	flag.BoolVar(&o.banks, "banks", false, "only print what is found of banks put into made ground, and into the rasters that are named")
	flag.BoolVar(&o.check, "check", false, "exit with 1 where a goal is missed")
	flag.BoolVar(&o.makeOnly, "make", false, "only make the raster and the parcel, anew")
	flag.BoolVar(&o.cutOnly, "cut", false, "only cut the raster into tiles and make the tract of 10 000 acres, anew")
	flag.Parse()
	if err := bench(os.Stdout, o); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

type options struct {
	dir                      string
	rounds, lots, lotsOnly   int
	only                     string
	check, makeOnly, cutOnly bool
	banks                    bool
}

func bench(out io.Writer, o options) error {
	if o.banks {
		return banksTable(out, flag.Args())
	}
	if !slices.Contains([]string{"", "lots", "raster", "work", "spread"}, o.only) || o.lots < 1 {
		return fmt.Errorf("--only %q, --lots %d: write lots, raster, work or spread, and at least 1", o.only, o.lots)
	}
	if o.rounds < 2 {
		return fmt.Errorf("--rounds %d: the first is not counted, so at least 2", o.rounds)
	}
	dir, err := folder(o.dir)
	if err != nil {
		return err
	}
	if o.makeOnly {
		return makeJob(dir)
	}
	if o.cutOnly {
		return makeTiles(dir)
	}
	if o.lotsOnly > 0 {
		return makeLots(dir, o.lotsOnly)
	}
	if o.only == "spread" { // needs neither raster nor program
		missed, err := spreadRuns(out)
		if err == nil && o.check && missed {
			err = errMissed
		}
		return err
	}
	j, err := ready(out, dir)
	if err != nil {
		return err
	}
	if err := build(dir); err != nil {
		return err
	}
	many := func() (bool, error) { return lotsRuns(out, dir, j, o.lots) }
	whole := func() (bool, error) { return rasterRuns(out, dir, j, o.rounds) }
	worked := func() (bool, error) { return workRuns(out, dir, j, o.rounds) }
	if only := map[string]func() (bool, error){"lots": many, "raster": whole, "work": worked}[o.only]; only != nil {
		missed, err := only()
		if err == nil && o.check && missed {
			err = errMissed
		}
		return err
	}
	missed := false
	for _, measure := range []func() (bool, error){
		func() (bool, error) { return wholeRuns(out, dir, j, o.rounds) },
		func() (bool, error) { return folderRuns(out, dir, j, o.rounds) },
		func() (bool, error) { return tractRun(out, dir, j) },
		func() (bool, error) { return spreadRuns(out) },
		many, whole,
		// Last: what it takes in this process would count as that of programs started after.
		worked,
	} {
		m, err := measure()
		if err != nil {
			return err
		}
		missed = missed || m
		fmt.Fprintln(out)
	}
	if err := kernels(out, o.rounds); err != nil {
		return err
	}
	if o.check && missed {
		return errMissed
	}
	return nil
}

func folder(dir string) (string, error) {
	if dir == "" {
		cache, err := os.UserCacheDir()
		if err != nil {
			return "", fmt.Errorf("%w; name a folder with --dir", err)
		}
		dir = filepath.Join(cache, "acreband-bench")
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		return "", err
	}
	return dir, os.MkdirAll(dir, 0o777)
}

// ready returns the kept job, with its tiles, or makes what is missing.
func ready(out io.Writer, dir string) (job, error) {
	j, ok, err := kept(dir)
	if err == nil && !ok {
		fmt.Fprintf(out, "Making %s, once\n", j.elevation)
		if err := inChild("--make", dir); err != nil {
			return j, fmt.Errorf("making the raster: %w", err)
		}
		if j, ok, err = kept(dir); err == nil && !ok {
			err = fmt.Errorf("%s was made but is not as it should be", j.elevation)
		}
	}
	if err != nil {
		return j, err
	}
	if ok, err = keptTiles(dir, j); ok || err != nil {
		return j, err
	}
	fmt.Fprintf(out, "Cutting it into %s, once\n", tilesIn(dir))
	if err := inChild("--cut", dir); err != nil {
		return j, fmt.Errorf("cutting the raster: %w", err)
	}
	if ok, err = keptTiles(dir, j); err == nil && !ok {
		err = fmt.Errorf("%s was made but is not as it should be", tilesIn(dir))
	}
	return j, err
}

// inChild makes something in a process of its own, since the memory that takes
// would count as that of every program started afterwards.
func inChild(what, dir string) error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	cmd := exec.Command(self, what, "--dir", dir)
	cmd.Stderr = os.Stderr
	return cmd.Run()
}

func build(dir string) error {
	const module = "github.com/acreband/acreband"
	cmd := exec.Command("go", "build", "-o", dir+string(filepath.Separator), module+"/cmd/acreband", module+"/cmd/bench/floor")
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("building acreband and the floor: %w\n%s", err, said)
	}
	if err := os.WriteFile(filepath.Join(dir, "fleet.yaml"), slopeFleet, 0o666); err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "gdal_tools.sh"), toolsScript, 0o777)
}
