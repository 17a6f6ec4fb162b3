package field_test

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/trafficability"
)

// Spots of a made map are picked, one is read, and the map is judged by the reading. With a
// ground and map of package mapping, field.GroundOf gives what Pick takes.
func Example() {
	const cols, rows = 60, 60
	heights := make([]float32, cols*rows) // meters; 26% in the west, 45% in the east
	for i := range heights {
		x := float64(i%cols) + 0.5
		heights[i] = float32(200 + 0.26*x + 0.19*math.Max(x-30, 0))
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fleet := []zoning.Machine{{Key: "loader", Name: "Loader", LimitPct: 30}, {Key: "crawler", Name: "Crawler", LimitPct: 60}}
	slopes, err := slope.Of(grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Frame: grid.Frame}}
	if err := trafficability.Stand(slopes, fleet, cells.Masks); err != nil {
		fmt.Println(err)
		return
	}
	at := func(col, row float64) orb.Point {
		lon, lat := grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	ring := orb.Ring{at(5, 55), at(55, 55), at(55, 5), at(5, 5), at(5, 55)}
	lot, err := zoning.MapLot(cells, slopes, fleet, nil, zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}})
	if err != nil {
		fmt.Println(err)
		return
	}

	ground := field.Ground{Cells: cells, Grid: grid, Field: slopes, Lots: []zoning.LotMap{lot}, Fleet: fleet}
	checks, err := field.Pick(ground, field.Options{PerZone: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range checks.Spots {
		fmt.Printf("%s %s: mapped %.0f%%, limit %.0f%%, %d picked for: %s\n", s.ID, s.Band, s.MappedPct, s.LimitPct, len(s.Why), s.Why[0].Kind)
	}
	readings, err := field.ReadReadings("readings.csv", []byte("id,slope\nS01,33%\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	compared, err := checks.Match("readings.csv", readings, ground.At)
	if err != nil {
		fmt.Println(err)
		return
	}
	verdict, err := checks.Judge(compared)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("over: %d of %d, worst by %.0f points; margin %.0f points; not read: %v\n",
		len(verdict.Over), verdict.Limited, verdict.Over[0].OverPct(), verdict.MarginPct, verdict.NotRead)
	// Output:
	// S01 loader: mapped 26%, limit 30%, 1 picked for: could-tip
	// S02 crawler: mapped 45%, limit 60%, 1 picked for: spread
	// over: 1 of 1, worst by 3 points; margin 4 points; not read: [S02]
}
