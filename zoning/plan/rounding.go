package plan

import "math"

// What is compared may have been added up in another order, or read in another unit: such
// parts of it are rounding.
const (
	ofFigures = 1e-12 // of a figure that is given
	ofSums    = 1e-9  // of what is added up
)

// atMost reports whether a value keeps to a limit, but for rounding.
func atMost(v, limit float64) bool { return v <= limit*(1+ofFigures) }

// isPart reports whether a sum is no more than the whole, but for rounding.
func isPart(v, whole float64) bool { return v <= whole*(1+ofSums) }

// isLess reports whether a sum is less than another by more than rounding.
func isLess(v, than float64) bool { return v < than*(1-ofSums) }

// tieOf is how far from a sum others are no different from it.
func tieOf(v float64) float64 { return ofSums * (1 + math.Abs(v)) }

// finite reports whether a value is a number.
func finite(v float64) bool { return v > math.Inf(-1) && v < math.Inf(1) }

// isAmount reports whether a value is a number of zero or more.
func isAmount(v float64) bool { return v >= 0 && v < math.Inf(1) }
