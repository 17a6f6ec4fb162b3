package relief_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
)

func Example() {
	// Ground that rises by 3 m to the east, on cells of 1 m.
	const cols, rows = 31, 20
	heights := make([]float32, cols*rows)
	for i := range heights {
		heights[i] = 200 + 0.1*float32(i%cols)
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 1, 1)
	if err != nil {
		panic(err)
	}
	lit, err := relief.Shade(grid, 1)
	if err != nil {
		panic(err)
	}
	fmt.Printf("heights are drawn %.0f times as high; this slope, which faces west, is %.2f bright, level ground %.2f\n",
		lit.Exaggeration, lit.At(15, 10), relief.FlatLit)

	low, high := grid.HeightsM()
	interval, err := relief.ChooseContourInterval(low, high, 0, 3, "m")
	if err != nil {
		panic(err)
	}
	levels, err := interval.Levels(low, high)
	if err != nil {
		panic(err)
	}
	heightsM := make([]float64, len(levels))
	for i, level := range levels {
		heightsM[i] = level.HeightM
	}
	lines, err := relief.Contours(grid, heightsM)
	if err != nil {
		panic(err)
	}
	for _, line := range lines {
		fmt.Printf("%s runs from %.1f to %.1f\n", levels[line.Level].Label, line.Line[0], line.Line[len(line.Line)-1])
	}
	// Output:
	// heights are drawn 4 times as high; this slope, which faces west, is 0.84 bright, level ground 0.71
	// 201 m runs from [10.5 19.5] to [10.5 0.5]
	// 202 m runs from [20.5 19.5] to [20.5 0.5]
	// 203 m runs from [30.5 19.5] to [30.5 0.5]
}
