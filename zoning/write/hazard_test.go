package write_test

import (
	"encoding/xml"
	"io"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// hazards are of every shape that a map may have them in.
var hazards = []zoning.Hazard{
	{Kind: zoning.PinchPoint, Geometry: orb.Point{0.0001, 0.0001}, Words: "9 ft wide <&>", Machine: "loader"},
	{Kind: zoning.DropOff, Geometry: orb.LineString{{0, 0}, {0.0001, 0}}, Words: "drop-off, up to 8 ft"},
	{Kind: zoning.Drainage, Geometry: orb.MultiLineString{{{0, 0}, {0.0001, 0}}, {{0, 0.0001}, {0.0001, 0.0001}}}, Words: "drainage"},
	{Kind: zoning.Depression, Geometry: orb.Polygon{{{0, 0}, {0.0001, 0}, {0.0001, 0.0001}, {0, 0}}}, Words: "hollow"},
	{Kind: zoning.SteepAbove, Geometry: orb.MultiPolygon{{{{0, 0}, {0.0001, 0}, {0.0001, 0.0001}, {0, 0}}}, {{{0, 0}, {-0.0001, 0}, {-0.0001, -0.0001}, {0, 0}}}}, Words: "steep"},
	{Kind: zoning.PeopleNear, Geometry: orb.Collection{orb.Point{0, 0}, orb.LineString{{0, 0}, {0.0001, 0}}}, Words: "a house"},
}

// Hazards stood in the GeoJSON alone.
func TestKMLHoldsTheHazards(t *testing.T) {
	m := newMap(t)
	m.zm.Hazards = hazards
	k := readKML(t, bytesOf(t, func(w io.Writer) error { return write.KML(w, m.zm, nil) })).Document
	require.Len(t, k.Folders, 3)
	assert.Equal(t, "Hazards", k.Folders[2].Name)
	require.Len(t, k.Folders[2].Placemarks, len(hazards))
	for i, h := range hazards {
		p := k.Folders[2].Placemarks[i]
		assert.Equal(t, h.Kind.Name(), p.Name)
		assert.Contains(t, unescaped(p.Description), h.Words)
		assert.Contains(t, unescaped(p.Description), h.Kind.Caution())
		data := map[string]string{}
		for _, d := range p.Data {
			data[d.Name] = d.Value
		}
		want := map[string]string{"hazard": string(h.Kind), "words": h.Words, "caution": h.Kind.Caution()}
		if h.Machine != "" {
			want["machine"] = h.Machine
		}
		assert.Equal(t, want, data)
	}
	assert.Equal(t, hazards[3].Geometry.(orb.Polygon), k.Folders[2].Placemarks[3].ground(t)[0])
	assert.Equal(t, hazards[4].Geometry, k.Folders[2].Placemarks[4].ground(t))
	assert.Equal(t, "0.0001,0.0001", k.Folders[2].Placemarks[0].Point)
}

func TestGPXHoldsTheHazards(t *testing.T) {
	m := newMap(t)
	m.zm.Hazards = hazards
	var g gpxText
	require.NoError(t, xml.Unmarshal(bytesOf(t, func(w io.Writer) error { return write.GPX(w, m.zm, nil) }), &g))
	require.Len(t, g.Wpt, 1)
	assert.Equal(t, []any{"Pinch point", "9 ft wide <&>. Measure it before a machine is sent through.", write.HazardType}, []any{g.Wpt[0].Name, g.Wpt[0].Desc, g.Wpt[0].Type})
	tracks := g.Trk[len(m.zm.Lots):]
	require.Len(t, tracks, len(hazards)-1)
	assert.Empty(t, g.Trk[0].Type, "a lot's track is a boundary")
	for i, segments := range []int{1, 2, 1, 2, 1} {
		h := hazards[i+1]
		assert.Equal(t, h.Kind.Name(), tracks[i].Name)
		assert.Equal(t, h.Words+". "+h.Kind.Caution(), tracks[i].Desc)
		assert.Equal(t, write.HazardType, tracks[i].Type)
		assert.Len(t, tracks[i].Seg, segments, h.Kind)
	}
}

// Every kind has a name and a caution of its own.
func TestHazardsLayer(t *testing.T) {
	layer := must(write.Hazards(&zoning.ZoneMap{Hazards: hazards}))
	require.Len(t, layer.Rows, len(hazards))
	var names []string
	for _, c := range layer.Columns {
		names = append(names, c.Name)
	}
	assert.Equal(t, []string{"hazard", "words", "machine", "caution"}, names)
	for i, h := range hazards {
		assert.Equal(t, h.Geometry, layer.Rows[i].Shape)
		assert.Equal(t, []any{string(h.Kind), h.Words, h.Kind.Caution()}, []any{layer.Rows[i].Values[0], layer.Rows[i].Values[1], layer.Rows[i].Values[3]})
		assert.NotEmpty(t, h.Kind.Caution())
		assert.NotEqual(t, string(h.Kind), h.Kind.Name())
	}
}
