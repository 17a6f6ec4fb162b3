package read

import (
	"math"

	"github.com/paulmach/orb"
)

// plane is the ground about a latitude laid flat: longitude and latitude scaled
// to metres, so that what is straight in them stays straight. At Δφ from that
// latitude lengths from west to east are out by tan φ · Δφ of themselves (0.08%
// at 45 degrees and 5 km), those from south to north by less than Δφ/90.
type plane struct{ eastM, northM float64 } // metres per degree

// WGS84 ellipsoid (EPSG:7030).
const (
	semiMajorM = 6378137.0
	flattening = 1 / 298.257223563
	ecc2       = flattening * (2 - flattening)
)

// planeAt lays the ground about a latitude flat, by the radii of curvature of
// the ellipsoid (Snyder 1987, Map Projections: A Working Manual, equations 4-18
// and 4-20).
func planeAt(lat float64) plane {
	const degree = math.Pi / 180
	sin, cos := math.Sincos(lat * degree)
	w2 := 1 - ecc2*sin*sin
	across := semiMajorM / math.Sqrt(w2)
	along := across * (1 - ecc2) / w2
	return plane{eastM: across * cos * degree, northM: along * degree}
}

// distanceM is how far apart two points are.
func (p plane) distanceM(a, b orb.Point) float64 {
	return math.Hypot(shortWay(b[0]-a[0])*p.eastM, (b[1]-a[1])*p.northM)
}
