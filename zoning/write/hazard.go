package write

import (
	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// hazardHeading heads the hazards in files.
const hazardHeading = "Hazards"

// hazardWords are what is there, and what to mind near it.
func hazardWords(h zoning.Hazard) string { return h.Words + ". " + h.Kind.Caution() }

// partsOf are the parts of a shape that has several: of a polygon its rings.
func partsOf(g orb.Geometry) (out []orb.Geometry) {
	switch g := g.(type) {
	case orb.Ring:
		return []orb.Geometry{orb.LineString(g)}
	case orb.Bound:
		return []orb.Geometry{g.ToPolygon()}
	case orb.MultiPoint:
		for _, p := range g {
			out = append(out, p)
		}
	case orb.MultiLineString:
		for _, line := range g {
			out = append(out, line)
		}
	case orb.Polygon:
		for _, ring := range g {
			out = append(out, ring)
		}
	case orb.MultiPolygon:
		for _, poly := range g {
			out = append(out, poly)
		}
	case orb.Collection:
		out = g
	}
	return out
}
