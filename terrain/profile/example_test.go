package profile_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/profile"
)

func Example() {
	// Level ground on cells of 1 m, with a bank of 1 m from column 10 on.
	const cols, rows = 21, 5
	heights := make([]float32, cols*rows)
	for i := range heights {
		heights[i] = 200
		if i%cols >= 10 {
			heights[i] = 201
		}
	}
	grid, err := terrain.NewGrid(heights, cols, rows, 1, 1)
	if err != nil {
		panic(err)
	}
	west, lat := grid.Frame.LonLat(0.5, 2.5)
	east, _ := grid.Frame.LonLat(20.5, 2.5)
	p, err := profile.Along(grid, [2]float64{west, lat}, [2]float64{east, lat})
	if err != nil {
		panic(err)
	}
	s, ok := p.Stand(9.5, 3)
	fmt.Printf("%.0f m long, %.1f m high at 5 m and %.1f m at 15 m\n", p.LengthM(), p.HeightAt(5), p.HeightAt(15))
	fmt.Printf("something 3 m long stands on the bank: %t, at %.0f%%, over a hollow of %.1f m\n", ok, s.SlopePct, s.HollowM)
	// Output:
	// 20 m long, 200.0 m high at 5 m and 201.0 m at 15 m
	// something 3 m long stands on the bank: true, at 55%, over a hollow of 0.4 m
}
