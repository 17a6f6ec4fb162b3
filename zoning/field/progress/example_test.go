package progress_test

import (
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/field/progress"
)

// Half of a lot of level ground is worked in a day; what is left is reckoned at that rate.
// plan.WorkMap gives the Map of a ground and zone map.
func ExampleTally() {
	const cols, rows = 100, 100
	grid, err := terrain.NewGrid(make([]float32, cols*rows), cols, rows, 1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fleet := []zoning.Machine{{Key: "loader", Name: "Loader", LimitPct: 30}}
	slopes, err := slope.Of(grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Frame: grid.Frame}}
	for i := range cells.Masks {
		cells.Masks[i] = 1 // the loader's
	}
	box := func(c0, r0, c1, r1 float64) orb.MultiPolygon {
		at := func(col, row float64) orb.Point {
			lon, lat := grid.Frame.LonLat(col, row)
			return orb.Point{lon, lat}
		}
		return orb.MultiPolygon{{{at(c0, r1), at(c1, r1), at(c1, r0), at(c0, r0), at(c0, r1)}}}
	}
	lot, err := zoning.MapLot(cells, slopes, fleet, nil, zoning.Parcel{Lot: "7", Ground: box(10, 10, 90, 90)})
	if err != nil {
		fmt.Println(err)
		return
	}
	worked := []progress.Worked{{Day: "2026-05-04", Machine: "loader", Hours: 4, Ground: box(10, 10, 50, 90)}}
	report, err := progress.Tally(progress.Map{Cells: cells, Fleet: fleet, Lots: []zoning.LotMap{lot}}, worked, nil, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	z := report.Zones[0]
	fmt.Printf("%s: %.2f of %.2f acres done\n", z.Band, z.DoneAcres, z.Acres)
	fmt.Printf("%.2f acres an hour; %.2f acres and %.1f hours left\n", report.Paces[0].PerHour(), report.Left[0].Acres, report.Left[0].Hours)
	// Output:
	// loader: 0.79 of 1.58 acres done
	// 0.20 acres an hour; 0.79 acres and 4.0 hours left
}
