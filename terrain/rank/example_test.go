package rank_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain/rank"
)

// The median of five heights.
func ExampleNth() {
	heights := []float64{3, 9, 1, 7, 5}
	fmt.Println(rank.Nth(heights, len(heights)/2))
	// Output: 5
}
