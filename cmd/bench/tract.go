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

// tractRun maps the tract once, at the default scale and with the picture, and
// says whether its goal is missed.
func tractRun(out io.Writer, dir string, j job) (missed bool, err error) {
	g := &contender{name: "G  acreband map, 10 000 acres", args: []string{filepath.Join(dir, "acreband"), "map",
		"--elevation", j.elevation, "--parcel", tractIn(dir), "--out", filepath.Join(dir, "g")}}
	if err := g.run(true); err != nil {
		return false, err
	}
	fmt.Fprintf(out, "10 000 acres at 1 m, %.1f million cells, once, at the default scale, with the picture%s\n", 4*tractHalf*tractHalf/1e6, load())
	fmt.Fprintf(out, "  %-38s %9.1f s, CPU %.1f s, peak %.1f MB\n", g.name, g.wall[0].Seconds(), g.cpu[0].Seconds(), megabytes(g.peakBytes))
	peak := goal{"peak of G", float64(g.peakBytes) / (1 << 30), "under", mostTractGiB, " GiB"}
	fmt.Fprintln(out, " ", peak)
	return !peak.met(), nil
}
