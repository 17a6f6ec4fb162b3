package zoning

import (
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
