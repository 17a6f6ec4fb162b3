package zoning

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
)

func TestEachLine(t *testing.T) {
	a, b, c := orb.Point{1, 2}, orb.Point{3, 4}, orb.Point{5, 6}
	ring := orb.Ring{a, b, c, a}
	var got [][]orb.Point
	EachLine(orb.Collection{a, orb.MultiPoint{b, c}, orb.LineString{a, b}, orb.MultiLineString{{b, c}, {c, a}},
		orb.MultiPolygon{{ring, ring}}}, func(line []orb.Point) { got = append(got, line) })
	assert.Equal(t, [][]orb.Point{{a}, {b}, {c}, {a, b}, {b, c}, {c, a}, ring, ring}, got)
	EachLine(nil, func([]orb.Point) { t.Error("nothing has no line") })
}
