package bank_test

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
)

func Example() {
	// Level ground on cells of 2 m, with a bank of 0.9 m: a slope of 22% over two cells.
	const cols, rows = 60, 40
	heights := make([]float32, cols*rows)
	for i := range heights {
		if i/cols < 20 {
			heights[i] = 0.9
		}
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 2, 2)
	if err != nil {
		panic(err)
	}
	banks, err := bank.Find(context.Background(), grid, bank.Options{})
	if err != nil {
		panic(err)
	}
	b := banks[len(banks)/2]
	fmt.Printf("%d cells; that in column %d falls from row %d to row %d, by %.1f to %.1f m\n",
		len(banks), b.Cell%cols, b.Upper/cols, b.Foot/cols, b.LowM, b.HighM)
	// Output: 54 cells; that in column 30 falls from row 19 to row 20, by 0.6 to 1.2 m
}
