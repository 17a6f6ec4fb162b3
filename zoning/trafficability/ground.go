package trafficability

import (
	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// Ground is what is known of the cells of a window, one value a cell, row-major from
// the north-west. A slice that is nil says nothing of any cell: see [Ground.Check].
type Ground struct {
	Grid  *terrain.Grid
	Field *slope.Field  // slope and aspect; without aspect a slope may lie all across
	Firm  []zoning.Mask // machines that step and roughness let stand

	// Lots marks cells whose middles lie in a lot; nil is the whole window. Drive marks
	// those, and those that machines may cross beside them; nil is the lots alone.
	Lots, Drive []bool

	Closed     []bool    // no-go: water, and what is drawn so
	Setback    []bool    // to be kept out of for what is near
	BearsKPa   []float32 // what soft ground bears; NaN where it is firm
	Keep       []bool    // leave trees stand here: selective clearing
	GrowthM    []float32 // height of the growth; NaN where it is not known
	StemsM     []float32 // thickest stem; NaN where it is not known
	LineM      []float32 // distance from what a boom must keep from, its clearance taken off
	WaterLines []bool    // cells of drainage lines
	Edges      []Edge    // of drop-offs, see [DropOffs]

	// Rules are asked after those of every map that look at a cell alone; nil adds none.
	Rules []Rule

	// NoWays asks of each cell by itself only, where cells are too coarse to tell one
	// way from another: no width, turning, access, reach, drop-offs or patches.
	NoWays bool
	// AcresOnly leaves out what the masks do not need: stands, crossings, pockets, tight
	// spots.
	AcresOnly bool

	// Staging are the places where the trailer unloads, each the cells of one; nil where
	// access is not asked.
	Staging [][]int
}

// Work is where machines may work, and why not elsewhere.
type Work struct {
	Masks []zoning.Mask
	// Why is the reason that keeps each machine off a cell, by machine. From
	// [zoning.Reasons] on it is that of one of [Ground.Rules].
	Why [][]zoning.Why
	// Stands marks, by machine, the cells that its middle may be on and gets to.
	Stands [][]bool
	// Crossings is the least number of water lines to be crossed on the way to a
	// cell, by machine; nil without staging or water lines.
	Crossings [][]uint8
	// Pockets are, by machine, the pieces of ground that it cannot drive between, the
	// largest first; nil with staging.
	Pockets [][]Pocket
	// Pinches are, by machine, the tight spots on its way in, those with the most ground
	// beyond first.
	Pinches [][]Pinch
	// Idle lists, by machine, the places of staging it cannot drive off.
	Idle [][]int
}
