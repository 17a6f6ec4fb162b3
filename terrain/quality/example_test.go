package quality_test

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
)

// Rolling ground of 1 m cells with a pond, and a detector of one's own beside the built-in ones.
func ExampleLook_Doubts() {
	const cols, rows = 200, 150
	heights := make([]float32, cols*rows)
	for i := range heights {
		c, r := i%cols, i/cols
		heights[i] = 300 + float32(c*c+r*r)/4000 + float32((c*7919+r*104729+c*r*31)%97)/2000
		if c >= 40 && c < 100 && r >= 50 && r < 110 {
			heights[i] = 298
		}
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 1, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	low := quality.Detector{Find: func(_ context.Context, l *quality.Look) ([]quality.Doubt, error) {
		lowest, _ := l.Grid().HeightsM()
		if lowest >= 299 {
			return nil, nil
		}
		return []quality.Doubt{{Kind: "low", Words: fmt.Sprintf("ground at %.0f m, below the river", lowest)}}, nil
	}}
	look, err := quality.NewLook(context.Background(), grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	doubts, err := look.Doubts(context.Background(), false, low)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range doubts {
		fmt.Println(d.Kind+":", d.Words)
	}
	fmt.Println(look.Water().Cells, "cells of water")
	// Output:
	// water: 0.9 acres dead flat in one place: water that the raster flattened, though it reads as perfect ground
	// low: ground at 298 m, below the river
	// 3600 cells of water
}
