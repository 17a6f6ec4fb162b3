package zoning

// Cells is a window of cells with the machines that may work each, and what is
// known of them beside.
type Cells struct {
	Window // the masks hold machines, in fleet order

	// Unsure marks cells that are never counted as surely within a limit, such as
	// those whose heights came from a coarser source; nil where there are none.
	Unsure []bool
	// SimplifyM is how far from where they run lines between zones may be drawn, in
	// metres; see [Coverage.Simplify].
	SimplifyM float64
	// Lost says, by machine, why it does not work each cell; nil where nobody asked.
	Lost [][]Reason
	// Crossings are, by machine, the water lines to be crossed on the way in, 255 for
	// cells it only reaches from others; nil, and nil for a machine, where that is not known.
	Crossings [][]uint8
}
