package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/raster"
)

// What whole rasters have to keep.
const (
	mostOverDecoding   = 1.7  // bands alone, times GDAL's time to decode the raster
	mostBothOverDecode = 2.5  // bands and slope
	leastUnderGdaldem  = 1.0  // times faster than GDAL's slope, packed
	mostSlopeOfInput   = 0.4  // bytes of slope.tif over those of the raster
	mostSlopeOff       = 0.01 // points of percent, from a slope that nobody rounded
)

// rasterRuns measures bands and slope of the whole raster against GDAL only decoding it and
// against GDAL's slope of it, and what the slopes' file takes.
func rasterRuns(out io.Writer, dir string, j job, rounds int) (missed bool, err error) {
	in := func(name string) string { return filepath.Join(dir, name) }
	for _, tool := range []string{"gdal_translate", "gdaldem"} {
		if _, err := exec.LookPath(tool); err != nil {
			fmt.Fprintf(out, "  acreband raster was not measured: %s not found (Debian, Ubuntu: apt-get install gdal-bin)\n", tool)
			return false, nil
		}
	}
	judged := func(outDir, what string) []string {
		return []string{in("acreband"), "raster", "--elevation", j.elevation, "--slope-scale", "cell", "--write", what, "--out", in(outDir), "--anew", "--progress", "none"}
	}
	bands := &contender{name: "Q  acreband raster, bands", args: judged("raster-bands", "bands.tif")}
	both := &contender{name: "S  acreband raster, bands and slope", args: judged("raster", "bands.tif,slope.tif")}
	decodes := &contender{name: "R  GDAL decodes it", args: []string{"gdal_translate", "-q", "-of", "MEM", "-oo", "NUM_THREADS=ALL_CPUS", j.elevation, "none"}}
	dem := &contender{name: "T  gdaldem slope, deflate", args: []string{"gdaldem", "slope", "-q", "-p", "-co", "COMPRESS=DEFLATE", j.elevation, in("gdaldem.tif")}}
	if err := race(min(rounds, rasterRounds), []*contender{bands, both, decodes, dem}); err != nil {
		return false, err
	}
	fmt.Fprintf(out, "Whole raster of %d × %d cells, cloud-optimised, %d rounds side by side%s\n", rasterSize, rasterSize, min(rounds, rasterRounds)-1, load())
	table(out, bands, both, decodes, dem)
	share, err := bytesOver(in("raster/slope.tif"), j.elevation)
	if err != nil {
		return false, err
	}
	demShare, err := bytesOver(in("gdaldem.tif"), j.elevation)
	if err != nil {
		return false, err
	}
	goals := []goal{
		{"Q over R", ratio(bands.wall, decodes.wall), "at most", mostOverDecoding, ""},
		{"S over R", ratio(both.wall, decodes.wall), "at most", mostBothOverDecode, ""},
		{"T over S", ratio(dem.wall, both.wall), "at least", leastUnderGdaldem, ""},
		{"slope.tif", share, "at most", mostSlopeOfInput, " of the raster's bytes"},
	}
	for _, g := range goals {
		fmt.Fprintln(out, " ", g)
		missed = missed || !g.met()
	}
	fmt.Fprintf(out, "  gdaldem's slopes take %.2f of the raster's bytes\n", demShare)
	fmt.Fprintf(out, "  processor time: Q over R %.2f, S over R %.2f, T over S %.2f   no goal\n", ratio(bands.cpu, decodes.cpu), ratio(both.cpu, decodes.cpu), ratio(dem.cpu, both.cpu))
	off, err := mostOff(in("raster/slope.tif"), j.elevation)
	if err != nil {
		return false, err
	}
	g := goal{"S is off", off, "at most", mostSlopeOff, " points"}
	fmt.Fprintln(out, " ", g)
	return missed || !g.met(), nil
}

// rasterRounds is the most rounds of this race, the first of them not counted.
const rasterRounds = 6

func bytesOver(a, b string) (float64, error) {
	var sizes [2]int64
	for i, path := range []string{a, b} {
		info, err := os.Stat(path)
		if err != nil {
			return 0, err
		}
		sizes[i] = info.Size()
	}
	return float64(sizes[0]) / float64(sizes[1]), nil
}

// mostOff is how far, in points of percent, slopes in a file are from those found anew, over
// squares in the middle of the raster and in two corners.
func mostOff(slopes, elevation string) (float64, error) {
	r, err := raster.Open(context.Background(), elevation, raster.Options{})
	if err != nil {
		return 0, err
	}
	defer r.Close()
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return 0, err
	}
	ds, err := godal.Open(slopes)
	if err != nil {
		return 0, err
	}
	defer ds.Close()
	most := 0.0
	const side = 800
	for _, at := range [...]float64{10, (rasterSize - side) / 2, rasterSize - side - 10} {
		ring, err := r.Locate([][2]float64{{at, at}, {at + side, at}, {at + side, at + side}, {at, at + side}, {at, at}})
		if err != nil {
			return 0, err
		}
		ground := make(orb.Ring, len(ring))
		for i, p := range ring {
			ground[i] = p
		}
		e, err := raster.Read(context.Background(), []*raster.Raster{r}, orb.MultiPolygon{{ground}})
		if err != nil {
			return 0, err
		}
		g := e.Grid
		field, err := slope.Of(g)
		if err != nil {
			return 0, err
		}
		written := make([]float32, g.Cols*g.Rows)
		if err := ds.Bands()[0].Read(g.Col0, g.Row0, written, g.Cols, g.Rows); err != nil {
			return 0, err
		}
		for row := 1; row < g.Rows-1; row++ {
			for col := 1; col < g.Cols-1; col++ {
				most = max(most, math.Abs(float64(written[row*g.Cols+col])-field.Pct(col, row)))
			}
		}
	}
	return most, nil
}
