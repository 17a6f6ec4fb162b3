package main

import (
	"fmt"
	"io"
	"path/filepath"
)

// tractHalf is half the side of the tract, in cells.
const tractHalf = 3180.25

// tractCorners bound the square of 10 000 acres, some 40 million cells, in the
// middle of the raster.
var tractCorners = [...][2]float64{
	{rasterSize/2 - tractHalf, rasterSize/2 - tractHalf}, {rasterSize/2 + tractHalf, rasterSize/2 - tractHalf},
	{rasterSize/2 + tractHalf, rasterSize/2 + tractHalf}, {rasterSize/2 - tractHalf, rasterSize/2 + tractHalf},
}

// tractRun maps the tract once by slope alone and once with all rules, at the default
// scale and with the picture, and says whether a goal is missed.
func tractRun(out io.Writer, dir string, j job) (missed bool, err error) {
	fmt.Fprintf(out, "10 000 acres at 1 m, %.1f million cells, once each, at the default scale, with the picture%s\n", 4*tractHalf*tractHalf/1e6, load())
	for _, k := range []struct {
		name    string
		more    []string
		mostGiB float64
		mostS   float64 // 0 for no goal
	}{{"G  acreband map --slope-only", []string{"--slope-only"}, mostTractGiB, 0}, {"J  acreband map", nil, mostWorkGiB, mostWorkS}} {
		g := &contender{name: k.name, args: append([]string{filepath.Join(dir, "acreband"), "map",
			"--elevation", j.elevation, "--parcel", tractIn(dir), "--write", "geojson,png", "--out", filepath.Join(dir, "g")}, k.more...)}
		if err := g.run(true); err != nil {
			return false, err
		}
		fmt.Fprintf(out, "  %-38s %9.1f s, CPU %.1f s, peak %.1f MB\n", g.name, g.wall[0].Seconds(), g.cpu[0].Seconds(), megabytes(g.peakBytes))
		peak := goal{"peak of " + k.name[:1], float64(g.peakBytes) / (1 << 30), "under", k.mostGiB, " GiB"}
		fmt.Fprintln(out, " ", peak)
		missed = missed || !peak.met()
		if k.mostS > 0 {
			took := goal{k.name[:1], g.wall[0].Seconds(), "at most", k.mostS, " s"}
			fmt.Fprintln(out, " ", took)
			missed = missed || !took.met()
		}
	}
	return missed, nil
}
