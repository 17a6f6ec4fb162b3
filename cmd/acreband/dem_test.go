package main

import (
	"errors"
	"flag"
	"fmt"
	"log"
	"math"

	"github.com/airbusgeo/godal"
)

// writeDEM is the script command dem: a plane as a GeoTIFF. Its slope is in
// heights a map unit, whatever either is measured in.
func writeDEM() {
	log.SetFlags(0)
	crs := flag.String("crs", "EPSG:32616", "CRS, with + for a vertical one; none leaves it out")
	west := flag.Float64("west", 747000, "western edge")
	north := flag.Float64("north", 4025600, "northern edge")
	cell := flag.Float64("cell", 10, "cell in map units")
	cols := flag.Int("cols", 60, "columns")
	rows := flag.Int("rows", 60, "rows")
	slope := flag.Float64("slope", 20, "slope in percent")
	toward := flag.Float64("toward", 90, "azimuth of the rise")
	lowest := flag.Float64("height", 300, "height of the middle")
	void := flag.Int("void", 0, "columns in the west without elevation")
	flag.Parse()
	if flag.NArg() != 1 {
		log.Fatal("usage: dem FLAGS FILE")
	}

	const nodata = -9999
	sin, cos := math.Sincos(*toward * math.Pi / 180)
	z := make([]float32, *cols**rows)
	for i := range z {
		x, y := float64(i%*cols)-float64(*cols)/2, float64(*rows)/2-float64(i / *cols)
		z[i] = float32(*lowest + *slope/100**cell*(x*sin+y*cos))
		if i%*cols < *void {
			z[i] = nodata
		}
	}
	if err := saveDEM(flag.Arg(0), *crs, [6]float64{*west, *cell, 0, *north, 0, -*cell}, z, *cols, nodata); err != nil {
		log.Fatal("dem: ", err)
	}
}

func saveDEM(path, crs string, place [6]float64, z []float32, cols int, nodata float64) (err error) {
	if err := godal.RegisterRaster(godal.GTiff); err != nil {
		return err
	}
	rows := len(z) / cols
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, cols, rows)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, ds.Close()) }()
	if crs != "none" {
		sr, err := godal.NewSpatialRef(crs)
		if err != nil {
			return fmt.Errorf("%s: %w", crs, err)
		}
		defer sr.Close()
		if err := ds.SetSpatialRef(sr); err != nil {
			return err
		}
	}
	if err := ds.SetGeoTransform(place); err != nil {
		return err
	}
	if err := ds.SetNoData(nodata); err != nil {
		return err
	}
	return ds.Bands()[0].Write(0, 0, z, cols, rows)
}
