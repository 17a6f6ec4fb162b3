package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// workRuns measures, in one process and without reading, what workable ground takes
// over the bands of slope alone, and how that grows with the cells.
func workRuns(out io.Writer, dir string, j job, rounds int) (missed bool, err error) {
	ground, err := prepared(j, j.parcel)
	if err != nil {
		return false, err
	}
	var slopeOnly, all, slopeOnlyCPU, allCPU []time.Duration
	for i := range rounds {
		for _, k := range []struct {
			o          mapping.Options
			times, cpu *[]time.Duration
		}{{mapping.Options{SlopeOnly: true}, &slopeOnly, &slopeOnlyCPU}, {mapping.Options{}, &all, &allCPU}} {
			before := processorTime()
			took, err := mapOnce(ground, k.o)
			if err != nil {
				return false, err
			}
			if i > 0 {
				*k.times, *k.cpu = append(*k.times, took), append(*k.cpu, processorTime()-before)
			}
		}
	}
	fmt.Fprintf(out, "Workable ground of the 45 acres, from one staging, dry and wet, %d rounds in one process, nothing read%s\n", rounds-1, load())
	fmt.Fprintf(out, "  %-38s %9.1f ms, CPU %.1f ms\n", "H  by slope alone", ms(median(slopeOnly)), ms(median(slopeOnlyCPU)))
	fmt.Fprintf(out, "  %-38s %9.1f ms, CPU %.1f ms\n", "I  all rules, and hazards", ms(median(all)), ms(median(allCPU)))
	times := goal{"I over H", ratio(all, slopeOnly), "at most", mostOverSlope, ""}
	fmt.Fprintln(out, " ", times)

	fmt.Fprintln(out, "  Linear in cells: all rules, once each")
	for _, side := range []float64{1000, 2000, 4000, 8000} {
		took, cells, err := squareOnce(j, dir, side)
		if err != nil {
			return false, err
		}
		fmt.Fprintf(out, "  %8.1f million cells %9.0f ms, %5.0f ns a cell\n", float64(cells)/1e6, ms(took), float64(took.Nanoseconds())/float64(cells))
	}
	return !times.met(), nil
}

// prepared reads what a map of a parcel needs; the trailer unloads in its middle.
func prepared(j job, parcel string) (*mapping.Ground, error) {
	q := read.Request{Elevation: []string{j.elevation}, Parcel: parcel}
	ground, err := read.Prepare(context.Background(), q)
	if err != nil {
		return nil, err
	}
	return ground.With(stagingIn(ground))
}

// processorTime is what this process has used of processors.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

func stagingIn(g *mapping.Ground) []site.Feature {
	var all orb.MultiPolygon
	for _, lot := range g.Lots {
		all = append(all, lot.Ground...)
	}
	return []site.Feature{{Kind: site.Staging, Place: 1, Geometry: all.Bound().Center()}}
}

func mapOnce(ground *mapping.Ground, o mapping.Options) (time.Duration, error) {
	fresh := ground.Fresh()
	start := time.Now()
	_, err := mapping.Map(context.Background(), fresh, fleet.Default(), o)
	return time.Since(start), err
}

// squareOnce maps a square in the middle of the raster.
func squareOnce(j job, dir string, side float64) (took time.Duration, cells int, err error) {
	const mid = rasterSize / 2
	half := side/2 - 0.75
	ring, err := parcelRing([][2]float64{{mid - half, mid - half}, {mid + half, mid - half}, {mid + half, mid + half}, {mid - half, mid + half}})
	if err != nil {
		return 0, 0, err
	}
	parcel := filepath.Join(dir, "square.geojson")
	if err := writeParcel(parcel, ring); err != nil {
		return 0, 0, err
	}
	defer os.Remove(parcel)
	ground, err := prepared(j, parcel)
	if err != nil {
		return 0, 0, err
	}
	took, err = mapOnce(ground, mapping.Options{})
	return took, len(ground.Elevation.Grid.Z), err
}
