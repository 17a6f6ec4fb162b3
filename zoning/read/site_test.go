package read

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
)

const (
	treePoint = `{"type":"Point","coordinates":[-119.9995,45.0005]}`
	lineShape = `{"type":"LineString","coordinates":[[-120,45],[-119.999,45.001]]}`
	loopShape = `{"type":"LineString","coordinates":[[-120,45],[-119.999,45],[-119.999,45.001],[-120,45.001],[-120,45]]}`
)

func readSiteText(t testing.TB, features ...string) ([]site.Feature, string, error) {
	t.Helper()
	path := write(t, "site.geojson", featureCollection(features...))
	found, err := ReadSite(t.Context(), path, SiteOptions{})
	return found, path, err
}

func TestReadSite(t *testing.T) {
	found, _, err := readSiteText(t,
		`{"kind":"no-go","name":"Pond","setback":"50ft"}|`+polygon(boxRing),
		`{"kind":"Overhead line","kv":"115kV","class":"old"}|`+lineShape,
		`{"kind":"leave tree","name":"Oak"}|`+treePoint,
		`{"kind":"soft","bears":"6psi"}|`+loopShape,
		`{"kind":"travel"}|`+loopShape,
		`{"kind":"bridge","weight":"20tons"}|`+treePoint,
		`{"kind":"staging"}|{"type":"GeometryCollection","geometries":[`+treePoint+`,`+polygon(boxRing)+`]}`)
	require.NoError(t, err)
	require.Len(t, found, 8)

	pond := found[0]
	assert.Equal(t, site.NoGo, pond.Kind)
	assert.Equal(t, "feature 1 (Pond)", pond.Title())
	assert.Equal(t, site.Setback{WidthM: 15.24}, pond.Setback)
	assert.InDelta(t, boxM2, coverage.AreaM2(pond.Geometry.(orb.MultiPolygon)), boxM2Delta)

	assert.Equal(t, 115.0, found[1].KV)
	assert.Equal(t, orb.MultiLineString{{{-120, 45}, {-119.999, 45.001}}}, found[1].Geometry)
	assert.Equal(t, orb.MultiPoint{{-119.9995, 45.0005}}, found[2].Geometry)
	assert.Equal(t, 1, found[3].Geometry.Dimensions(), "a line that comes back may be a wet ditch")
	assert.InDelta(t, 41.3685, found[3].BearsKPa, 1e-4)
	assert.InDelta(t, boxM2, coverage.AreaM2(found[4].Geometry.(orb.MultiPolygon)), boxM2Delta)
	assert.Equal(t, []string{"drawn as a closed line, taken for a polygon"}, found[4].Notes)
	assert.InDelta(t, 18143.69, found[5].WeightKg, 0.01)
	assert.Equal(t, []int{7, 7}, []int{found[6].Place, found[7].Place}, "one for each sort of shape")
	assert.Equal(t, 2, found[6].Geometry.Dimensions())
	assert.Equal(t, 0, found[7].Geometry.Dimensions())
}

func TestReadSiteRefuses(t *testing.T) {
	for _, c := range []struct{ name, feature, want string }{
		{"kind", `{"kind":"gully","name":"North"}|` + polygon(boxRing), `: feature 2 (North): its kind "gully" is not known: write one of no-go, soft, leave-tree, `},
		{"no kind", `{"kind":null}|` + polygon(boxRing), ": feature 2: its field kind is empty: write one of no-go"},
		{"bare number", `{"kind":"no-go","setback":50}|` + polygon(boxRing), `: feature 2: setback "50" is not a length with a unit; write a length with its unit, such as 10ft, 18in or 3m, or a rule: kentucky-for-69`},
		{"bears", `{"kind":"soft"}|` + polygon(boxRing), ": feature 2: it does not say what the soft ground bears; add bears, such as 6psi"},
		{"shape", `{"kind":"travel"}|` + lineShape, ": feature 2: travel is drawn as a line; draw it as a polygon"},
		{"no geometry", `{"kind":"no-go"}|null`, ": feature 2: has no geometry that can be read: draw it, or take it out"},
		{"hole outside", `{"kind":"no-go"}|` + polygon("0 0, 1 0, 1 1, 0 1, 0 0", "2 2, 3 2, 3 3, 2 3, 2 2"), ": feature 2: a hole lies outside its boundary"},
		{"swapped", `{"kind":"leave-tree"}|{"type":"Point","coordinates":[45,-120]}`, ": feature 2: a corner (45, -120) has latitude -120, beyond a pole: longitude and latitude look swapped"},
		{"feet", `{"kind":"leave-tree"}|{"type":"Point","coordinates":[6050000,2120000]}`, ": feature 2: a corner (6050000, 2120000) is not in degrees of longitude and latitude: name the CRS of the file with site-crs"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, path, err := readSiteText(t, `{"kind":"leave-tree","setback":""}|`+treePoint, c.feature)
			require.Error(t, err)
			assert.Contains(t, err.Error(), path+c.want)
		})
	}
}

func TestReadSiteRefusesFiles(t *testing.T) {
	_, _, err := readSiteText(t)
	assert.ErrorContains(t, err, "site.geojson: holds nothing: draw a shape, and say its kind: no-go, soft")
	_, _, err = readSiteText(t, `{"art":"no-go","color":"red"}|`+polygon(boxRing))
	assert.ErrorContains(t, err, `feature 1: layer "site" has no field "kind" to say what its shapes are (its fields: art, color): add it, name the field that does, or call the layer by their kind: no-go, soft`)

	path := write(t, "site.geojson", featureCollection(`{"art":"no-go"}|`+polygon(boxRing)))
	found, err := ReadSite(t.Context(), path, SiteOptions{KindField: "ART"})
	require.NoError(t, err)
	assert.Equal(t, site.NoGo, found[0].Kind)
	_, err = ReadSite(t.Context(), path, SiteOptions{KindField: "sort"})
	assert.ErrorContains(t, err, `has no field "sort"`)
	_, err = ReadSite(t.Context(), path, SiteOptions{CRS: "EPSG:none", KindField: "art"})
	assert.ErrorContains(t, err, `site-crs "EPSG:none" is no CRS that PROJ knows`)
	_, err = ReadSite(t.Context(), path+"x", SiteOptions{})
	assert.ErrorContains(t, err, "there is no such file")
}

// A small lobe stays, and half of a bow-tie is refused, as of a lot.
func TestSitePolygonsAreRepairedAsLotsAre(t *testing.T) {
	_, _, err := readSiteText(t, `{"kind":"no-go"}|`+polygon("0 0, 1 1, 1 0, 0 1, 0 0"))
	require.ErrorContains(t, err, "its boundary crosses or touches itself near 0.500000 N, 0.500000 E; a repair would change")
	found, _, err := readSiteText(t, `{"kind":"no-go"}|`+polygon("0 0, 1 0, 0.49 1, 0.51 1, 0 0"))
	require.NoError(t, err)
	require.Len(t, found[0].Geometry, 2)
	require.Len(t, found[0].Notes, 1)
	assert.Contains(t, found[0].Notes[0], "its boundary crosses or touches itself near 0.980392 N, 0.500000 E: repaired")
	reason, err := invalidity(found[0].Geometry.(orb.MultiPolygon))
	require.NoError(t, err)
	assert.Empty(t, reason)
}

func TestEverySiteFormat(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	put := func(name, text string) { require.NoError(t, os.WriteFile(in(name), []byte(text), 0o644)) }
	put("s.geojson", featureCollection(`{"kind":"no-go","setback":"50ft","name":"Pond"}|`+polygon(boxRing)))
	corners := strings.NewReplacer(" ", ",", ", ", " ").Replace(boxRing)
	put("s.kml", `<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Document><Folder><name>Things</name><Placemark><name>Pond</name>
<ExtendedData><Data name="kind"><value>no-go</value></Data><Data name="setback"><value>50ft</value></Data></ExtendedData>
<Polygon><outerBoundaryIs><LinearRing><coordinates>`+corners+`</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></Folder></Document></kml>`)
	zipped(t, in("s.kmz"), "", in("s.kml"))
	for _, f := range []struct {
		driver godal.DriverName
		name   string
	}{{godal.GeoPackage, "s.gpkg"}, {godal.Shapefile, "s.shp"}} {
		createSite(t, f.driver, in(f.name), "EPSG:4326", [4]string{"no-go", "50ft", "Pond", boxWKT})
	}
	zipped(t, in("s.zip"), "", in("s.shp"), in("s.shx"), in("s.dbf"), in("s.prj"))
	for _, name := range []string{"s.geojson", "s.kml", "s.kmz", "s.gpkg", "s.shp", "s.zip"} {
		t.Run(name, func(t *testing.T) {
			found, err := ReadSite(t.Context(), in(name), SiteOptions{})
			require.NoError(t, err)
			require.Len(t, found, 1)
			assert.Equal(t, site.NoGo, found[0].Kind)
			assert.Equal(t, "Pond", found[0].Name)
			assert.Equal(t, 15.24, found[0].Setback.WidthM)
			assert.InDelta(t, boxM2, coverage.AreaM2(found[0].Geometry.(orb.MultiPolygon)), boxM2Delta)
		})
	}
}

// createSite writes a file of the fields kind, setback and name.
func createSite(t testing.TB, driver godal.DriverName, path, srs string, features ...[4]string) {
	t.Helper()
	require.NoError(t, registerDrivers())
	ds, err := godal.CreateVector(driver, path)
	require.NoError(t, err)
	sr, err := godal.NewSpatialRef(srs)
	require.NoError(t, err)
	defer sr.Close()
	l, err := ds.CreateLayer("site", sr, godal.GTUnknown,
		godal.NewFieldDefinition("KIND", godal.FTString), godal.NewFieldDefinition("SETBACK", godal.FTString), godal.NewFieldDefinition("NAME", godal.FTString))
	require.NoError(t, err)
	for _, v := range features {
		g, err := godal.NewGeometryFromWKT(v[3], sr)
		require.NoError(t, err)
		f, err := l.NewFeature(g, failuresOnly)
		require.NoError(t, err)
		for i, field := range []string{"KIND", "SETBACK", "NAME"} {
			require.NoError(t, f.SetFieldValue(f.Fields()[field], v[i]))
		}
		require.NoError(t, l.UpdateFeature(f, failuresOnly))
		f.Close()
		g.Close()
	}
	require.NoError(t, ds.Close())
}

// Folders of a drawing that are called by a kind need no field.
func TestTheNameOfALayerTellsItsKind(t *testing.T) {
	mark := func(name, shape string) string {
		return "<Placemark><name>" + name + "</name>" + shape + "</Placemark>"
	}
	line := "<LineString><coordinates>-120,45,7 -119.999,45.001,9</coordinates></LineString>"
	path := write(t, "s.kml", `<kml xmlns="http://www.opengis.net/kml/2.2"><Document>
<Folder><name>Roads</name>`+mark("Mill Road", line)+mark("nothing", "")+`</Folder>
<Folder><name>leave trees</name>`+mark("Oak", "<Point><coordinates>-119.9995,45.0005</coordinates></Point>")+`</Folder></Document></kml>`)
	found, err := ReadSite(t.Context(), path, SiteOptions{})
	require.NoError(t, err)
	require.Len(t, found, 2)
	assert.Equal(t, site.Road, found[0].Kind)
	assert.Equal(t, "Mill Road", found[0].Name)
	assert.Empty(t, found[0].Notes, "heights are nothing to tell of")
	assert.Equal(t, site.LeaveTree, found[1].Kind)
	assert.Equal(t, "Oak", found[1].Name)

	_, err = ReadSite(t.Context(), path, SiteOptions{KindField: "kind"})
	assert.ErrorContains(t, err, `feature 1 (Mill Road): layer "Roads" has no field "kind"`)
}

func TestSiteFromGPX(t *testing.T) {
	path := write(t, "s.gpx", gpxFile(
		`<wpt lat="45.0005" lon="-119.9995"><ele>3</ele><name>Oak</name><type>leave-tree</type></wpt>`,
		strings.Replace(track("Lane", "-120 45, -119.999 45.001"), "<trkseg>", "<type>road</type><trkseg>", 1),
		strings.Replace(track("Crossing", boxRing), "<trkseg>", "<type>travel</type><trkseg>", 1)))
	found, err := ReadSite(t.Context(), path, SiteOptions{})
	require.NoError(t, err)
	kinds := map[site.Kind]orb.Geometry{}
	for _, f := range found {
		kinds[f.Kind] = f.Geometry
	}
	assert.Equal(t, orb.MultiPoint{{-119.9995, 45.0005}}, kinds[site.LeaveTree])
	assert.Equal(t, orb.MultiLineString{{{-120, 45}, {-119.999, 45.001}}}, kinds[site.Road])
	assert.InDelta(t, boxM2, coverage.AreaM2(kinds[site.Travel].(orb.MultiPolygon)), boxM2Delta)

	_, err = ReadSite(t.Context(), write(t, "t.gpx", gpxFile(waypoint)), SiteOptions{})
	assert.ErrorContains(t, err, "feature 1 (gate): its field type is empty: write one of no-go")
}

func TestReadStagingAndTravel(t *testing.T) {
	path := write(t, "s.gpx", gpxFile(waypoint, track("way in", "-120 45, -119.999 45.001")))
	found, err := readStaging(t.Context(), path, SiteOptions{})
	require.NoError(t, err)
	require.Len(t, found, 1)
	assert.Equal(t, site.Feature{Kind: site.Staging, Name: "gate", Place: 1, Geometry: orb.MultiPoint{{-119.9995, 45.0005}}}, found[0])
	_, err = readTravel(t.Context(), path, SiteOptions{})
	assert.EqualError(t, err, path+": holds 1 point and 1 line; travel needs polygons")

	yard := write(t, "y.gpx", gpxFile(track("yard", boxRing)))
	found, err = readStaging(t.Context(), yard, SiteOptions{})
	require.NoError(t, err)
	assert.InDelta(t, boxM2, coverage.AreaM2(found[0].Geometry.(orb.MultiPolygon)), boxM2Delta)

	path = write(t, "s.geojson", featureCollection(`{"kind":"anything","setback":"5"}|`+treePoint, polygon(boxRing), lineShape))
	found, err = readStaging(t.Context(), path, SiteOptions{})
	require.NoError(t, err)
	require.Len(t, found, 2)
	assert.Equal(t, 2, found[1].Geometry.Dimensions())
	found, err = readTravel(t.Context(), path, SiteOptions{})
	require.NoError(t, err)
	require.Len(t, found, 1)
	assert.Equal(t, site.Travel, found[0].Kind)
	_, err = readStaging(t.Context(), write(t, "l.geojson", featureCollection(lineShape)), SiteOptions{})
	assert.ErrorContains(t, err, "l.geojson: holds 1 line; staging needs points, or polygons")

	// A site file given as staging once became one: its no-go was ground to unload on.
	path = write(t, "n.geojson", featureCollection(`{"kind":"staging"}|`+treePoint, `{"kind":"no-go","name":"Creek"}|`+polygon(boxRing)))
	_, err = readStaging(t.Context(), path, SiteOptions{})
	assert.EqualError(t, err, path+": feature 2 (Creek): its kind is no-go, and the file was given for staging: give it as a site file, or take this shape out")
	_, err = readTravel(t.Context(), path, SiteOptions{})
	assert.ErrorContains(t, err, "feature 1: its kind is staging, and the file was given for travel")
}

func TestSiteInFeet(t *testing.T) {
	path := filepath.Join(t.TempDir(), "feet.gpkg")
	createSite(t, godal.GeoPackage, path, "EPSG:2227",
		[4]string{"leave-tree", "", "Oak", "POINT(6050000 2120000)"},
		[4]string{"road", "20ft", "Lane", "LINESTRING(6050000 2120000,6052640 2120000)"})
	found, err := ReadSite(t.Context(), path, SiteOptions{})
	require.NoError(t, err)
	oak, lane := found[0].Geometry.(orb.MultiPoint)[0], found[1].Geometry.(orb.MultiLineString)[0]
	assert.Equal(t, oak, lane[0])
	// 2 640 US survey feet; a zone of a conic is within 1 in 10 000 of the ground.
	assert.InEpsilon(t, 2640*1200.0/3937, planeAt(oak[1]).distanceM(lane[0], lane[len(lane)-1]), 1e-4)
}

// RFC 7946, section 3.1.9: cut in two at the antimeridian.
func TestSiteLinesAndPointsAtTheAntimeridian(t *testing.T) {
	found, _, err := readSiteText(t,
		`{"kind":"road"}|{"type":"LineString","coordinates":[[179.99,50],[-179.99,50.02]]}`,
		`{"kind":"road"}|{"type":"LineString","coordinates":[[179.99,50],[180.01,50.02],[180.02,50.02]]}`,
		`{"kind":"leave-tree"}|{"type":"Point","coordinates":[180.01,50]}`,
		`{"kind":"road"}|{"type":"LineString","coordinates":[[179.99,50],[180,50]]}`)
	require.NoError(t, err)
	assert.Equal(t, orb.MultiLineString{{{179.99, 50}, {180, 50.01}}, {{-180, 50.01}, {-179.99, 50.02}}}, rounded(found[0].Geometry))
	assert.Equal(t, orb.MultiLineString{{{179.99, 50}, {180, 50.01}}, {{-180, 50.01}, {-179.99, 50.02}, {-179.98, 50.02}}}, rounded(found[1].Geometry))
	assert.Equal(t, orb.MultiPoint{{-179.99, 50}}, found[2].Geometry)
	assert.Equal(t, orb.MultiLineString{{{179.99, 50}, {180, 50}}}, found[3].Geometry)
}

func rounded(g orb.Geometry) orb.Geometry { return orb.Round(g, 1e9) }

func TestSeveralShapefilesInAZip(t *testing.T) {
	dir := t.TempDir()
	var members []string
	for _, name := range []string{"a", "b"} {
		createSite(t, godal.Shapefile, filepath.Join(dir, name+".shp"), "EPSG:4326", [4]string{"no-go", "", name, boxWKT})
		for _, ext := range []string{".shp", ".shx", ".dbf", ".prj"} {
			members = append(members, filepath.Join(dir, name+ext))
		}
	}
	two := filepath.Join(dir, "two.zip")
	zipped(t, two, "", members...)
	_, err := ReadSite(t.Context(), two, SiteOptions{})
	assert.ErrorContains(t, err, "holds several shapefiles (a, b): zip each by itself, or name the layer to read")
	found, err := ReadSite(t.Context(), two, SiteOptions{Layer: "b"})
	require.NoError(t, err)
	assert.Equal(t, "b", found[0].Name)
}

// FuzzSite reads bytes as a file of features.
func FuzzSite(f *testing.F) {
	f.Add([]byte(featureCollection(`{"kind":"no-go","setback":"filter-strip"}|`+polygon(boxRing), `{"kind":"road"}|`+lineShape)))
	f.Add([]byte(featureCollection(`{"kind":"travel"}|`+loopShape, `{"kind":"overhead-line","kv":"115kV"}|{"type":"MultiLineString","coordinates":[[[179,1],[-179,1]],[[1,2]]]}`)))
	f.Add([]byte(gpxFile(waypoint, track("t", boxRing))))
	put := inMemory(f, "a.geojson")
	f.Fuzz(func(t *testing.T, data []byte) {
		path := put(data)
		for _, read := range []func(context.Context, string, SiteOptions) ([]site.Feature, error){ReadSite, readStaging, readTravel} {
			found, err := read(t.Context(), path, SiteOptions{})
			if (err == nil) != (len(found) > 0) {
				t.Fatalf("%d features, %v", len(found), err)
			}
			for _, v := range found {
				b := v.Geometry.Bound()
				if err := v.Kind.Fits(v.Geometry); err != nil || !(b.Min[0] >= -180 && b.Max[0] <= 180 && b.Min[1] >= -90 && b.Max[1] <= 90) {
					t.Fatalf("%+v, %v", v, err)
				}
			}
		}
	})
}
