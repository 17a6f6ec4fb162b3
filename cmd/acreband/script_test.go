package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts in testdata/script run the command line as people do. Beside
// testscript's own commands they have
//
//	exits CODE COMMAND ...   runs a command, which must exit with that code
//	fits LINES COLUMNS FILE  a text, such as stdout, has no more lines nor wider ones
//	holds DIR NAME ...       a folder holds these files and nothing else
//	dem FLAGS FILE           writes an elevation raster (dem_test.go)
//	box FLAGS RASTER C0 R0 C1 R1 FILE
//	                         writes a boundary on a raster (box_test.go)
//	disk DIR SIZE            makes a small disk of a folder (disk_test.go)
//	zones FILE               lists the zones of a zone map (zones_test.go)
//	speaks us|metric FILE... holds no word of the other system of units (speaks_test.go)
//	endless FILE             writes a GeoPackage that never ends (endless_test.go)
//
// and in the environment $DEM and $PARCEL, the demo's elevation and boundary, and
// $SITE and $CREEK, the folders of invented sites, and $LOTS, an invented subdivision.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup:               setup,
		Condition:           condition,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":  exits,
			"fits":   fits,
			"holds":  holds,
			"disk":   disk,
			"speaks": speaks,
		},
	})
}

func TestMain(m *testing.M) {
	if len(os.Args) == 2 && os.Args[1] == "reader" { // a server in a test starts this program again
		main()
	}
	testscript.Main(m, map[string]func(){
		"acreband": main, "dem": writeDEM, "box": writeBox, "zones": listZones, "endless": writeEndless,
	})
}

func setup(env *testscript.Env) error {
	for name, path := range map[string]string{
		"DEM": "../../testdata/jacksboro_dem.tif", "PARCEL": "../../examples/screening/parcel.geojson",
		"SITE": "../../examples/site", "CREEK": "../../examples/creek", "LOTS": "../../testdata/tracts.geojson",
	} {
		abs, err := filepath.Abs(path)
		if err != nil {
			return err
		}
		env.Setenv(name, abs)
	}
	for _, name := range []string{"GDAL_DATA", "PROJ_LIB", "PROJ_DATA"} { // where GDAL is not at home
		if v, ok := os.LookupEnv(name); ok {
			env.Setenv(name, v)
		}
	}
	return nil
}

// condition adds [root]: who may write into any folder; and [disk]: where disk works.
func condition(name string) (bool, error) {
	switch name {
	case "root":
		return os.Geteuid() == 0, nil
	case "disk":
		return canMount(), nil
	}
	return false, errors.New("unknown condition " + name)
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var failed *exec.ExitError
		if !errors.As(err, &failed) {
			ts.Fatalf("%v", err)
		}
		got = failed.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d: %s", got, want, strings.Join(args[1:], " "))
	}
}

func holds(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: holds DIR NAME ...")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	slices.Sort(args[1:])
	if !slices.Equal(names, args[1:]) {
		ts.Fatalf("%s holds %q, want %q", args[0], names, args[1:])
	}
}

func fits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: fits LINES COLUMNS FILE")
	}
	most, err := strconv.Atoi(args[0])
	ts.Check(err)
	width, err := strconv.Atoi(args[1])
	ts.Check(err)
	lines := strings.Split(strings.TrimSuffix(ts.ReadFile(args[2]), "\n"), "\n")
	if len(lines) > most {
		ts.Fatalf("%s has %d lines, and %d are the most", args[2], len(lines), most)
	}
	for _, line := range lines {
		if n := utf8.RuneCountInString(line); n > width {
			ts.Fatalf("a line of %s has %d characters, and %d are the most: %s", args[2], n, width, line)
		}
	}
}
