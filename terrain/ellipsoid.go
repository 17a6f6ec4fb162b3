package terrain

// The WGS84 ellipsoid (EPSG:7030), on which all distances and areas are measured.
const (
	SemiMajorM    = 6378137.0                     // radius of the equator in metres
	Flattening    = 1 / 298.257223563             // by how much of itself the polar radius is shorter
	Eccentricity2 = Flattening * (2 - Flattening) // the first eccentricity, squared: e²
)
