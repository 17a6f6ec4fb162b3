package gdal_test

import (
	"bytes"
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/write/gdal"
)

// A map of ground that rises by a tenth, as one file for other map programs.
func ExampleGeoPackage() {
	const n, cell = 60, 2e-5 // cells a side, degrees each
	lonLat := func(cells [][2]float64) ([][2]float64, error) {
		at := make([][2]float64, len(cells))
		for i, c := range cells {
			at[i] = [2]float64{-84.25 + c[0]*cell, 36.33 - c[1]*cell}
		}
		return at, nil
	}
	frame, err := terrain.NewFrame(n, 0, 0, n, n, lonLat)
	if err != nil {
		fmt.Println(err)
		return
	}
	heights := make([]float32, n*n) // meters, row-major from the north-west
	for i := range heights {
		heights[i] = 300 + 0.2*float32(i%n)
	}
	box := orb.Bound{Min: orb.Point{-84.2498, 36.3290}, Max: orb.Point{-84.2490, 36.3298}}
	ground, err := mapping.NewGround(
		&terrain.Elevation{
			Grid:    &terrain.Grid{Z: heights, Cols: n, Rows: n, Stride: n, Frame: frame},
			Sources: []terrain.Source{{Path: "invented ground", CellM: [2]float64{1.8, 2.2}}},
		},
		[]zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{box.ToPolygon()}}}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := mapping.Map(context.Background(), ground, fleet.Default(), mapping.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	var file bytes.Buffer
	if err := gdal.GeoPackage(&file, m, nil); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s\n", file.Bytes()[:15])
	// Output: SQLite format 3
}
