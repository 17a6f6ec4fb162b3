package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

// wholeRuns races the programs and says which goals are met.
func wholeRuns(out io.Writer, dir string, j job, rounds int) (missed bool, err error) {
	in := func(name string) string { return filepath.Join(dir, name) }
	w := strings.Fields(fmt.Sprint(j.Window.Col, j.Window.Row, j.Window.Cols, j.Window.Rows))
	tools := func(outDir, dissolve string) []string {
		args := append([]string{"sh", in("gdal_tools.sh"), j.elevation, j.parcel, in(outDir)}, w...)
		return append(args, dissolve)
	}
	a := &contender{name: "A  acreband map", args: []string{in("acreband"), "map", "--elevation", j.elevation, "--parcel", j.parcel, "--slope-scale", "cell", "--slope-only", "--write", "geojson,png",
		"--fleet", in("fleet.yaml"), "--out", in("a")}}
	b := &contender{name: "B  the floor", args: append([]string{in("floor"), j.elevation}, w...)}
	c := &contender{name: "C  GDAL's tools", args: tools("c", "ST_Union")}
	d := &contender{name: "D  as C, but gathered, not dissolved", args: tools("d", "ST_Collect")}

	n := &contender{name: "N  acreband map, all rules and files", args: []string{in("acreband"), "map", "--elevation", j.elevation, "--parcel", j.parcel, "--out", in("n")}}

	all := []*contender{a, b, n}
	skip := missingTools()
	if skip == "" {
		all = append(all, c, d)
	}
	if err := race(rounds, all); err != nil {
		return false, err
	}
	fmt.Fprintf(out, "Whole runs, 45 acres of %d × %d cells at 1 m, %d rounds side by side%s\n", rasterSize, rasterSize, rounds-1, load())
	table(out, all...)
	goals := []goal{{"A over B", ratio(a.wall, b.wall), "at most", mostOverFloor, ""}, {"N", ms(median(n.wall)), "at most", mostUsualMS, " ms"}}
	if skip == "" {
		goals = append(goals, goal{"C over A", ratio(c.wall, a.wall), "at least", leastUnderTools, ""})
	}
	goals = append(goals, goal{"peak of A", megabytes(a.peakBytes), "under", mostPeakMB, " MB"})
	for _, g := range goals {
		fmt.Fprintln(out, " ", g)
		missed = missed || !g.met()
	}
	if skip != "" {
		fmt.Fprintf(out, "  C over A   not measured: %s (Debian, Ubuntu: apt-get install gdal-bin python3-gdal)\n", skip)
		return missed, nil
	}
	fmt.Fprintf(out, "  D over A  %6.2f   no goal\n", ratio(d.wall, a.wall))
	return missed, compare(out, in("a/zones.geojson"), in("c/zones.geojson"))
}

// compare says how far apart the acres of the two products are: small, or they
// are not the same product.
func compare(out io.Writer, acreband, tools string) error {
	ours, err := acresByAcreband(acreband)
	if err != nil {
		return err
	}
	theirs, err := acresByTools(tools)
	if err != nil {
		return err
	}
	most := 0.0
	for i := range classes {
		most = max(most, math.Abs(ours[i]-theirs[i]))
	}
	fmt.Fprintf(out, "  A's and C's acres of a zone differ by %.3f at most\n", most)
	return nil
}

func ms(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
func megabytes(n int64) float64  { return float64(n) / (1 << 20) }

// load tells how busy the machine is, where it says so.
func load() string {
	text, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return ""
	}
	return fmt.Sprintf(" (load %s on %d processors)", strings.Fields(string(text))[0], runtime.NumCPU())
}
