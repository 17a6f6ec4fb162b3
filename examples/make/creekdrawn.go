package main

import "github.com/paulmach/orb"

// Alder Bottom: 14 acres above a creek. 260 m of frontage, three strips from the creek up.
const (
	creekWestM, creekEastM = 40.0, 300.0
	creekSouthM            = 60.0  // the water's edge
	bankTopM               = 87.0  // 2 acres of bank, with the crest that machines keep back from
	benchTopM              = 231.0 // 9 acres of bench
	creekNorthM            = 278.0 // 3 acres of hillside
)

var creekBoundary = []drawn{{said("lot", "Alder Bottom"), box(creekWestM, creekSouthM, creekEastM, creekNorthM)}}

// creekStaging are the yard on the lot, past the bridge, and the wide spot before it.
var creekStaging = []drawn{
	{said("name", "Yard on the lot", "weight", "15tons"), orb.Point{yardX, yardY}},
	{said("name", "Wide spot before the bridge"), orb.Point{14, 30}},
}

// creekTravel is the lane from the wide spot over the bridge to the lot.
var creekTravel = []drawn{{said("name", "County lane"), area(
	orb.Point{6, 22}, orb.Point{22, 22}, orb.Point{22, 112}, orb.Point{48, 112}, orb.Point{48, 128}, orb.Point{6, 128})}}

var creekFeatures = []drawn{
	{said("kind", "bridge", "name", "Creek bridge", "weight", "15tons"), orb.LineString{{14, 44}, {14, 58}}},
	{said("kind", "no-go", "name", "Alder Creek", "setback", "kentucky-for-69"), orb.LineString{{45, 58}, {creekEastM, 58}}},
	{said("kind", "cover", "name", "Brush and alders", "class", "medium", "stem", "8in", "tall", "25ft"),
		box(creekWestM, creekSouthM, creekEastM, creekNorthM)},
}
