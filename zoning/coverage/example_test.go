package coverage_test

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

// The zones of a lot of 40 × 20 m, cut through the cells at its rim.
func ExampleCut() {
	grid := hillside()
	cells, _ := stand(grid)
	cut, err := coverage.Cut(&cells.Window, box(grid, 0.5, 0.5, 4.5, 2.5).Ground)
	if err != nil {
		fmt.Println(err)
		return
	}
	bands := zoning.Fleet(machines).Bands()
	class := func(m zoning.Mask) int { return zoning.Fleet(machines).Band(m) }
	for i, ground := range cut.Polygons(len(bands), class) {
		fmt.Printf("%-10s %.3f acres in %d pieces\n", bands[i].Key, coverage.Acres(ground), len(ground))
	}
	fmt.Printf("%-10s %.3f acres\n", "lot", cut.M2()/terrain.SquareMetresPerAcre)
	// Output:
	// loader     0.124 acres in 1 pieces
	// crawler    0.074 acres in 1 pieces
	// needs-machine 0.000 acres in 0 pieces
	// waits-dry  0.000 acres in 0 pieces
	// no-machine 0.000 acres in 0 pieces
	// no_data    0.000 acres in 0 pieces
	// no-go      0.000 acres in 0 pieces
	// lot        0.198 acres
}

func ExampleAcres() {
	// A thousandth of a degree square at 45 degrees north.
	fmt.Printf("%.6f\n", coverage.Acres(orb.MultiPolygon{{{
		{-120, 45}, {-119.999, 45}, {-119.999, 45.001}, {-120, 45.001}, {-120, 45},
	}}}))
	// Output:
	// 2.165215
}
