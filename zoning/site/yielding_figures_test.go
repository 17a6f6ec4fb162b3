package site

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const degree = 111_195.0 // of latitude, in meters, on a sphere of 6,371 km

// By hand, on a sphere: half as far along 60° of latitude as along the equator or up a meridian.
func TestDistancesBetweenDrawnShapes(t *testing.T) {
	assert.InEpsilon(t, 15/degree, metresToDegrees(15, 0), 1e-9)
	assert.InEpsilon(t, 15/degree*2, metresToDegrees(15, 60), 1e-9)
	assert.InEpsilon(t, 15/degree*100, metresToDegrees(15, 89.99), 1e-9, "no more near the pole")
	assert.InEpsilon(t, 0.001*degree, spanM(orb.Point{7, 0}, orb.Point{7.001, 0}), 1e-6)
	assert.InEpsilon(t, 0.0005*degree, spanM(orb.Point{7, 60}, orb.Point{7.001, 60}), 1e-6)
	assert.InEpsilon(t, 0.002*degree, spanM(orb.Point{7, 60}, orb.Point{7, 60.002}), 1e-6)
	assert.InEpsilon(t, 0.005*degree, spanM(orb.Point{7, 0}, orb.Point{7.003, 0.004}), 1e-6)

	square := orb.Polygon{{{7, 60}, {7.01, 60}, {7.01, 60.01}, {7, 60.01}, {7, 60}}}
	for name, c := range map[string]struct {
		at   orb.Point
		of   orb.Geometry
		want float64
	}{
		"in an area":      {orb.Point{7.005, 60.005}, square, 0},
		"in one of some":  {orb.Point{7.005, 60.005}, orb.MultiPolygon{{{{1, 1}, {2, 1}, {2, 2}, {1, 1}}}, square}, 0},
		"beside an area":  {orb.Point{7.005, 59.999}, square, 0.001 * degree},
		"beside one":      {orb.Point{7.005, 59.999}, orb.MultiPolygon{square}, 0.001 * degree},
		"from a point":    {orb.Point{7, 60}, orb.Point{7.002, 60}, 0.001 * degree},
		"from the nearer": {orb.Point{7, 60}, orb.MultiPoint{{7, 60.002}, {7, 60.001}, {7, 60.003}}, 0.001 * degree},
		"from a line":     {orb.Point{7.002, 60.001}, orb.LineString{{7, 60}, {7.01, 60}}, 0.001 * degree},
		"past its end":    {orb.Point{6.998, 60}, orb.LineString{{7, 60}, {7.01, 60}}, 0.001 * degree},
	} {
		assert.InDelta(t, c.want, distM(c.at, c.of), 0.05, name)
	}
}

// By hand: a lent road of 100 m is looked at in 20 stretches of 5 m. Those whose middle lies
// 15 m or less from a drawn one that crosses it at 52 m go, six of them, from 35 to 65 m.
func TestWhatOfALentRoadStays(t *testing.T) {
	m := func(v float64) float64 { return v / degree }
	lent := Feature{Kind: Road, From: OpenStreetMap, Geometry: orb.LineString{{0, 0}, {m(100), 0}}}
	across := Feature{Kind: Path, Geometry: orb.LineString{{m(52), m(-80)}, {m(52), m(80)}}}
	kept, gave := Yield([]Feature{lent, across})
	require.Len(t, kept, 2)
	assert.Equal(t, 1, gave)
	runs := kept[0].Geometry.(orb.MultiLineString)
	require.Len(t, runs, 2)
	for i, want := range [][2]float64{{0, 35}, {65, 100}} {
		require.Len(t, runs[i], 2, "straight on is one line")
		assert.InDelta(t, want[0], runs[i][0][0]*degree, 1e-6)
		assert.InDelta(t, want[1], runs[i][1][0]*degree, 1e-6)
	}
	// Along it, at 15 m all of it goes, and at 15.5 m none.
	for north, left := range map[float64]int{14.9: 0, 15.5: 1} {
		beside := Feature{Kind: Road, Geometry: orb.LineString{{m(-50), m(north)}, {m(150), m(north)}}}
		kept, gave := Yield([]Feature{beside, lent})
		assert.Len(t, kept, 1+left, "%g m", north)
		assert.Equal(t, 1-left, gave, "%g m", north)
		if left == 1 {
			assert.Equal(t, lent.Geometry, kept[1].Geometry)
		}
	}
	// One that goes around it, 50 m off, leaves it as it was drawn, be it of one line or of two.
	around := Feature{Kind: Road, Geometry: orb.LineString{{m(-50), m(-60)}, {m(-50), m(60)}, {m(150), m(60)}}}
	for _, g := range []orb.Geometry{lent.Geometry, orb.MultiLineString{{{0, 0}, {m(40), 0}}, {{m(60), 0}, {m(100), 0}}}} {
		kept, gave := Yield([]Feature{around, {Kind: Road, From: OpenStreetMap, Geometry: g}})
		assert.Zero(t, gave)
		assert.Equal(t, g, kept[1].Geometry)
	}
	// A bend of the road stays a bend.
	bent := Feature{Kind: Road, From: OpenStreetMap, Geometry: orb.LineString{{0, 0}, {m(40), 0}, {m(40), m(40)}}}
	kept, gave = Yield([]Feature{bent, {Kind: Gate, Geometry: orb.Point{0, 0}}})
	assert.Zero(t, gave, "a gate is no road")
	assert.Equal(t, bent.Geometry, kept[0].Geometry)
	kept, gave = Yield([]Feature{bent, {Kind: Path, Geometry: orb.LineString{{m(-40), 0}, {m(-10), 0}}}})
	assert.Equal(t, 1, gave)
	last := kept[0].Geometry.(orb.MultiLineString)
	require.Len(t, last, 1)
	assert.Equal(t, orb.LineString{last[0][0], {m(40), 0}, {m(40), m(40)}}, last[0])
	assert.InDelta(t, 5, last[0][0][0]*degree, 1e-6, "the first 5 m lie 12.5 m from it in the middle")
	// Points and areas go by their middle.
	gate := Feature{Kind: Gate, From: OpenStreetMap, Geometry: orb.Point{0, m(14.9)}}
	_, gave = Yield([]Feature{gate, {Kind: Gate, Geometry: orb.Point{0, 0}}})
	assert.Equal(t, 1, gave)
	gate.Geometry = orb.Point{0, m(15.1)}
	_, gave = Yield([]Feature{gate, {Kind: Gate, Geometry: orb.Point{0, 0}}})
	assert.Zero(t, gave)
}

// Which drawn kinds stand for a lent one, and of lines which voltage.
func TestWhatStandsForALentFeature(t *testing.T) {
	for _, c := range []struct {
		own, lent Feature
		want      bool
	}{
		{Feature{Kind: Building}, Feature{Kind: Building}, true}, {Feature{Kind: Gate}, Feature{Kind: Gate}, true},
		{Feature{Kind: Bridge}, Feature{Kind: Bridge}, true}, {Feature{Kind: Bridge}, Feature{Kind: Gate}, false}, {Feature{Kind: Gate}, Feature{Kind: Building}, false},
		{Feature{Kind: Road}, Feature{Kind: Path}, true}, {Feature{Kind: Path}, Feature{Kind: Road}, true},
		{Feature{Kind: Path}, Feature{Kind: Path}, true}, {Feature{Kind: Bridge}, Feature{Kind: Road}, false},
		{Feature{Kind: OverheadLine}, Feature{Kind: OverheadLine}, true}, {Feature{Kind: Road}, Feature{Kind: OverheadLine}, false},
		{Feature{Kind: OverheadLine, KV: 69}, Feature{Kind: OverheadLine, KV: 69}, true}, {Feature{Kind: OverheadLine, KV: 69}, Feature{Kind: OverheadLine, KV: 70}, false},
		{Feature{Kind: OverheadLine, KV: 69}, Feature{Kind: OverheadLine}, true}, {Feature{Kind: OverheadLine}, Feature{Kind: OverheadLine, KV: 12}, false},
		{Feature{Kind: Water}, Feature{Kind: Water}, false}, {Feature{Kind: NoGo}, Feature{Kind: NoGo}, false},
	} {
		assert.Equal(t, c.want, c.own.shows(c.lent), "%s of %g for %s of %g", c.own.Kind, c.own.KV, c.lent.Kind, c.lent.KV)
	}
	house := orb.Polygon{{{0, 0}, {0.0002, 0}, {0.0002, 0.0002}, {0, 0.0002}, {0, 0}}}
	for name, c := range map[string]struct {
		own  orb.Geometry
		want int
	}{
		"on it":       {house, 1},
		"one of two":  {orb.MultiPolygon{{{{1, 1}, {2, 1}, {2, 2}, {1, 1}}}, house}, 1},
		"beside it":   {orb.Polygon{{{0.00021, 0}, {0.0004, 0}, {0.0004, 0.0002}, {0.00021, 0}}}, 0},
		"a spot near": {orb.Point{0.0001, 0.0001 + 14.0/degree}, 1},
		"a spot off":  {orb.Point{0.0001, 0.0001 + 16.0/degree}, 0},
	} {
		_, gave := Yield([]Feature{{Kind: Building, From: OpenStreetMap, Geometry: house}, {Kind: Building, Geometry: c.own}})
		assert.Equal(t, c.want, gave, name)
	}
}

// What is between two numbers, within a row of five cells.
func TestCellsBetween(t *testing.T) {
	for _, c := range [][4]float64{{-3, 99, 0, 5}, {1.2, 3, 2, 3}, {1, 3.1, 1, 4}, {7, 9, 5, 5}, {-9, -2, 0, 0}} {
		first, end := between(c[0], c[1], 5)
		assert.Equal(t, [2]float64{c[2], c[3]}, [2]float64{float64(first), float64(end)}, "%v", c)
	}
}

// The last part of a stretch ends where the stretch does, to the bit: 0.1 + (0.3 - 0.1) is not 0.3.
func TestPartsOfAStretchEndOnIt(t *testing.T) {
	a, b := orb.Point{0.1, 0.7}, orb.Point{0.3, 0.1}
	assert.Equal(t, b, along(a, b, 3, 3))
	assert.Equal(t, a, along(a, b, 0, 3))
	assert.InDeltaSlice(t, []float64{0.15, 0.55}, func() []float64 { p := along(a, b, 1, 4); return p[:] }(), 1e-12)
}
