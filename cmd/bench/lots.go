package main

import (
	"bufio"
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/acreband/acreband/terrain"
)

//go:embed per_lot.py
var perLotScript []byte

// lotSide is that of a square acre, in cells of 1 m.
const lotSide = 63.615

func lotsIn(dir string, n int) string { return filepath.Join(dir, fmt.Sprintf("lots-%d.geojson", n)) }

// makeLots writes square acres all over the raster, in no order: always the same ones.
func makeLots(dir string, n int) error {
	r := rand.New(rand.NewPCG(7, 8))
	var b strings.Builder
	b.WriteString("{\"type\": \"FeatureCollection\", \"features\": [\n")
	for i := range n {
		x, y := 100+r.Float64()*(rasterSize-200), 100+r.Float64()*(rasterSize-200)
		sin, cos := math.Sincos(r.Float64() * math.Pi / 2)
		var corners [][2]float64
		for _, c := range [][2]float64{{-0.5, -0.5}, {0.5, -0.5}, {0.5, 0.5}, {-0.5, 0.5}} {
			dx, dy := c[0]*lotSide, c[1]*lotSide
			corners = append(corners, [2]float64{x + dx*cos - dy*sin, y + dx*sin + dy*cos})
		}
		ring, err := parcelRing(corners)
		if err != nil {
			return err
		}
		text, err := json.Marshal(ring)
		if err != nil {
			return err
		}
		if i > 0 {
			b.WriteString(",\n")
		}
		fmt.Fprintf(&b, `{"type": "Feature", "properties": {"lot": "%d"}, "geometry": {"type": "Polygon", "coordinates": [%s]}}`, i+1, text)
	}
	b.WriteString("\n]}\n")
	return os.WriteFile(lotsIn(dir, n), []byte(b.String()), 0o666)
}

// python finds an interpreter that has what the script asks for; "" and what is missing
// where there is none.
func python() (path, missing string) {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		said, err := exec.Command(name, "-c", "import numpy, rasterio, shapely").CombinedOutput()
		if err == nil {
			return name, ""
		}
		missing = lastLine(said)
	}
	return "", missing
}

// lotsRuns races runs of many lots with one and with two workers and the script, once
// each, and says whether a goal is missed. Both make the same zones, by slope alone at
// cell scale; a run with all rules at the default scale is measured beside.
func lotsRuns(out io.Writer, dir string, j job, n int) (missed bool, err error) {
	in := func(name string) string { return filepath.Join(dir, name) }
	lots := lotsIn(dir, n)
	if err := inChild(fmt.Sprint("--make-lots=", n), dir); err != nil {
		return false, fmt.Errorf("making the lots: %w", err)
	}
	run := func(name string, workers int, more ...string) *contender {
		return &contender{name: name, args: append([]string{in("acreband"), "lots", "--elevation", j.elevation, "--parcels", lots, "--id", "lot",
			"--out", in("lots"), "--anew", "--progress", "none", "--write", "lots.csv,zones.geojson,failed.csv", "--workers", fmt.Sprint(workers)}, more...)}
	}
	bySlope := []string{"--slope-only", "--slope-scale", "cell", "--fleet", in("fleet.yaml")}
	k := run("K  acreband lots, 2 workers", 2, bySlope...)
	l := run("L  acreband lots, 1 worker", 1, bySlope...)
	m := run("M  acreband lots, all rules, 2 workers", 2)
	script := in("per_lot.py")
	if err := os.WriteFile(script, perLotScript, 0o666); err != nil {
		return false, err
	}
	all := []*contender{m, l, k} // K last: what it wrote is compared
	py, missing := python()
	p := &contender{name: "P  a script, lot after lot", args: []string{py, script, j.elevation, lots, in("lots.geojsons")}}
	if missing == "" {
		all = append(all, p)
	}
	for _, c := range all {
		if err := c.run(true); err != nil {
			return false, err
		}
	}
	fmt.Fprintf(out, "%d lots of an acre in no order on the same raster, once each%s\n", n, load())
	fmt.Fprintf(out, "  %-38s %9s %9s %9s %9s\n", "", "s", "lots/s", "CPU s", "peak MB")
	for _, c := range all {
		s := c.wall[0].Seconds()
		fmt.Fprintf(out, "  %-38s %9.1f %9.0f %9.1f %9.1f\n", c.name, s, float64(n)/s, c.cpu[0].Seconds(), megabytes(c.peakBytes))
	}
	// The peak is that of the largest process. Two workers are at work, and one that
	// looks after them and holds no elevation; what they share is counted with each.
	goals := []goal{
		{"L over K", ratio(l.wall, k.wall), "at least", leastByTwoWorkers, ""},
		{"M a lot", ms(m.wall[0]) / float64(n), "at most", mostLotMS, " ms"},
		{"2 × peak", 2 * megabytes(k.peakBytes), "under", mostLotsMB, " MB"},
	}
	if missing == "" {
		goals = append(goals, goal{"P over K", ratio(p.wall, k.wall), "at least", leastUnderScript, ""})
	} else {
		fmt.Fprintf(out, "  P was not run: %s (Debian, Ubuntu: apt-get install python3-rasterio python3-shapely)\n", missing)
	}
	for _, g := range goals {
		fmt.Fprintln(out, " ", g)
		missed = missed || !g.met()
	}
	if missing != "" {
		return missed, nil
	}
	return missed, compareLots(out, in("lots/zones.geojson"), in("lots.geojsons"))
}

// compareLots says how far apart the acres of both products are.
func compareLots(out io.Writer, acreband, script string) error {
	ours, err := acresByAcreband(acreband)
	if err != nil {
		return err
	}
	f, err := os.Open(script)
	if err != nil {
		return err
	}
	defer f.Close()
	theirs := make([]float64, len(classes))
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<26)
	for lines.Scan() {
		var zone struct {
			Properties struct {
				Class int
				M2    float64
			}
		}
		if err := json.Unmarshal(lines.Bytes(), &zone); err != nil {
			return fmt.Errorf("%s: %w", script, err)
		}
		theirs[zone.Properties.Class-1] += zone.Properties.M2 / terrain.SquareMetresPerAcre
	}
	most, all := 0.0, 0.0
	for i := range classes {
		most, all = max(most, math.Abs(ours[i]-theirs[i])), all+ours[i]
	}
	fmt.Fprintf(out, "  K's and P's acres of a band differ by %.3f of %.1f at most\n", most, all)
	return lines.Err()
}
