package gdal_test

import (
	"bytes"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/write"
	"github.com/acreband/acreband/zoning/write/gdal"
)

// A lot on ground that rises 20% to the east, as a GeoPackage.
func ExampleGeoPackage() {
	const cols, rows = 12, 10
	heights := make([]float32, cols*rows)
	for i := range heights {
		heights[i] = float32(2 * (i % cols)) // cells of 10 m
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 10, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	field, err := slope.Of(grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	// Every cell is the loader's.
	masks := make([]zoning.Mask, cols*rows)
	for i := range masks {
		masks[i] = 1
	}
	cells := &zoning.Cells{Window: coverage.Window{Masks: masks, Cols: cols, Rows: rows, Frame: grid.Frame}}
	west, north := grid.Frame.LonLat(2, 2)
	east, south := grid.Frame.LonLat(10, 8)
	ring := orb.Ring{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}
	fleet := zoning.Fleet{{Key: "loader", Name: "Loader", LimitPct: 30}}
	lot, err := zoning.MapLot(cells, field, fleet, nil, zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	zm := &zoning.ZoneMap{Fleet: fleet, Lots: []zoning.LotMap{lot}, Cautions: zoning.Cautions(measure.US)}
	gate := []write.Spot{{Kind: write.Staging, Name: "Gate", At: orb.Point{west, south}}}

	var file bytes.Buffer
	if err := gdal.GeoPackage(&file, zm, gate); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%q\n", file.Bytes()[:15])
	fmt.Printf("%.2f acres, mean slope %.0f%%\n", lot.Zones[0].Acres, lot.Zones[0].SlopeMeanPct)
	// Output:
	// "SQLite format 3"
	// 1.19 acres, mean slope 20%
}
