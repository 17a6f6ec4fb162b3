package osm

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/site"
)

func kindsFor(words ...string) (out []site.Kind) {
	for _, r := range rulesFor(pairs(words)) {
		out = append(out, r.kind)
	}
	return out
}

// What a thing is to a machine, whichever way it is tagged.
func TestKindsOfTags(t *testing.T) {
	for _, c := range []struct {
		tags []string
		want []site.Kind
	}{
		{[]string{"building", "yes"}, []site.Kind{site.Building}},
		{[]string{"building", "no"}, nil},
		{[]string{"building", "school", "amenity", "school"}, []site.Kind{site.Building}},
		{[]string{"amenity", "school"}, []site.Kind{site.People}},
		{[]string{"amenity", "school;kindergarten"}, []site.Kind{site.People}},
		{[]string{"amenity", "waste_basket"}, nil},
		{[]string{"highway", "residential"}, []site.Kind{site.Road}},
		{[]string{"highway", "track"}, []site.Kind{site.Path}}, // nobody says that a truck gets along it
		{[]string{"highway", "proposed"}, nil},
		{[]string{"highway", "primary", "tunnel", "yes"}, nil},
		{[]string{"highway", "service", "tunnel", "building_passage"}, []site.Kind{site.Road}},
		{[]string{"power", "line"}, []site.Kind{site.OverheadLine}},
		{[]string{"power", "minor_line"}, []site.Kind{site.OverheadLine}},
		{[]string{"power", "line", "location", "underground"}, []site.Kind{site.Pipeline}},
		{[]string{"power", "cable"}, []site.Kind{site.Pipeline}},
		{[]string{"power", "cable", "location", "underground"}, []site.Kind{site.Pipeline}},
		{[]string{"man_made", "pipeline", "location", "overground"}, []site.Kind{site.Pipeline}},
		{[]string{"power", "substation"}, []site.Kind{site.NoGo}},
		{[]string{"waterway", "stream"}, []site.Kind{site.Water}},
		{[]string{"waterway", "stream", "tunnel", "culvert"}, nil},
		{[]string{"natural", "cliff"}, []site.Kind{site.Edge}},
		{[]string{"railway", "abandoned"}, nil},
		{[]string{"railway", "rail", "bridge", "yes"}, []site.Kind{site.Railway}},
		{[]string{"leisure", "park", "landuse", "quarry"}, []site.Kind{site.NoGo, site.People}},
		{[]string{"name", "Building"}, nil},
	} {
		assert.Equal(t, c.want, kindsFor(c.tags...), "%v", c.tags)
	}
}

// An island's shore comes back to its start: the land in it is no water.
func TestACoastlineIsNoLake(t *testing.T) {
	m := &drawnMap{}
	m.ring(1, 1, [][2]float64{{0.009, 45}, {0.010, 45}, {0.010, 45.001}, {0.009, 45.001}}, "natural", "coastline")
	assert.Equal(t, 1, only(t, extractOf(t, m.xml(), Options{}), site.Water).Geometry.Dimensions())
}

// area=no makes a closed line of what closes, area=yes a square of a road.
func TestAreaIsWhatItsTagSays(t *testing.T) {
	ring := [][2]float64{{0.009, 45}, {0.010, 45}, {0.010, 45.001}, {0.009, 45.001}}
	for _, c := range []struct {
		tags       []string
		kind       site.Kind
		dimensions int
	}{
		{[]string{"leisure", "track"}, site.People, 2},
		{[]string{"leisure", "track", "area", "no"}, site.People, 1},
		{[]string{"highway", "pedestrian"}, site.Path, 1},
		{[]string{"highway", "pedestrian", "area", "yes"}, site.Path, 2},
	} {
		m := &drawnMap{}
		m.ring(1, 1, ring, c.tags...)
		assert.Equal(t, c.dimensions, only(t, extractOf(t, m.xml(), Options{}), c.kind).Geometry.Dimensions(), "%v", c.tags)
	}
}

// A mast may be guyed: its guys are anchored no farther off than it is high.
func TestDiscsOfTowers(t *testing.T) {
	for _, c := range []struct {
		tags []string
		feet float64
	}{
		{[]string{"power", "tower"}, 30}, {[]string{"power", "pole"}, 10},
		{[]string{"man_made", "mast"}, 100}, {[]string{"man_made", "mast", "height", "61"}, 61 / foot}, {[]string{"man_made", "mast", "height", "5"}, 30},
	} {
		m := &drawnMap{}
		m.node(1, 0.01, 45, c.tags...)
		assert.InDelta(t, c.feet, only(t, extractOf(t, m.xml(), Options{}), site.Tower).Setback.WidthM/foot, 1e-9, "%v", c.tags)
	}
}

// A figure that cannot be read, or lies beyond the table of clearances, is not known.
func TestFiguresThatCannotBeUsed(t *testing.T) {
	m := &drawnMap{}
	m.line(1, 1, [][2]float64{{0.0, 45}, {0.02, 45}}, "power", "line", "voltage", "1100000")
	m.node(9, 0.01, 45, "barrier", "gate", "maxwidth", "wide")
	x := extractOf(t, m.xml(), Options{})
	assert.Zero(t, only(t, x, site.OverheadLine).KV)
	assert.Zero(t, only(t, x, site.Gate).WidthM)
	assert.Equal(t, []string{
		"overhead lines without a voltage: 1; the widest clearance, 50 ft, is kept from them",
		"figures (voltage, width, weight or height) that cannot be read: 1; they are taken as not known",
	}, x.Notes[len(x.Notes)-2:])
}
