package coverage

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
)

// latLon builds a closed ring from latitude, longitude pairs, the order in
// which the published polygons are written.
func latLon(pairs ...[2]float64) orb.Ring {
	var r orb.Ring
	for _, p := range pairs {
		r = append(r, orb.Point{p[1], p[0]})
	}
	return append(r, r[0])
}

// alongGeodesics puts n-1 points of the geodesic between each two corners.
func alongGeodesics(r orb.Ring, n int) orb.Ring {
	var out orb.Ring
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		line := geodesic.WGS84.InverseLine(a[1], a[0], b[1], b[0])
		for k := range n {
			p := line.Position(line.Distance() * float64(k) / float64(n))
			lon := p.Lon2
			for lon-a[0] > 180 {
				lon -= 360
			}
			for lon-a[0] < -180 {
				lon += 360
			}
			out = append(out, orb.Point{lon, p.Lat2})
		}
	}
	return append(out, out[0])
}

// alongEdges puts n-1 points on each straight lon/lat edge.
func alongEdges(r orb.Ring, n int) orb.Ring {
	var out orb.Ring
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		for k := range n {
			t := float64(k) / float64(n)
			out = append(out, orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])})
		}
	}
	return append(out, out[0])
}

func TestAreaPublishedEllipsoidalPolygons(t *testing.T) {
	// Geodesic polygons: the edges are densified along geodesics, since ours
	// are straight in longitude and latitude.
	for _, c := range []struct {
		name, source string
		ring         orb.Ring
		m2, tol      float64
	}{
		{"triangle", "GeographicLib test suite",
			latLon([2]float64{2, 1}, [2]float64{1, 2}, [2]float64{3, 3}), 18454562325.45119, 1e-9},
		{"one degree", "GeographicLib documentation",
			latLon([2]float64{0, 0}, [2]float64{0, 1}, [2]float64{1, 1}, [2]float64{1, 0}), 12308778361.469452, 1e-9},
		{"diamond", "GeographicLib documentation, to 1 m²",
			latLon([2]float64{0, -1}, [2]float64{-1, 0}, [2]float64{0, 1}, [2]float64{1, 0}), 24619419146, 1e-9},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := math.Abs(RingAreaM2(alongGeodesics(c.ring, 4000)))
			assert.InEpsilon(t, c.m2, got, c.tol, c.source)
		})
	}
}

func TestAreaStraightEdges(t *testing.T) {
	// Boxes and a triangle whose edges are straight in longitude and latitude;
	// computed on WGS84 from Snyder 1987 eq. 3-12, apart from this code.
	box := func(lat, lon, d float64) orb.Ring {
		return latLon([2]float64{lat, lon}, [2]float64{lat, lon + d}, [2]float64{lat + d, lon + d}, [2]float64{lat + d, lon})
	}
	assert.InDelta(t, 8762.3135, RingAreaM2(box(45, -120, 0.001)), 5e-4)
	assert.InDelta(t, 237033.3460, RingAreaM2(box(40, -105, 0.005)), 5e-4)
	assert.InDelta(t, 58.572215, Acres(orb.MultiPolygon{{box(40, -105, 0.005)}}), 1e-6)
	tri := latLon([2]float64{38, -122}, [2]float64{38, -121.99}, [2]float64{38.01, -121.995})
	assert.InDelta(t, 487432.897, RingAreaM2(tri), 1e-3)
	// Across the antimeridian, cut in two there. The reference has geodesic
	// edges 0.01° long, which bulge poleward: 0.0015 m² less than straight ones.
	assert.InDelta(t, 797383.1357, AreaM2(orb.MultiPolygon{
		{latLon([2]float64{50, 179.995}, [2]float64{50, 180}, [2]float64{50.01, 180}, [2]float64{50.01, 179.995})},
		{latLon([2]float64{50, -180}, [2]float64{50, -179.995}, [2]float64{50.01, -179.995}, [2]float64{50.01, -180})},
	}), 2e-3)
}

func TestAreaUnchangedByExtraVertices(t *testing.T) {
	tri := latLon([2]float64{38, -122}, [2]float64{38, -121.99}, [2]float64{38.01, -121.995})
	assert.InEpsilon(t, RingAreaM2(tri), RingAreaM2(alongEdges(tri, 1000)), 1e-9)
	wide := latLon([2]float64{-40, 10}, [2]float64{-38, 60}, [2]float64{50, 70}, [2]float64{20, 15})
	assert.InEpsilon(t, RingAreaM2(wide), RingAreaM2(alongEdges(wide, 1000)), 1e-12)
}

func TestAreaHolesAndWinding(t *testing.T) {
	shell := latLon([2]float64{45, -120}, [2]float64{45, -119.99}, [2]float64{45.01, -119.99}, [2]float64{45.01, -120})
	hole := latLon([2]float64{45.002, -119.998}, [2]float64{45.002, -119.996}, [2]float64{45.004, -119.996}, [2]float64{45.004, -119.998})
	whole, missing := RingAreaM2(shell), RingAreaM2(hole)
	assert.InEpsilon(t, whole-missing, AreaM2(orb.MultiPolygon{{shell, hole}}), 1e-14)
	shell.Reverse()
	assert.InEpsilon(t, -whole, RingAreaM2(shell), 1e-14)
	assert.InEpsilon(t, whole-missing, AreaM2(orb.MultiPolygon{{shell, hole}}), 1e-14)
}

// The library that other tests measure by, against what others publish of GeographicLib's
// own planimeter: it must not be alone.
func TestGeodesicAreasAreThosePublished(t *testing.T) {
	for _, c := range []struct {
		source string
		ring   orb.Ring
		m2     float64
	}{
		{"GeographicLib test suite", latLon([2]float64{2, 1}, [2]float64{1, 2}, [2]float64{3, 3}), 18454562325.45119},
		{"GeographicLib documentation", latLon([2]float64{0, 0}, [2]float64{0, 1}, [2]float64{1, 1}, [2]float64{1, 0}), 12308778361.469452},
		{"another port of its C routines", latLon([2]float64{38, -122}, [2]float64{38, -121.99}, [2]float64{38.01, -121.995}), 487449.9212},
	} {
		pa := geodesic.NewPolygonArea(geodesic.WGS84, false)
		for _, p := range c.ring[:len(c.ring)-1] {
			pa.AddPoint(p[1], p[0])
		}
		assert.InDelta(t, c.m2, math.Abs(pa.Compute(false, true).Area), 1e-3, c.source)
	}
}

// The series against the closed form it stands for: Snyder 1987, equation 3-12.
func TestZoneAreaSeries(t *testing.T) {
	ecc := math.Sqrt(ecc2)
	for deg := -90.0; deg <= 90; deg += 0.5 {
		sin := math.Sin(deg * math.Pi / 180)
		q := (1 - ecc2) * (sin/(1-ecc2*sin*sin) - math.Log((1-ecc*sin)/(1+ecc*sin))/(2*ecc))
		assert.InDelta(t, semiMajorM*semiMajorM/2*q, zoneAreaM2(deg*math.Pi/180), 0.05, "%g° of 4e13 m²", deg)
	}
}
