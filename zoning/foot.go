package zoning

import "github.com/acreband/acreband/slope"

// FootPct and WetFootPct are the steepest slopes on which people are sent on foot,
// in percent (planning values, no source).
const (
	FootPct    = 50.0
	WetFootPct = 35.0
)

// leastFootPct stands for the slope that people walk where the error of the heights leaves
// nothing of it: no ground is below it.
const leastFootPct = 1e-3

// FootPctOn is the measured slope, in percent, below which ground is surely gentle enough
// to send people onto on foot, in some state of the ground and by the error of its slope.
func FootPctOn(ground Moisture, cov slope.Cov) float64 {
	return max(100*cov.SureBelow(SteepestFootPct(ground)/100-TieRise, slope.Certainty), leastFootPct)
}

// SteepestFootPct is the slope of the ground, in percent, from which on nobody is sent on
// foot in some state of it.
func SteepestFootPct(ground Moisture) float64 {
	if ground == Wet {
		return WetFootPct
	}
	return FootPct
}
