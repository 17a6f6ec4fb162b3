package runs_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain/runs"
)

// Two patches that touch at a corner are one piece where corners join, and two where they do not.
func ExampleJoin() {
	rows := [][]runs.Run{
		{{From: 0, To: 2}},
		{{From: 0, To: 2}, {From: 3, To: 4}},
		{{From: 2, To: 3}},
	}
	for _, corners := range []bool{false, true} {
		pieces := runs.Join(4, len(rows), corners, func(row int, visit func(from, to int)) {
			for _, r := range rows[row] {
				visit(r.From, r.To)
			}
		})
		fmt.Println("corners join:", corners)
		pieces.Each(func(piece []runs.Run) { fmt.Println(piece) })
	}
	// Output:
	// corners join: false
	// [{0 2} {4 6}]
	// [{7 8}]
	// [{10 11}]
	// corners join: true
	// [{0 2} {4 6} {7 8} {10 11}]
}
