// Command floor does what no program that maps a parcel through GDAL can do
// without: it opens a raster, reads a window, makes one coordinate transform
// from the raster's CRS to WGS84, and exits. Its time is the floor that whole
// runs are compared with.
//
//	floor RASTER COLUMN ROW COLUMNS ROWS
package main

import (
	"errors"
	"fmt"
	"os"
	"strconv"

	"github.com/airbusgeo/godal"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "floor:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) != 5 {
		return errors.New("usage: floor RASTER COLUMN ROW COLUMNS ROWS")
	}
	var w [4]int
	for i, a := range args[1:] {
		var err error
		if w[i], err = strconv.Atoi(a); err != nil {
			return fmt.Errorf("window: %w", err)
		}
	}
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return err
	}
	ds, err := godal.Open(args[0], godal.RasterOnly())
	if err != nil {
		return err
	}
	heights := make([]float32, w[2]*w[3])
	if err := ds.Bands()[0].Read(w[0], w[1], heights, w[2], w[3]); err != nil {
		return err
	}
	wgs84, err := godal.NewSpatialRefFromEPSG(4326)
	if err != nil {
		return err
	}
	transform, err := godal.NewTransform(ds.SpatialRef(), wgs84)
	if err != nil {
		return err
	}
	g, err := ds.GeoTransform()
	if err != nil {
		return err
	}
	x := []float64{g[0] + float64(w[0])*g[1]}
	y := []float64{g[3] + float64(w[1])*g[5]}
	if err := transform.TransformEx(x, y, nil, nil); err != nil {
		return err
	}
	return ds.Close()
}
