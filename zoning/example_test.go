package zoning_test

import (
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// An invented fleet of two, the one to send first standing first.
var machines = []zoning.Machine{
	{Key: "loader", Name: "Loader", LimitPct: 30},
	{Key: "crawler", Name: "Crawler", LimitPct: 70, ProcedureAbovePct: 50},
}

// hillside is invented ground of 6 × 4 cells of 10 m, rising eastward ever more
// steeply. Such a grid lies around longitude 0 on the equator.
func hillside() *terrain.Grid {
	g, err := terrain.NewGrid([]float32{
		100, 101, 103, 106, 111, 119,
		100, 101, 103, 106, 111, 119,
		100, 101, 103, 106, 111, 119,
		100, 101, 103, 106, 111, 119,
	}, 6, 4, 10, 10)
	if err != nil {
		panic(err)
	}
	return g
}

// stand is the cells of a grid with the machines that may stand on each.
func stand(g *terrain.Grid) (*zoning.Cells, *slope.Field) {
	field := must(slope.Of(g))
	masks := make([]zoning.Mask, g.Cols*g.Rows)
	trafficability.Stand(field, machines, masks)
	return &zoning.Cells{Window: coverage.Window{Masks: masks, Cols: g.Cols, Rows: g.Rows, Frame: g.Frame}}, field
}

// box is a parcel between two spots of a grid, in cells from the north-west.
func box(g *terrain.Grid, c0, r0, c1, r1 float64) zoning.Parcel {
	west, north := g.Frame.LonLat(c0, r0)
	east, south := g.Frame.LonLat(c1, r1)
	return zoning.Parcel{Lot: "Tarn Hollow", Ground: orb.MultiPolygon{{{
		{west, south}, {east, south}, {east, north}, {west, north}, {west, south},
	}}}}
}

func ExampleFleet_Bands() {
	for _, b := range zoning.Fleet(machines).Bands() {
		fmt.Println(b.Key)
	}
	// Output:
	// loader
	// crawler
	// needs-machine
	// waits-dry
	// no-machine
	// no_data
	// no-go
}

func ExampleMapLot() {
	grid := hillside()
	cells, field := stand(grid)
	// The lot reaches one cell beyond the heights in the west.
	lot, err := zoning.MapLot(cells, field, machines, nil, box(grid, -1, 0, 6, 4))
	if err != nil {
		fmt.Println(err)
		return
	}
	bands := zoning.Fleet(machines).Bands()
	for _, z := range lot.Zones {
		fmt.Printf("%-10s %.3f acres, mean %.1f%%, greatest %.1f%%, %.3f acres above 50%%\n",
			bands[z.Band].Key, z.Acres, z.SlopeMeanPct, z.SlopeMaxPct, z.ProcedureAcres)
	}
	// Output:
	// loader     0.297 acres, mean 16.7%, greatest 25.0%, 0.000 acres above 50%
	// crawler    0.198 acres, mean 52.5%, greatest 65.0%, 0.099 acres above 50%
	// no-machine 0.099 acres, mean 80.0%, greatest 80.0%, 0.000 acres above 50%
	// no_data    0.099 acres, mean NaN%, greatest NaN%, 0.000 acres above 50%
}
