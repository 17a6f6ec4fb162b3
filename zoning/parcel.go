package zoning

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Parcel is one lot: its name and its ground.
type Parcel struct {
	// Lot names the parcel in every output.
	Lot string

	// Ground is in WGS84 longitude and latitude, its edges straight in those
	// (RFC 7946). Parts may share an edge. A part that crosses the
	// antimeridian has been cut in two there.
	Ground orb.MultiPolygon
}

// Degrees writes a spot for people: latitude, then longitude, to 10 m.
func Degrees(p orb.Point) string {
	ns, ew := "N", "E"
	if p[1] < 0 {
		ns = "S"
	}
	if p[0] < 0 {
		ew = "W"
	}
	return fmt.Sprintf("%.4f %s, %.4f %s", math.Abs(p[1]), ns, math.Abs(p[0]), ew)
}
