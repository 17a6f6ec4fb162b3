package site

import "github.com/acreband/acreband/zoning"

// clearances is 29 CFR 1926.1408 Table A: minimum clearance in feet up to and
// including a nominal voltage in kV. It is written for cranes and used here as a
// caution.
var clearances = []struct{ upToKV, feet float64 }{
	{50, 10}, {200, 15}, {350, 20}, {500, 25}, {750, 35}, {TableMaxKV, 45},
}

// TableMaxKV is where Table A ends: above it the utility or a registered professional
// engineer sets the clearance.
const TableMaxKV = 1000

// unknownFeet is the clearance from a line whose voltage nobody says: 29 CFR
// 1926.1409(a) has 50 ft from lines over 350 kV where Table A is not used, which
// is more than any row of it.
const unknownFeet = 50

// ClearanceM is the least distance to keep from an overhead line, in meters: that of
// 29 CFR 1926.1408 Table A for its voltage in kV, and 50 ft where the voltage is 0,
// for not known, or beyond the table. The machine's reach comes on top.
func ClearanceM(kV float64) float64 {
	if kV > 0 {
		for _, c := range clearances {
			if kV <= c.upToKV {
				return c.feet * zoning.MetresPerFoot
			}
		}
	}
	return unknownFeet * zoning.MetresPerFoot
}
