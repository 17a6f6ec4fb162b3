package terrain

import "math"

// The WGS84 ellipsoid (EPSG:7030), on which all distances and areas are measured.
const (
	SemiMajorM    = 6378137.0                     // radius of the equator in metres
	Flattening    = 1 / 298.257223563             // by how much of itself the polar radius is shorter
	Eccentricity2 = Flattening * (2 - Flattening) // the first eccentricity, squared: e²
)

// DegreeM returns how long a degree of longitude and one of latitude are at a latitude in
// degrees, in metres, by the ellipsoid's radii of curvature (Snyder 1987, Map Projections:
// A Working Manual, equations 4-20 and 4-18). At a pole a degree of longitude has no length.
func DegreeM(lat float64) (lonM, latM float64) {
	const degree = math.Pi / 180
	sin, cos := math.Sincos(lat * degree)
	w2 := 1 - Eccentricity2*sin*sin
	across := SemiMajorM / math.Sqrt(w2)
	along := across * (1 - Eccentricity2) / w2
	return across * cos * degree, along * degree
}
