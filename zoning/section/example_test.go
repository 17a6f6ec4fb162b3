package section_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/section"
)

// A hillside of 45% that falls to the east, cut along its contour and down its fall.
func Example() {
	const cols, rows = 120, 120
	heights := make([]float32, cols*rows) // meters, on cells of 1 m
	for i := range heights {
		heights[i] = 300 - 0.45*float32(i%cols)
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 1, 1)
	if err != nil {
		panic(err)
	}
	at := func(col, row float64) orb.Point {
		lon, lat := grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	lot := zoning.Lot{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{{at(10, 110), at(110, 110), at(110, 10), at(10, 10), at(10, 110)}}}}}
	e := &terrain.Elevation{Grid: grid, Sources: []terrain.Source{{Path: "invented ground", CellM: [2]float64{1, 1}}}}
	ground, err := mapping.NewGround(e, []zoning.Lot{lot}, nil)
	if err != nil {
		panic(err)
	}
	m, err := mapping.Map(context.Background(), ground, fleet.Default(), mapping.Options{})
	if err != nil {
		panic(err)
	}
	for _, to := range []orb.Point{at(20, 100), at(100, 20)} {
		s, err := section.Of(grid, m, at(20, 20), to)
		if err != nil {
			panic(err)
		}
		i := len(s.DistancesM) / 2
		fmt.Printf("%.0f m: %.0f%% along the line, %.0f%% of the ground, the limit of the %s\n",
			s.LengthM(), s.AlongPct[i], s.GroundPct[i], m.Fleet.Bands()[s.Limits[i]].Key)
	}
	// Output:
	// 80 m: 0% along the line, 45% of the ground, the limit of the remote-crawler
	// 80 m: -45% along the line, 45% of the ground, the limit of the remote-crawler
}
