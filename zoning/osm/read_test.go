package osm

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// lotBox is a lot of some 200 m around 0.01 E, 45 N.
var lotBox = orb.Bound{Min: orb.Point{0.0088, 44.9991}, Max: orb.Point{0.0112, 45.0009}}

// village is a map with one thing of each sort around lotBox.
func village() *drawnMap {
	m := &drawnMap{}
	m.ring(10, 100, [][2]float64{{0.010, 45.0}, {0.0102, 45.0}, {0.0102, 45.0002}, {0.010, 45.0002}}, "building", "house")
	m.line(11, 110, [][2]float64{{0.0, 44.9995}, {0.02, 44.9995}}, "highway", "residential", "name", "Main Street")
	m.line(12, 120, [][2]float64{{0.0, 45.0005}, {0.02, 45.0005}}, "power", "line", "voltage", "115000;13800")
	m.line(13, 130, [][2]float64{{0.0, 45.0006}, {0.02, 45.0006}}, "power", "minor_line")
	m.node(140, 0.0095, 45.0005, "power", "tower")
	m.line(15, 150, [][2]float64{{0.009, 44.99}, {0.009, 45.01}}, "waterway", "stream")
	m.line(16, 160, [][2]float64{{0.0, 45.0008}, {0.02, 45.0008}}, "man_made", "pipeline", "location", "underground")
	m.line(17, 170, [][2]float64{{0.0, 45.0012}, {0.02, 45.0012}}, "railway", "rail")
	m.node(180, 0.0099, 44.9995, "barrier", "gate", "maxwidth", "3", "maxheight", `12'6"`)
	m.line(19, 190, [][2]float64{{0.0105, 44.9995}, {0.0106, 44.9995}}, "highway", "track", "bridge", "yes", "maxweight", "15 st")
	m.line(20, 200, [][2]float64{{0.0105, 44.9994}, {0.0106, 44.9994}}, "highway", "track", "bridge", "yes", "maxweight", "none")
	m.line(21, 210, [][2]float64{{0.0101, 44.9993}, {0.0104, 44.9993}}, "natural", "cliff")
	m.node(220, 0.0115, 45.0, "tourism", "camp_site", "name", "Pine Camp")
	// A lake with an island, in two ways.
	m.node(230, 0.0092, 44.9985)
	m.node(231, 0.0100, 44.9985)
	m.node(232, 0.0100, 44.9990)
	m.node(233, 0.0092, 44.9990)
	m.way(23, []int64{230, 231, 232})
	m.way(24, []int64{230, 233, 232})
	m.ring(25, 240, [][2]float64{{0.0094, 44.9986}, {0.0096, 44.9986}, {0.0096, 44.9988}, {0.0094, 44.9988}})
	m.relation(30, []member{{way, 23, "outer"}, {way, 24, "outer"}, {way, 25, "inner"}}, "type", "multipolygon", "natural", "water")
	// Far from the lot.
	m.ring(40, 400, [][2]float64{{0.03, 45.02}, {0.0302, 45.02}, {0.0302, 45.0202}, {0.03, 45.0202}}, "building", "yes")
	m.node(-5, 0.0098, 45.0001, "highway", "street_lamp") // of an editor that has not sent it yet
	return m
}

func extractOf(t *testing.T, file []byte, o Options) *Extract {
	t.Helper()
	if o.Lots == (orb.Bound{}) {
		o.Lots = lotBox
	}
	x, err := read(t.Context(), reading(file), o)
	require.NoError(t, err)
	return x
}

func kindsOf(x *Extract) (out []site.Kind) {
	for _, f := range x.Features {
		out = append(out, f.Kind)
	}
	return out
}

func only(t *testing.T, x *Extract, kind site.Kind) site.Feature {
	t.Helper()
	var found []site.Feature
	for _, f := range x.Features {
		if f.Kind == kind {
			found = append(found, f)
		}
	}
	require.Len(t, found, 1, "%s", kind)
	return found[0]
}

// Each sort of thing around a lot becomes the feature that a drawn one would be.
func TestWhatAnExtractShowsAroundALot(t *testing.T) {
	x := extractOf(t, village().xml(), Options{})
	assert.Equal(t, []site.Kind{
		site.Tower, site.Gate, site.People, // nodes
		site.Building, site.Road, site.OverheadLine, site.OverheadLine, site.Water, site.Pipeline, site.Railway,
		site.Path, site.Bridge, site.Path, site.NoGo, site.Edge, // ways
		site.Water, // the relation
	}, kindsOf(x))
	assert.Equal(t, "2026-11-01", x.AsOf)
	for i, f := range x.Features {
		assert.Equal(t, site.OpenStreetMap, f.From)
		assert.Equal(t, i+1, f.Place)
		assert.NoError(t, f.Check())
	}
	assert.Equal(t, "Main Street", only(t, x, site.Road).Name)
	assert.Equal(t, 115.0, x.Features[5].KV, "the highest voltage counts")
	assert.Zero(t, x.Features[6].KV, "a line without one keeps the widest clearance")
	gate := only(t, x, site.Gate)
	assert.Equal(t, 3.0, gate.WidthM)
	assert.InDelta(t, 12.5*0.3048, gate.HeightM, 1e-12)
	assert.InDelta(t, 15*2000*0.45359237, only(t, x, site.Bridge).WeightKg, 1e-9)
	assert.Equal(t, "bridge, weight not known: track", only(t, x, site.NoGo).Name)
	assert.InDelta(t, 30*zoning.MetresPerFoot, only(t, x, site.Tower).Setback.WidthM, 1e-12)
	lake := x.Features[15].Geometry.(orb.MultiPolygon)
	require.Len(t, lake, 1)
	assert.Len(t, lake[0], 2, "a shell and an island")
	assert.Len(t, lake[0][0], 5)
	assert.Equal(t, []string{
		"OpenStreetMap as of 2026-11-01 shows 1 no-go, 2 overhead-lines, 1 building, 1 road, 2 paths, 1 gate, 1 bridge, 2 waters, 1 railway, 1 pipeline, 1 tower, 1 cliff, 1 place of people within 656 ft of the lots; an empty map is no proof of empty ground",
		"overhead lines without a voltage: 1; the widest clearance, 50 ft, is kept from them",
	}, x.Notes)
}

// The two forms are the same map: which one was given must not show.
func TestBothFormsTellTheSame(t *testing.T) {
	assert.Equal(t, extractOf(t, village().xml(), Options{}), extractOf(t, village().pbf(), Options{}))
	shuffled := village()
	for i, j := 0, len(shuffled.elements)-1; i < j; i, j = i+1, j-1 {
		shuffled.elements[i], shuffled.elements[j] = shuffled.elements[j], shuffled.elements[i]
	}
	assert.Equal(t, extractOf(t, village().xml(), Options{}), extractOf(t, shuffled.xml(), Options{}), "whatever the order in the file")
}

// Lines are cut 200 m from the box of the lots, and what lies farther is left out.
func TestOnlyWhatLiesAroundTheLotsIsKept(t *testing.T) {
	x := extractOf(t, village().xml(), Options{})
	b := only(t, x, site.Road).Geometry.Bound()
	// A degree of longitude is 78.8 km at 45 N (WGS84).
	assert.InDelta(t, 200, (lotBox.Min[0]-b.Min[0])*78847, 2)
	assert.InDelta(t, 200, (b.Max[0]-lotBox.Max[0])*78847, 2)
	away := lotBox.Pad(0)
	away.Min[1], away.Max[1] = 44.98, 44.981
	x = extractOf(t, village().xml(), Options{Lots: away})
	assert.Empty(t, x.Features)
	assert.Equal(t, []string{
		"OpenStreetMap as of 2026-11-01 shows nothing that is minded within 656 ft of the lots; an empty map is no proof of empty ground",
		"the extract may end beside the lots: beyond its last node nothing is known of the ground",
	}, x.Notes)
}

// A line whose corners lie miles away on both sides goes by the lot all the same.
func TestALongSpanIsSeenByOneCornerWithinTwoMiles(t *testing.T) {
	m := &drawnMap{}
	m.line(1, 1, [][2]float64{{-0.5, 45}, {0.03, 45}}, "power", "line", "voltage", "345 kV")
	m.node(9, 0.01, 45)
	x := extractOf(t, m.pbf(), Options{})
	line := only(t, x, site.OverheadLine)
	assert.Equal(t, 345.0, line.KV)
	assert.Less(t, line.Geometry.Bound().Min[0], lotBox.Min[0])
}

// An extract cut through a lake has no ring of it: its shore is kept, and that is said.
func TestAnAreaThatIsCutOffIsItsOutline(t *testing.T) {
	m := &drawnMap{}
	m.ring(1, 1, [][2]float64{{0.009, 45}, {0.010, 45}, {0.010, 45.001}, {0.009, 45.001}}, "natural", "water")
	m.elements = m.elements[1:] // without its first node
	x := extractOf(t, m.xml(), Options{})
	assert.Equal(t, 1, only(t, x, site.Water).Geometry.Dimensions())
	assert.Contains(t, x.Notes, "areas cut off by the edge of the extract: 1; only their outline is kept from")
}

// A setback that the user asks for is kept from the water's bank, not from its middle.
func TestWaterIsKeptFromByItsWidthAndASetback(t *testing.T) {
	m := &drawnMap{}
	m.line(1, 1, [][2]float64{{0.009, 44.99}, {0.009, 45.01}}, "waterway", "river", "width", "12 m")
	m.line(2, 10, [][2]float64{{0.010, 44.99}, {0.010, 45.01}}, "waterway", "stream")
	x := extractOf(t, m.xml(), Options{})
	assert.Equal(t, 6.0, x.Features[0].Setback.WidthM)
	assert.Zero(t, x.Features[1].Setback.WidthM)
	x = extractOf(t, m.xml(), Options{WaterSetback: site.Setback{WidthM: 15}})
	assert.Equal(t, 21.0, x.Features[0].Setback.WidthM)
	assert.Equal(t, 15.0, x.Features[1].Setback.WidthM)
	rule := site.Rules()[0]
	x = extractOf(t, m.xml(), Options{WaterSetback: site.Setback{Rule: &rule}})
	require.Len(t, x.Features, 3, "the river itself, and what the rule wants kept")
	assert.Equal(t, 6.0, x.Features[0].Setback.WidthM)
	assert.Equal(t, &rule, x.Features[1].Setback.Rule)
}

// What the extract shows of other ground is of no use, and a wrong file must not read as
// ground without anything on it.
func TestAnExtractOfOtherGroundIsRefused(t *testing.T) {
	m := &drawnMap{}
	m.node(1, 20, 50)
	_, err := read(t.Context(), reading(m.xml()), Options{Lots: lotBox})
	assert.EqualError(t, err, "shows the ground around 50.00 N, 20.00 E, and nothing within 2 miles of the lots: give an extract of their ground")
	_, err = read(t.Context(), reading(m.xml()), Options{})
	assert.ErrorContains(t, err, "give the lots with it")
	_, err = read(t.Context(), reading((&drawnMap{}).xml()), Options{Lots: lotBox})
	assert.EqualError(t, err, "holds no node: it shows nothing")
}

func TestReadNamesTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "cut.osm")
	require.NoError(t, os.WriteFile(path, []byte("<osm><node id='1' lat='1' lon='1'/>"), 0o600))
	_, err := Read(t.Context(), path, Options{Lots: lotBox})
	assert.EqualError(t, err, path+": is cut off or damaged: fetch it again")
	_, err = Read(t.Context(), path+".none", Options{Lots: lotBox})
	assert.ErrorIs(t, err, os.ErrNotExist)
}
