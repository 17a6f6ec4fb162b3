package zoning

import "github.com/acreband/acreband/zoning/coverage"

// Mask is the set of machines that may stand on, or work, one cell: bit i is
// machine i in fleet order. A cell without elevation is [Unknown], never a
// set of machines.
type Mask = coverage.Mask

// Marks of cells that are no set of machines.
const (
	// Unknown marks a cell whose slope the elevation does not tell.
	Unknown = coverage.Unknown
	// NoGo marks a cell that is closed to every machine, whatever its slope.
	NoGo = coverage.NoGo
	// NeedsMachine marks, as planned, a cell that a machine of the fleet may work and none
	// that comes does. Like [WaitsDry] it is a value of its own: compare it, and test no
	// bit of it.
	NeedsMachine = coverage.Wanting
	// WaitsDry marks, as planned, a cell that the crew works when it is dry.
	WaitsDry = coverage.Waiting
)
