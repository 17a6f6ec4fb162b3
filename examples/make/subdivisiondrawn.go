package main

import (
	"fmt"

	"github.com/paulmach/orb"
)

// Harrow Ridge: thirty lots on both sides of a road along a ridge. Twelve climb from the road, the six
// behind them take the ridge, twelve fall away below it.
const (
	roadM  = 150.0 // south edge of the grid to the middle of the road
	frontM = 40.0  // frontage of a lot on the road
	lotsM  = 20.0  // west edge of the grid to the first lot
)

var subdivisionLots = append(append(rowOf("A", 12, frontM, roadM+8, roadM+158), rowOf("B", 6, 2*frontM, roadM+158, roadM+352)...),
	rowOf("C", 12, frontM, roadM-78, roadM-8)...)

// rowOf are lots side by side, each so wide, from one distance north of the grid's south edge to another.
func rowOf(block string, n int, widthM, southM, northM float64) (out []drawn) {
	for i := range n {
		west := lotsM + float64(i)*widthM
		out = append(out, drawn{said("lot", fmt.Sprintf("%s%d", block, i+1)), orb.Polygon{{
			{west, southM + bend(west)}, {west + widthM, southM + bend(west+widthM)},
			{west + widthM, northM + bend(west+widthM)}, {west, northM + bend(west)}, {west, southM + bend(west)}}}})
	}
	return out
}
