package trafficability_test

import (
	"fmt"
	"math"

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

func ExampleStand() {
	heights := []float32{
		100, 102, 104, 109, 118,
		100, 102, 104, 109, 118,
		100, 102, 104, 109, float32(math.NaN()), // not measured
	}
	grid, err := terrain.NewGrid(heights, 5, 3, 10, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	field, err := slope.Of(grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	masks := make([]zoning.Mask, len(heights))
	if err := trafficability.Stand(field, machines, masks); err != nil {
		fmt.Println(err)
		return
	}

	bands := zoning.Bands(machines)
	for col := range grid.Cols {
		mask := masks[2*grid.Cols+col]
		fmt.Printf("%5.1f%% %03b %s\n", field.Pct(col, 2), mask&3, bands[zoning.BandOf(mask, len(machines))].Key)
	}
	// Output:
	//  20.0% 011 loader
	//  20.0% 011 loader
	//  35.0% 010 crawler
	//  62.3% 010 crawler
	//   NaN% 000 unknown
}
