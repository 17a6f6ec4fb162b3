package zoning

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/zoning/coverage"
)

// Cells is a window of cells with the machines that may work each, and what is
// known of them beside.
type Cells struct {
	coverage.Window // the masks hold machines, in fleet order

	// Otherwise are the masks in the other state of the ground; nil where nobody asked.
	Otherwise []Mask
	// Unsure marks cells that are never counted as surely within a limit, such as
	// those whose heights came from a coarser source; nil where there are none.
	Unsure []bool
	// Sure are the machines that a cell is surely within every limit for that they rest on
	// there: along, across, where they turn and swing. Nil leaves it to slope along.
	Sure []Mask
	// FootPct is the measured slope, in percent, from which on nobody is sent on foot; 0 where
	// that is not known. FootUpperPct is that of the slope which the ground is below, see
	// [slope.Field].UpperSquared; 0 asks nothing of it.
	FootPct, FootUpperPct float64
	// SimplifyM is how far from where they run lines between zones may be drawn, in
	// metres; see [Coverage.Simplify].
	SimplifyM float64
	// Lost says, by machine, why it does not work each cell; nil where nobody asked.
	Lost [][]Why
	// Added are the reasons from [Reasons] on, in Lost; nil where none were added.
	Added []Reason
	// Crossings are, by machine, the water lines to be crossed on the way in, 255 for
	// cells it only reaches from others; nil, and nil for a machine, where that is not known.
	Crossings [][]uint8
	// Pieces are, by machine, those of ground that its middle may be on and between which it
	// cannot drive; with staging none where it gets to. Nil where nobody asked.
	Pieces []Pieces
}

// Check returns why the cells cannot be mapped: what [Window.Check] refuses, or slices
// that are neither nil nor one value a cell.
func (c *Cells) Check() error {
	if c == nil {
		return errors.New("there are no cells")
	}
	if err := c.Window.Check(); err != nil {
		return err
	}
	if err := CheckReasons(c.Added); err != nil {
		return err
	}
	n := c.Cols * c.Rows
	if c.Otherwise != nil && len(c.Otherwise) != n {
		return fmt.Errorf("of Otherwise there are %d values for %d cells", len(c.Otherwise), n)
	}
	if c.Unsure != nil && len(c.Unsure) != n {
		return fmt.Errorf("of Unsure there are %d values for %d cells", len(c.Unsure), n)
	}
	if c.Sure != nil && len(c.Sure) != n {
		return fmt.Errorf("of Sure there are %d values for %d cells", len(c.Sure), n)
	}
	for k, lost := range c.Lost {
		if len(lost) != n {
			return fmt.Errorf("of Lost there are, for machine %d, %d values for %d cells", k+1, len(lost), n)
		}
	}
	for k, crossings := range c.Crossings {
		if crossings != nil && len(crossings) != n {
			return fmt.Errorf("of Crossings there are, for machine %d, %d values for %d cells", k+1, len(crossings), n)
		}
	}
	if !(c.FootPct >= 0) {
		return fmt.Errorf("FootPct is %g; write 0 or more", c.FootPct)
	}
	if !(c.FootUpperPct >= 0) {
		return fmt.Errorf("FootUpperPct is %g; write 0 or more", c.FootUpperPct)
	}
	for k, pieces := range c.Pieces {
		if err := pieces.check(n); err != nil {
			return fmt.Errorf("of Pieces there is, for machine %d, %w", k+1, err)
		}
	}
	if !(c.SimplifyM >= 0 && c.SimplifyM <= MaxSimplifyM) {
		return fmt.Errorf("SimplifyM is %g; lines are moved by 0 m to %d m", c.SimplifyM, MaxSimplifyM)
	}
	return nil
}

// IsSure reports whether a cell of a measured slope is surely within the limits of machine
// k: by Sure, or where nobody told that by the slope below which ground surely is.
func (c *Cells) IsSure(cell, k int, slope, sureBelow float64) bool {
	if c.Unsure != nil && c.Unsure[cell] {
		return false
	}
	if c.Sure != nil {
		return c.Sure[cell]&(1<<k) != 0
	}
	return slope < sureBelow
}

// MaxSimplifyM is how far a line between zones may be drawn from where it runs, at most.
const MaxSimplifyM = 1000
