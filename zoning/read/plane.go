package read

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
)

// plane is the ground about a latitude laid flat: longitude and latitude scaled
// to metres, so that what is straight in them stays straight. At Δφ from that
// latitude lengths from west to east are out by tan φ · Δφ of themselves (0.08%
// at 45 degrees and 5 km), those from south to north by less than Δφ/90.
type plane struct{ eastM, northM float64 } // metres per degree

// planeAt lays the ground about a latitude flat.
func planeAt(lat float64) plane {
	eastM, northM := terrain.DegreeM(lat)
	return plane{eastM, northM}
}

// distanceM is how far apart two points are.
func (p plane) distanceM(a, b orb.Point) float64 {
	return math.Hypot(shortWay(b[0]-a[0])*p.eastM, (b[1]-a[1])*p.northM)
}
