package trafficability_test

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// An invented fleet of two, the one to send first standing first.
var machines = []zoning.Machine{
	{Key: "loader", Name: "Loader", LimitPct: 30},
	{Key: "crawler", Name: "Crawler", LimitPct: 70, ProcedureAbovePct: 50},
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

	bands := zoning.Fleet(machines).Bands()
	for col := range grid.Cols {
		mask := masks[2*grid.Cols+col]
		fmt.Printf("%5.1f%% %03b %s\n", field.Pct(col, 2), mask&3, bands[zoning.Fleet(machines).Band(mask)].Key)
	}
	// Output:
	//  20.0% 011 loader
	//  20.0% 011 loader
	//  35.0% 010 crawler
	//  62.3% 010 crawler
	//   NaN% 000 no_data
}
