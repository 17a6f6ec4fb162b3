package zoning

import (
	"github.com/acreband/acreband/terrain/measure"
)

// Cautions returns what every output of a map must say, in its units. Sources: 29 CFR
// 1910.266(d)(6)(ii) for the distance between work areas, 29 CFR 1926.1408
// Table A for overhead lines (a crane rule, used as a caution), 29 CFR
// 1926.651(b) for utilities.
func Cautions(u measure.Units) []string {
	return []string{
		"Planning values only: the machine's manual, the local code and a competent person on the ground decide.",
		"Slope from a raster does not see a hole, a stump, wet ground or last week's slide. Verify on foot, with a clinometer.",
		"Elevation must be bare earth. Tree tops, a flattened pond or a resampled raster read as ground that is not there.",
		"Machines work straight up and down. Across the slope and turning they tip on far less: see the manual.",
		"Keep two tree lengths between work areas (29 CFR 1910.266), and everyone outside the thrown-object distance in the head's manual.",
		"Locate buried utilities before work (29 CFR 1926.651). Overhead lines: at least " + u.AtLeast(10*MetresPerFoot) + " up to 50 kV, more above (29 CFR 1926.1408).",
	}
}

// OpenStreetMapCredit is what the license of OpenStreetMap's data, the Open Database License
// 1.0, asks to stand on whatever rests on them.
const OpenStreetMapCredit = "© OpenStreetMap contributors, ODbL"

// Stamps for maps that leave something out, or rest on what others drew.
const (
	OpenStreetMapUsed = OpenStreetMapCredit + ": volunteers map what they like, when they like. Ground on which it shows no line, pipe, house or stream is not proven to be without: look, ask the owners, and have buried lines located."
	AccessNotChecked  = "Access not checked: no staging was given, so nobody asked whether a machine gets from the trailer to the ground."
	NoWaysAsked       = "Cells too coarse to tell one way from another: turning, width, access routes, reach and drop-offs have not been checked."
	BySlopeAlone      = "By slope alone: turning, width, access routes, reach, growth and soft ground have not been checked."
)
