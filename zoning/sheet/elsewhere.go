package sheet

import (
	"github.com/acreband/acreband/zoning"
)

// Facts are the elevation used, how slope was taken from it, how good heights and
// boundary are, and what was assumed, as the picture says them.
func Facts(zm *zoning.ZoneMap) []string { return factsOf(totalsOf(zm), zm) }

// Name is what a map is of: its lot's name, or how many lots it holds.
func Name(zm *zoning.ZoneMap) string { return nameOf(zm) }
