package read

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// mapFile writes an OpenStreetMap extract of ways through places.
func mapFile(t *testing.T, ways ...mapWay) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("<osm version='0.6'>\n")
	id := 0
	var drawn strings.Builder
	for i, w := range ways {
		fmt.Fprintf(&drawn, "<way id='%d'>", i+1)
		first := id + 1
		for _, p := range w.places {
			id++
			fmt.Fprintf(&b, "<node id='%d' lon='%.7f' lat='%.7f'/>\n", id, p[0], p[1])
			fmt.Fprintf(&drawn, "<nd ref='%d'/>", id)
		}
		if w.ring {
			fmt.Fprintf(&drawn, "<nd ref='%d'/>", first)
		}
		for k, v := range w.tags {
			fmt.Fprintf(&drawn, "<tag k='%s' v='%s'/>", k, v)
		}
		drawn.WriteString("</way>\n")
	}
	path := filepath.Join(t.TempDir(), "village.osm")
	require.NoError(t, os.WriteFile(path, []byte(b.String()+drawn.String()+"</osm>\n"), 0o600))
	return path
}

type mapWay struct {
	places []orb.Point
	ring   bool
	tags   map[string]string
}

// around is a place beside the middle of the test's lots, in degrees.
func around(east, north float64) orb.Point {
	return orb.Point{jacksboroWest + 200*jacksboroCell + east, jacksboroMidLat + north}
}

func lotAround(name string) named {
	p, q := around(-0.004, -0.004), around(0.004, 0.004)
	return named{name, rectangle(p[0], p[1], q[0], q[1])}
}

// An extract among the site files is read around the lots, counts as what was drawn does, and
// says what it shows; what was drawn of the same goes before it.
func TestPrepareReadsAnExtract(t *testing.T) {
	extract := mapFile(t,
		mapWay{[]orb.Point{around(-0.02, 0), around(0.02, 0)}, false, map[string]string{"power": "line"}},
		mapWay{[]orb.Point{around(0, 0.001), around(0.001, 0.001), around(0.001, 0.002), around(0, 0.002)}, true, map[string]string{"building": "house"}},
		mapWay{[]orb.Point{around(0.001, -0.001), around(0.002, -0.002), around(0.002, -0.001), around(0.001, -0.002)}, true, map[string]string{"natural": "water"}}, // a bow tie
		mapWay{[]orb.Point{around(-0.02, -0.02), around(0.02, 0.02)}, false, map[string]string{"landuse": "forest"}},
	)
	own := filepath.Join(t.TempDir(), "own.geojson")
	a, b := around(-0.001, 0.00005), around(0.001, 0.00005)
	require.NoError(t, os.WriteFile(own, fmt.Appendf(nil,
		`{"type":"Feature","properties":{"kind":"overhead-line","kv":"12kV"},"geometry":{"type":"LineString","coordinates":[[%.7f,%.7f],[%.7f,%.7f]]}}`, a[0], a[1], b[0], b[1]), 0o600))
	q := Request{Elevation: []string{jacksboro}, Parcel: boundary(t, lotAround("a")), SiteFiles: SiteFiles{Site: []string{extract, own}}}
	g, err := Prepare(t.Context(), q)
	require.NoError(t, err)
	var kinds []site.Kind
	for _, f := range g.Features {
		kinds = append(kinds, f.Kind)
	}
	assert.Equal(t, []site.Kind{site.OverheadLine, site.OverheadLine, site.Building, site.Water}, kinds)
	assert.Equal(t, 12.0, g.Features[0].KV)
	assert.Len(t, g.Features[1].Geometry, 2, "what lies to both sides of the drawn stretch")
	assert.Equal(t, []string{
		"village.osm: OpenStreetMap shows 1 overhead-line, 1 building, 1 water within 656 ft of the lots; an empty map is no proof of empty ground",
		"village.osm: overhead lines without a voltage: 1; the widest clearance, 50 ft, is kept from them",
		"village.osm: areas that cross themselves: 1; the boxes around them are taken",
		"features of OpenStreetMap that gave way to what was drawn of the same: 1",
	}, g.Warnings[:4])
	water := g.Features[3].Geometry.(orb.MultiPolygon)
	assert.InDelta(t, 0.001, water.Bound().Right()-water.Bound().Left(), 1e-6)
	assert.Len(t, water[0][0], 5, "a box")
}

// An extract that shows nothing around the lots is no map without lines: that is said.
func TestPrepareSaysThatAnExtractShowsNothing(t *testing.T) {
	extract := mapFile(t, mapWay{[]orb.Point{around(-0.02, -0.02), around(0.02, 0.02)}, false, map[string]string{"landuse": "forest"}})
	g, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: boundary(t, lotAround("a")), SiteFiles: SiteFiles{Site: []string{extract}}})
	require.NoError(t, err)
	assert.Empty(t, g.Features)
	assert.Equal(t, "village.osm: OpenStreetMap shows nothing that is minded within 656 ft of the lots; an empty map is no proof of empty ground", g.Warnings[0])
}

// One lot of many has of a map what lies within 200 m of it, not all that lies around the others.
func TestOneOfManyLotsHasItsNeighborhood(t *testing.T) {
	at := around(0, 0)
	near, far := site.Feature{Kind: site.Tower, Geometry: at, From: site.OpenStreetMap}, site.Feature{Kind: site.Tower, Geometry: around(0.05, 0), From: site.OpenStreetMap}
	n := NeighborhoodOf([]site.Feature{far, near, far})
	assert.Equal(t, []site.Feature{near}, LotSource{Lent: n}.near(orb.MultiPolygon{orb.Bound{Min: at, Max: at}.Pad(1e-4).ToPolygon()}))
	assert.Empty(t, LotSource{}.near(orb.MultiPolygon{orb.Bound{Min: at, Max: at}.ToPolygon()}))
}

func TestAnExtractIsNoBoundaryAndNoStaging(t *testing.T) {
	extract := mapFile(t, mapWay{[]orb.Point{around(0, 0), around(0.001, 0)}, false, map[string]string{"highway": "service"}})
	_, err := Read(t.Context(), extract, Options{})
	assert.EqualError(t, err, extract+": is an OpenStreetMap extract, which draws no lot: give it as site")
	_, err = SiteFiles{Staging: []string{extract}}.ReadDrawn(t.Context())
	assert.EqualError(t, err, extract+": is an OpenStreetMap extract, which draws no lot: give it as site")
	_, err = Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Lots: []zoning.Lot{{Parcel: zoning.Parcel{Lot: "a", Ground: rectangle(jacksboroWest, jacksboroMidLat, jacksboroWest+0.001, jacksboroMidLat+0.001)}}},
		SiteFiles: SiteFiles{Site: []string{extract[:len(extract)-1]}}})
	assert.ErrorContains(t, err, "there is no such file")
}
