package flow_test

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/quality"
)

func ExampleDrain() {
	// A draw that falls to the south between two slopes, on cells of 2 m.
	const cols, rows = 101, 100
	heights := make([]float32, cols*rows)
	for i := range heights {
		col, row := i%cols, i/cols
		heights[i] = 200 + 0.8*float32(max(col-50, 50-col)) - 0.1*float32(row)
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 2, 2)
	if err != nil {
		panic(err)
	}
	drainage := must(flow.Drain(context.Background(), grid, flow.Options{Water: must(quality.Water(grid))}))
	for _, line := range drainage.Lines {
		fmt.Printf("a draw of %.0f m with %.1f acres upslope at its mouth\n", line.LengthM, line.MouthM2/4046.8564224)
	}
	// From one side to the other, further down.
	fmt.Println("crossings:", must(drainage.Crossings([]int{80*cols + 20, 90*cols + 90})))
	// Output:
	// a draw of 178 m with 10.0 acres upslope at its mouth
	// crossings: 1
}
