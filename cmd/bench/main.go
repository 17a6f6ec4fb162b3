// Command bench measures what mapping a parcel takes: whole runs of acreband
// side by side with the floor (a program that only opens the raster, reads the
// window and makes one coordinate transform) and with a script of GDAL's tools
// that makes the same zones, on 45 acres of a 10 000 × 10 000 raster at 1 m; then
// the slope kernel on one core.
//
// The raster is made once, by formula, and kept in the user's cache folder.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
)

var errMissed = errors.New("a goal was missed")

func main() {
	var o options
	flag.StringVar(&o.dir, "dir", "", "folder for the raster and the programs, about 300 MB (default: the user's cache folder)")
	flag.IntVar(&o.rounds, "rounds", 11, "rounds, of which the first is not counted")
	flag.BoolVar(&o.check, "check", false, "exit with 1 where a goal is missed")
	flag.BoolVar(&o.makeOnly, "make", false, "only make the raster and the parcel, anew")
	flag.Parse()
	if err := bench(os.Stdout, o); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

type options struct {
	dir             string
	rounds          int
	check, makeOnly bool
}

func bench(out io.Writer, o options) error {
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
	j, err := ready(out, dir)
	if err != nil {
		return err
	}
	if err := build(dir); err != nil {
		return err
	}
	missed, err := wholeRuns(out, dir, j, o.rounds)
	if err != nil {
		return err
	}
	fmt.Fprintln(out)
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

// ready returns the kept job, or makes it: in a process of its own, since the
// memory that takes would count as that of every program started afterwards.
func ready(out io.Writer, dir string) (job, error) {
	if j, ok, err := kept(dir); ok || err != nil {
		return j, err
	}
	fmt.Fprintf(out, "Making %s, once\n", jobIn(dir).elevation)
	self, err := os.Executable()
	if err != nil {
		return job{}, err
	}
	cmd := exec.Command(self, "--make", "--dir", dir)
	cmd.Stderr = os.Stderr
	if err := cmd.Run(); err != nil {
		return job{}, fmt.Errorf("making the raster: %w", err)
	}
	j, ok, err := kept(dir)
	if err == nil && !ok {
		err = fmt.Errorf("%s was made but is not as it should be", j.elevation)
	}
	return j, err
}

func build(dir string) error {
	const module = "github.com/acreband/acreband"
	cmd := exec.Command("go", "build", "-o", dir+string(filepath.Separator), module+"/cmd/acreband", module+"/cmd/bench/floor")
	if said, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("building acreband and the floor: %w\n%s", err, said)
	}
	return os.WriteFile(filepath.Join(dir, "gdal_tools.sh"), toolsScript, 0o777)
}
