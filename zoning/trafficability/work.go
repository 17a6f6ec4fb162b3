package trafficability

import "github.com/acreband/acreband/zoning"

// Work is where machines may work, and why not elsewhere.
type Work struct {
	Masks []zoning.Mask
	// Why is the reason that keeps each machine off a cell, by machine. From
	// [zoning.Reasons] on it is that of one of [Ground.Rules]. It is nil with [Ground.AcresOnly].
	Why [][]zoning.Why
	// Stands marks, by machine, the cells that its middle may be on and gets to.
	Stands [][]bool
	// Crossings is the least number of water lines to be crossed on the way to a
	// cell, by machine; nil without staging or water lines.
	Crossings [][]uint8
	// Pockets are, by machine, the pieces of ground that it cannot drive between, the
	// largest first; with staging those that it does not get to.
	Pockets [][]Pocket
	// Pieces number, by machine, the cells of its Pockets, in no order.
	Pieces []zoning.Pieces
	// Pinches are, by machine, the tight spots on its way in, those with the most ground
	// beyond first.
	Pinches [][]Pinch
	// Idle lists, by machine, the places of staging that it cannot drive off, whether its
	// load gets there or not; Unloads those that it takes to get to all the ground of the lots
	// that it reaches, in their order.
	Idle, Unloads [][]int
}
