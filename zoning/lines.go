package zoning

import "github.com/paulmach/orb"

// EachLine hands on the lines of a shape and the rings of its areas, and its spots as lines of one.
func EachLine(shape orb.Geometry, each func(line []orb.Point)) {
	switch shape := shape.(type) {
	case orb.Point:
		each([]orb.Point{shape})
	case orb.MultiPoint:
		for _, p := range shape {
			each([]orb.Point{p})
		}
	case orb.LineString:
		each(shape)
	case orb.MultiLineString:
		for _, l := range shape {
			each(l)
		}
	case orb.Polygon:
		for _, ring := range shape {
			each(ring)
		}
	case orb.MultiPolygon:
		for _, p := range shape {
			EachLine(p, each)
		}
	case orb.Collection:
		for _, g := range shape {
			EachLine(g, each)
		}
	}
}
