package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// Ground that lies far apart is drawn in insets: parts whose gap is farApart times as long as
// the longer of them, at most mostParts.
const (
	farApart  = 1.5
	mostParts = 6
	// partsGain is how much longer all ground is than its longest part, for each part in a row
	// of insets, before insets show more than one map does.
	partsGain = 2.0
)

// part is ground of the lots that lies together: a box on the map's plane in metres, x east
// and y north.
type part struct{ west, south, east, north float64 }

func (a part) long() float64 { return max(a.east-a.west, a.north-a.south) }

// gap is how far apart two parts lie.
func (a part) gap(b part) float64 {
	return math.Hypot(max(0, a.west-b.east, b.west-a.east), max(0, a.south-b.north, b.south-a.north))
}

func (a part) with(b part) part {
	return part{min(a.west, b.west), min(a.south, b.south), max(a.east, b.east), max(a.north, b.north)}
}

// boxOf is a polygon's box on the plane.
func (pl plane) boxOf(poly orb.Polygon) part {
	b := part{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, ring := range poly {
		for _, p := range ring {
			x, y := (pl.frame.Near(p[0])-pl.lon0)*pl.perLon, (p[1]-pl.lat0)*pl.perLat
			b = b.with(part{x, y, x, y})
		}
	}
	return b
}

// partsOf are the parts of a map's ground that are drawn in insets, in the order in which
// their first polygon is given; nil where one map shows all as well.
func (pl plane) partsOf(zm *zoning.ZoneMap) []part {
	var parts []part
	for _, lot := range zm.Lots {
		for _, z := range lot.Zones {
			for _, poly := range z.Ground {
				if len(poly) > 0 && len(poly[0]) > 0 {
					parts = joined(parts, pl.boxOf(poly))
				}
			}
		}
	}
	for len(parts) > mostParts {
		parts = nearestJoined(parts)
	}
	if len(parts) < 2 {
		return nil
	}
	all, longest := parts[0], 0.0
	for _, p := range parts {
		all, longest = all.with(p), max(longest, p.long())
	}
	if all.long() < partsGain*math.Ceil(math.Sqrt(float64(len(parts))))*longest {
		return nil
	}
	return parts
}

// joined adds a box to the parts, and makes one of those that no longer lie far apart.
func joined(parts []part, b part) []part {
	for i := 0; i < len(parts); i++ {
		if p := parts[i]; p.gap(b) <= farApart*max(p.long(), b.long()) {
			// What grew may reach further.
			return joined(append(parts[:i:i], parts[i+1:]...), p.with(b))
		}
	}
	return append(parts, b)
}

// nearestJoined makes one part of the two that lie nearest together.
func nearestJoined(parts []part) []part {
	a, b := 0, 1
	for i := range parts {
		for j := range i {
			if parts[i].gap(parts[j]) < parts[a].gap(parts[b]) {
				a, b = j, i
			}
		}
	}
	parts[a] = parts[a].with(parts[b])
	return append(parts[:b], parts[b+1:]...)
}

// within is a map with only the ground of a part: lots and zones keep their places and their
// figures.
func (pl plane) within(zm *zoning.ZoneMap, a part) *zoning.ZoneMap {
	out := *zm
	out.Lots = make([]zoning.LotMap, len(zm.Lots))
	for i, lot := range zm.Lots {
		zones := make([]zoning.Zone, len(lot.Zones))
		for k, z := range lot.Zones {
			z.Ground = pl.groundIn(z.Ground, a)
			zones[k] = z
		}
		lot.Zones = zones
		out.Lots[i] = lot
	}
	return &out
}

// groundIn are the polygons that lie in a part.
func (pl plane) groundIn(ground orb.MultiPolygon, a part) (out orb.MultiPolygon) {
	for _, poly := range ground {
		if len(poly) > 0 && a.gap(pl.boxOf(poly)) == 0 {
			out = append(out, poly)
		}
	}
	return out
}
