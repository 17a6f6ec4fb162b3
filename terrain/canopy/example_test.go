package canopy_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/canopy"
	"github.com/acreband/acreband/terrain/measure"
)

func ExampleGrowth() {
	// Ground that rises to the east, on cells of 2 m, with a stand of 6 m in its middle.
	const cols, rows = 60, 60
	ground, surface := make([]float32, cols*rows), make([]float32, cols*rows)
	for i := range ground {
		col, row := i%cols, i/cols
		ground[i] = 300 + 0.1*float32(col)
		surface[i] = ground[i]
		if col > 20 && col < 40 && row > 20 && row < 40 {
			surface[i] += 6
		}
	}
	growthM, report, err := canopy.Growth(gridOf(ground, cols, rows), gridOf(surface, cols, rows), nil)
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.1f m in the stand, %.1f m beside it, laid %s\n", growthM[30*cols+30], growthM[5*cols+5], report.LayingWords())
	fmt.Println(report.Refusal() == "", report.Warnings(measure.US))
	// Output:
	// 6.0 m in the stand, 0.0 m beside it, laid cell by cell
	// true [whether it lies on the ground or beside it cannot be told: too little open ground that slopes in several directions]
}

func gridOf(heightsM []float32, cols, rows int) *terrain.Grid {
	grid, err := terrain.NewGrid(heightsM, cols, rows, 2, 2)
	if err != nil {
		panic(err)
	}
	return grid
}
