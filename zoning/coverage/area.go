package coverage

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/paulmach/orb"
)

// WGS84 ellipsoid (EPSG:7030).
const (
	semiMajorM = terrain.SemiMajorM
	ecc2       = terrain.Eccentricity2
)

const minorM2 = semiMajorM * semiMajorM * (1 - ecc2) // b²

// AreaM2 returns the plan area in square metres of polygons in WGS84 degrees,
// longitude first, whose edges are straight in longitude and latitude (RFC
// 7946, section 3.1.1). Shells count positive and holes negative whichever way
// they are wound. The result is exact on the ellipsoid to rounding: extra
// vertices on an edge do not change it, and areas that share an edge add up.
func AreaM2(mp orb.MultiPolygon) float64 {
	var sum float64
	for _, poly := range mp {
		for i, ring := range poly {
			a := math.Abs(RingAreaM2(ring))
			if i > 0 {
				a = -a
			}
			sum += a
		}
	}
	return sum
}

// Acres returns [AreaM2] in international acres.
func Acres(mp orb.MultiPolygon) float64 { return AreaM2(mp) / terrain.SquareMetresPerAcre }

// RingAreaM2 returns the signed area of one ring in square metres, positive
// where it is wound counter-clockwise. The ring may be open or closed. An edge
// is taken as it is written: one that crosses the antimeridian must have been
// cut there.
func RingAreaM2(ring orb.Ring) float64 {
	if len(ring) < 3 {
		return 0
	}
	var sum float64
	prev := ring[len(ring)-1]
	for _, p := range ring {
		sum += edgeAreaM2(prev[0], prev[1], p[0], p[1])
		prev = p
	}
	return sum
}

// Gauss-Legendre abscissae and weights on [0, 1] (Abramowitz and Stegun 1964,
// table 25.4, halved).
var (
	gauss2 = [1][2]float64{{0.21132486540518711775, 0.5}}
	gauss4 = [2][2]float64{
		{0.06943184420297371239, 0.17392742256872692869},
		{0.33000947820757186760, 0.32607257743127307131},
	}
)

// edgeAreaM2 integrates the area between an edge and the equator, signed so
// that the edges of a counter-clockwise ring sum to its area.
func edgeAreaM2(lon0, lat0, lon1, lat1 float64) float64 {
	dLon := (lon1 - lon0) * (math.Pi / 180)
	if dLon == 0 {
		return 0
	}
	phi, dPhi := lat0*(math.Pi/180), (lat1-lat0)*(math.Pi/180)
	switch span := math.Abs(dPhi); {
	case span == 0:
		return -dLon * zoneAreaM2(phi)
	case span < 1e-5: // two points are exact to rounding on so short an edge
		return -dLon * gaussZone(gauss2[:], phi, dPhi)
	case span > 0.1: // four points lose digits on an edge of many degrees
		n := int(span/0.1) + 1
		var sum float64
		for i := range n {
			sum += gaussZone(gauss4[:], phi+dPhi*float64(i)/float64(n), dPhi/float64(n))
		}
		return -dLon * sum / float64(n)
	}
	return -dLon * gaussZone(gauss4[:], phi, dPhi)
}

func gaussZone(rule [][2]float64, phi, dPhi float64) (mean float64) {
	for _, g := range rule {
		mean += g[1] * (zoneAreaM2(phi+g[0]*dPhi) + zoneAreaM2(phi+(1-g[0])*dPhi))
	}
	return mean
}

// zoneAreaM2 is the area between the equator and latitude phi (radians) for
// one radian of longitude: a²/2 times q of Snyder 1987, Map Projections: A
// Working Manual, equation 3-12, as the power series of its two terms together,
//
//	b² · Σ (k+1)/(2k+1) · e²ᵏ · sin²ᵏ⁺¹ φ
//
// whose eighth term is below 1e-17 of the first.
func zoneAreaM2(phi float64) float64 {
	s := math.Sin(phi)
	t := ecc2 * s * s
	return minorM2 * s * (1 + t*(2.0/3+t*(3.0/5+t*(4.0/7+t*(5.0/9+t*(6.0/11+t*(7.0/13)))))))
}
