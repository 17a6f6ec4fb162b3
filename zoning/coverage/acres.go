package coverage

import (
	"math/bits"

	"github.com/acreband/acreband/terrain"
)

// Acres is the plan area of the parcel as written, in international acres.
func (c *Coverage) Acres() float64 { return c.M2() / terrain.SquareMetresPerAcre }

// Cells is how many cells lie inside the parcel, those on its line by their shares: what
// [Coverage.EachCell] sums to.
func (c *Coverage) Cells() float64 {
	var sum float64
	for _, s := range c.spans {
		sum += float64(s.to - s.from)
	}
	for _, p := range c.parts {
		sum += p.share
	}
	return sum
}

// AcresBySet shares the parcel's acres out over n sets of labels, at most 64, in one pass
// over its cells: bit k of what sets returns says that a label is in set k. A label may be
// in several sets or in none. The labels are those of cells, whose window is that which
// was cut; cells beyond it are [Unknown].
func (c *Coverage) AcresBySet(cells *Window, n int, sets func(Mask) uint64) []float64 {
	sums := make([]float64, n)
	last := Unknown
	in := sets(last)
	c.EachCell(func(col, row int, share float64) {
		cells.Watch.Did(1)
		label := Unknown
		if col >= 0 && row >= 0 && col < cells.Cols && row < cells.Rows {
			label = cells.Masks[row*cells.Cols+col]
		}
		if label != last { // cells side by side are mostly of one label
			last, in = label, sets(label)
		}
		for left := in; left != 0; left &= left - 1 {
			sums[bits.TrailingZeros64(left)] += share
		}
	})
	acres, whole := c.Acres(), c.Cells()
	for k := range sums {
		sums[k] = acres * sums[k] / whole
	}
	return sums
}
