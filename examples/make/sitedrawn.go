package main

import (
	"math"

	"github.com/paulmach/orb"
)

// drawn is a shape of one of the site's files, in metres east and north of the raster's
// south-west corner.
type drawn struct {
	says  map[string]string
	shape orb.Geometry
}

func said(pairs ...string) map[string]string {
	m := map[string]string{}
	for i := 0; i < len(pairs); i += 2 {
		m[pairs[i]] = pairs[i+1]
	}
	return m
}

func area(ring ...orb.Point) orb.Polygon {
	if ring[0] != ring[len(ring)-1] {
		ring = append(ring, ring[0])
	}
	return orb.Polygon{ring}
}

func box(west, south, east, north float64) orb.Polygon {
	return area(orb.Point{west, south}, orb.Point{east, south}, orb.Point{east, north}, orb.Point{west, north})
}

var boundary = []drawn{{said("lot", "Withy Bench"), area(
	orb.Point{42, 40}, orb.Point{196, 37}, orb.Point{372, 43}, orb.Point{370, 334}, orb.Point{150, 338}, orb.Point{58, 306}, orb.Point{40, 180})}}

// staging are the pull-off inside the gate, and the foot of the neighbour's lane.
var staging = []drawn{
	{said("name", "Gate pull-off"), orb.Point{90, 52}},
	{said("name", "Foot of the lane"), orb.Point{416, 30}},
}

// travel is the neighbour's lane, up the spur and across to the bench.
var travel = []drawn{{said("name", "Lane, by the neighbor's leave"), area(
	orb.Point{407, 20}, orb.Point{427, 20}, orb.Point{427, 284}, orb.Point{366, 284}, orb.Point{366, 250}, orb.Point{407, 250})}}

var features = []drawn{
	{said("kind", "road", "name", "County road"), orb.LineString{{0, 20}, {200, 18}, {460, 24}}},
	{said("kind", "building", "name", "House next door"), box(12, 66, 25, 78)},
	{said("kind", "gate", "name", "Gate", "width", "14ft"), orb.Point{90, 38}},
	{said("kind", "bridge", "name", "Farm crossing", "weight", "20tons"), orb.Point{194, crossingY}},
	{said("kind", "path", "name", "Footpath to the pond"), orb.LineString{{205, 80}, {240, 84}, {272, 92}}},

	{said("kind", "no-go", "name", "Burial ground", "setback", "25ft"), box(142, 98, 158, 110)},
	{said("kind", "no-go", "name", "Branch", "setback", "kentucky-for-69"), orb.LineString{{203.5, 150}, {212, 180}, {224, 240}, {220, 330}, {219, 360}}},
	{said("kind", "soft", "name", "Wet draw, lower end", "bears", "4psi"), area(
		orb.Point{180, 36}, orb.Point{200, 36}, orb.Point{203, 70}, orb.Point{183, 70})},
	{said("kind", "soft", "name", "Wet draw, upper end", "bears", "4psi"), area(
		orb.Point{182, 90}, orb.Point{204, 90}, orb.Point{209, 120}, orb.Point{212, 148}, orb.Point{196, 150}, orb.Point{176, 124})},

	{said("kind", "leave-tree", "name", "Boundary oak"), orb.Point{66, 108}},
	{said("kind", "leave-tree", "name", "Three walnuts", "setback", "15ft"), orb.MultiPoint{{120, 72}, {129, 76}, {124, 83}}},
	{said("kind", "selective", "name", "Screen along the road"), box(222, 38, 372, 52)},

	{said("kind", "overhead-line", "name", "Power line", "kv", "69kV"), orb.LineString{{0, 240}, {128, 196}, {262, 268}, {330, 400}}},

	{said("kind", "cover", "name", "Pole timber", "class", "heavy", "stem", "10in", "tall", "38ft", "stems", "320/ac"), poles()},
	{said("kind", "cover", "name", "Willows round the pond", "class", "medium", "stem", "5in", "tall", "28ft", "stems", "500/ac"), aroundPond(willowsM)},
	{said("kind", "selective", "name", "Shade round the pond"), aroundPond(willowsM)},
	{said("kind", "cover", "name", "Saplings on the ridge", "class", "medium", "stem", "5in", "tall", "28ft", "stems", "700/ac"), area(
		orb.Point{78, 158}, orb.Point{172, 158}, orb.Point{160, 246}, orb.Point{84, 246})},
	{said("kind", "cover", "name", "Brush on the bench", "class", "medium", "stem", "4in", "tall", "14ft", "stems", "900/ac"), box(245, 238, 371, 292)},
	{said("kind", "cover", "name", "Old field", "class", "light", "stem", "2in", "tall", "8ft"), box(40, 36, 180, 150)},
}

// willowsM is how far round the pond the willows stand.
const willowsM = 14

func aroundPond(metres float64) orb.Polygon { return area(pondRing(metres, 0)...) }

// poles stand in the field to the east, but round the willows and a mown track from the
// crossing to them.
func poles() orb.Polygon {
	ring := orb.Ring{{222, 76}, {222, 40}, {372, 40}, {372, 170}, {242, 170}, {222, 140}, {222, 92}}
	return area(append(ring, pondRing(willowsM+2, 0.22)...)...)
}

// pondRing goes round the pond with the sun, some metres off its shore, but for a gap to
// the west of so many radians to either side.
func pondRing(metres, gap float64) orb.Ring {
	const n = 24
	var ring orb.Ring
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi - gap - (2*math.Pi-2*gap)*float64(i)/n)
		ring = append(ring, orb.Point{pondX + (pondE+metres)*cos, pondY + (pondN+metres)*sin})
	}
	return ring
}
