package read

import (
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

// Corners of testdata/lots_usft.zip by PROJ 9.1.1, lon lat:
//
//	gdaltransform -s_srs EPSG:2227 -t_srs EPSG:4326
//	cs2cs -f %.12f EPSG:2227 EPSG:4326      (the same, latitude first)
var usFeet = map[orb.Point]orb.Point{
	{6050000, 2120000}: {-122.271134995850, 37.803839691404},
	{6052640, 2120000}: {-122.261998796632, 37.803976544102},
	{6052640, 2122640}: {-122.262170848388, 37.811225548413},
	{6050000, 2122640}: {-122.271307939293, 37.811088682540},
}

// Halves of its southern and northern edge, from the same run.
var usFeetHalves = []orb.Point{
	{-122.266566900451, 37.803908206214}, // 6051320 2120000
	{-122.266739398051, 37.811157203946}, // 6051320 2122640
}

func TestStatePlaneFeetAgainstPROJ(t *testing.T) {
	lots, err := Read(t.Context(), "testdata/lots_usft.zip", Options{Field: "parcel"})
	require.NoError(t, err)
	require.Len(t, lots, 3)
	requireSound(t, lots...)
	assert.Equal(t, "A-1", lots[0].Lot)
	ring := lots[0].Ground[0][0]
	for _, want := range usFeet {
		assert.True(t, holds(ring, want, 5.1e-10), "%v", want)
	}
	for _, want := range usFeetHalves {
		assert.True(t, holds(ring, want, 5.1e-10), "an edge of half a mile needs its half: %v", want)
	}
	// (2640 × 1200/3937 m)² of the grid, by the areal scale of 0.999859 that
	// proj -S gives for the projection's parameters there.
	assert.InDelta(t, 160.0232, coverage.Acres(lots[0].Ground), 0.0001)

	// Its neighbour draws the shared edge the other way, from another corner.
	shared := 0
	for _, p := range ring[:len(ring)-1] {
		if holds(lots[1].Ground[0][0], p, 0) {
			shared++
		}
	}
	assert.Equal(t, pointsBetween(ring, usFeet[orb.Point{6052640, 2120000}], usFeet[orb.Point{6052640, 2122640}]), shared)
}

// holds tells whether a ring has a corner at p, within a tolerance in degrees.
func holds(r orb.Ring, p orb.Point, tolerance float64) bool {
	for _, q := range r {
		if math.Abs(q[0]-p[0]) <= tolerance && math.Abs(q[1]-p[1]) <= tolerance {
			return true
		}
	}
	return false
}

// pointsBetween counts the points of a ring from a to b, both included.
func pointsBetween(r orb.Ring, a, b orb.Point) int {
	var from, to int
	for i, p := range r[:len(r)-1] {
		if holds(orb.Ring{p}, a, 1e-9) {
			from = i
		}
		if holds(orb.Ring{p}, b, 1e-9) {
			to = i
		}
	}
	n := len(r) - 1
	return (to-from+n)%n + 1
}

// Points of a projected edge, taken at a thousand places, must lie within the
// tolerance of what comes out, and no more points be added than that needs.
func TestEdgesStayWithinTolerance(t *testing.T) {
	for _, c := range []struct {
		name, crs string
		x, y, len float64
	}{
		{"UTM 8 degrees out of its zone", "EPSG:26916", -728132, 4573553, 3000},
		{"Web Mercator", "EPSG:3857", -13e6, 4.5e6, 5000},
		{"Albers far out", "EPSG:5070", -2000000, 3000000, 4000},
		{"polar stereographic", "EPSG:3413", 100000, 200000, 2000},
	} {
		t.Run(c.name, func(t *testing.T) {
			wkt, err := userCRS(c.crs, "parcel-crs")
			require.NoError(t, err)
			k, err := newCRS(wkt, "parcel-crs")
			require.NoError(t, err)
			defer k.close()
			src := orb.Ring{{c.x, c.y}, {c.x + c.len, c.y + c.len/7}, {c.x + c.len/3, c.y + c.len}, {c.x, c.y}}
			out, err := k.path(src)
			require.NoError(t, err)
			for i := 1; i < len(src); i++ {
				for step := range 1000 {
					f := float64(step) / 1000
					p := k.toLonLat([]orb.Point{{
						src[i-1][0] + f*(src[i][0]-src[i-1][0]), src[i-1][1] + f*(src[i][1]-src[i-1][1])}})[0]
					nearest := math.Inf(1)
					for j := 1; j < len(out); j++ {
						nearest = min(nearest, offsetM(p, out[j-1], out[j]))
					}
					require.LessOrEqual(t, nearest, toleranceM+1e-4)
				}
			}
			back := src.Clone()
			back.Reverse()
			reversed, err := k.path(back)
			require.NoError(t, err)
			orb.LineString(reversed).Reverse()
			assert.Equal(t, out, reversed)
		})
	}
}

func TestFileFiguresPassThrough(t *testing.T) {
	// Ten decimals, in WGS 84 and in NAD83, between which PROJ moves nothing
	// without its grids.
	const ring = "-120.0000000001 45, -119.9990000002 45.0000000003, -119.999 45.001, -120.0000000001 45"
	want := readShape(t, polygon(ring)).Ground[0][0]
	assert.Equal(t, -119.9990000002, want[1][0])
	nad83 := strings.Replace(featureCollection(polygon(ring)), `"features"`, `"crs":{"type":"name","properties":{"name":"EPSG:4269"}},"features"`, 1)
	assert.Equal(t, want, readOne(t, write(t, "nad83.geojson", nad83), Options{}).Ground[0][0])
	// The third dimension of a CRS changes nothing.
	assert.Equal(t, want, readOne(t, write(t, "w.geojson", featureCollection(polygon(ring))), Options{CRS: "EPSG:4979"}).Ground[0][0])
}

func TestCompoundCRSUsesItsHorizontalPart(t *testing.T) {
	wkt := "POLYGON((500000 4000000,500100 4000000,500100 4000100,500000 4000100,500000 4000000))"
	dir := t.TempDir()
	for name, srs := range map[string]string{"flat": "EPSG:32610", "compound": "EPSG:32610+5703"} {
		create(t, godal.GeoPackage, filepath.Join(dir, name+".gpkg"), "lots", srs, wkt)
	}
	flat := readOne(t, filepath.Join(dir, "flat.gpkg"), Options{})
	assert.Equal(t, flat.Ground, readOne(t, filepath.Join(dir, "compound.gpkg"), Options{}).Ground)
	// cs2cs EPSG:32610 EPSG:4326: 500000 4000000 is 123 W, 36.144718098818 N.
	assert.True(t, holds(flat.Ground[0][0], orb.Point{-123, 36.144718099}, 0))
}

func TestUnknownCRSAsksForOne(t *testing.T) {
	dir := t.TempDir()
	shp := filepath.Join(dir, "lots.shp")
	create(t, godal.Shapefile, shp, "lots", "", "POLYGON((6050000 2120000,6052640 2120000,6052640 2122640,6050000 2122640,6050000 2120000))")
	_, err := Read(t.Context(), shp, Options{})
	require.ErrorContains(t, err, "its CRS is not known (a shapefile without .prj, for one): name it with parcel-crs")
	gpkg := filepath.Join(dir, "lots.gpkg")
	create(t, godal.GeoPackage, gpkg, "lots", "", boxWKT)
	_, err = Read(t.Context(), gpkg, Options{})
	require.ErrorContains(t, err, "its CRS is not known")

	lot := readOne(t, shp, Options{CRS: "EPSG:2227"})
	requireSound(t, lot)
	assert.Equal(t, []string{"its CRS is taken as NAD83 / California zone 3 (ftUS), EPSG:2227, as told"}, lot.Notes)
	for _, want := range usFeet {
		assert.True(t, holds(lot.Ground[0][0], want, 5.1e-10))
	}

	_, err = Read(t.Context(), shp, Options{CRS: "State Plane"})
	assert.ErrorContains(t, err, `parcel-crs "State Plane" is no CRS that PROJ knows`)
	_, err = Read(t.Context(), shp, Options{CRS: "EPSG:4978"})
	assert.ErrorContains(t, err, "is neither geographic nor projected")
	_, err = Read(t.Context(), shp, Options{CRS: "EPSG:5703"})
	assert.Error(t, err, "a vertical CRS")
}

func TestCRSMemberOfOldGeoJSON(t *testing.T) {
	feet := polygon("6050000 2120000, 6052640 2120000, 6052640 2122640, 6050000 2122640, 6050000 2120000")
	with := func(member, geometry string) string {
		return write(t, "old.geojson", strings.Replace(featureCollection(geometry), `"features"`, `"crs":`+member+`,"features"`, 1))
	}
	for _, known := range []string{`{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::2227"}}`, `{"type":"EPSG","properties":{"code":2227}}`} {
		assert.True(t, holds(readOne(t, with(known, feet), Options{}).Ground[0][0], usFeet[orb.Point{6050000, 2120000}], 5.1e-10))
	}
	for _, lonLat := range []string{`{"type":"name","properties":{"name":"urn:ogc:def:crs:OGC:1.3:CRS84"}}`, `{"type":"EPSG","properties":{"code":4326}}`, `{"type":"name","properties":{"name":"EPSG:4326"}}`} {
		assert.Empty(t, readOne(t, with(lonLat, polygon(boxRing)), Options{}).Notes)
	}
	assert.Equal(t, []string{`its "crs" is null: taken as WGS 84`}, readOne(t, with("null", polygon(boxRing)), Options{}).Notes)

	// GDAL takes each of these for WGS 84 without a word that counts.
	for _, unknown := range []string{`{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::999999"}}`, `"EPSG:2227"`, `{"type":"name","properties":{"name":"/etc/passwd"}}`} {
		_, err := Read(t.Context(), with(unknown, polygon(boxRing)), Options{})
		assert.ErrorContains(t, err, "cannot be read: name it with parcel-crs")
		assert.NoError(t, readOne(t, with(unknown, polygon(boxRing)), Options{CRS: "EPSG:4326"}).Err)
	}
	// A property of that name is none.
	assert.Empty(t, readOne(t, write(t, "p.geojson", featureCollection(`{"crs":"x"}|`+polygon(boxRing))), Options{}).Notes)
}

// GDAL would fetch the CRS that an old GeoJSON links to.
func TestNothingIsFetched(t *testing.T) {
	asked := 0
	server := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked++ }))
	defer server.Close()
	link := strings.Replace(featureCollection(polygon(boxRing)), `"features"`,
		`"crs":{"type":"link","properties":{"href":"`+server.URL+`"}},"features"`, 1)
	_, err := Read(t.Context(), write(t, "link.geojson", link), Options{})
	assert.ErrorContains(t, err, "cannot be read")
	assert.NoError(t, readOne(t, write(t, "link.geojson", link), Options{CRS: "EPSG:4326"}).Err)

	kml, err := os.ReadFile("testdata/lots.kml")
	require.NoError(t, err)
	linked := strings.Replace(string(kml), "<Folder>", "<NetworkLink><Link><href>"+server.URL+"/a.kml</href></Link></NetworkLink><Folder>", 1)
	linked = strings.Replace(linked, "<name>North</name>", "<name>North</name><styleUrl>"+server.URL+"/s.kml#a</styleUrl>", 1)
	_, err = Read(t.Context(), write(t, "link.kml", linked), Options{})
	assert.NoError(t, err)
	assert.Zero(t, asked)
}

func TestMemberIsFoundAcrossReads(t *testing.T) {
	for _, gap := range []int{0, 65530, 65533, 131069} {
		file := write(t, "m.json", `{"a":"`+strings.Repeat("x", gap)+`","features":[{"crs":1}],"crs":{"b":2}}`)
		raw, err := findMember(file)
		require.NoError(t, err)
		assert.Equal(t, `{"b":2}`, string(raw))
	}
	raw, err := findMember(write(t, "m.json", `{"a":NaN,"crs":1}`))
	assert.NoError(t, err)
	assert.Nil(t, raw)
}
