package read

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

// The box of 0.001 degrees with its south-west corner at 45 N, 120 W holds
// 8762.3135 m² (2.165215 acres), by GeographicLib on its densified edges.
const (
	boxM2      = 8762.3135
	boxRing    = "-120 45, -119.999 45, -119.999 45.001, -120 45.001, -120 45"
	boxWKT     = "POLYGON((-120 45,-119.999 45,-119.999 45.001,-120 45.001,-120 45))"
	boxM2Delta = 0.00006
)

func TestEveryFormat(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	geojson := featureCollection(`{"lot":100}|` + polygon(boxRing))
	require.NoError(t, os.WriteFile(in("box.geojson"), []byte(geojson), 0o644))
	require.NoError(t, os.WriteFile(in("box.json"), []byte("\xef\xbb\xbf \n"+geojson), 0o644))
	require.NoError(t, os.WriteFile(in("bare.json"), []byte(polygon(boxRing)), 0o644))
	kml := `<?xml version="1.0"?><kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><name>100</name><Polygon><outerBoundaryIs><LinearRing><coordinates>` +
		strings.NewReplacer(" ", ",", ", ", " ").Replace(boxRing) + `</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></kml>`
	require.NoError(t, os.WriteFile(in("box.kml"), []byte(kml), 0o644))
	zipped(t, in("box.kmz"), "", in("box.kml"))
	create(t, godal.GeoPackage, in("box.gpkg"), "parcels", "EPSG:4326", boxWKT)
	create(t, godal.Shapefile, in("box.shp"), "box", "EPSG:4326", boxWKT)
	zipped(t, in("box.zip"), "deep/er/", in("box.shp"), in("box.shx"), in("box.dbf"), in("box.prj"))
	require.NoError(t, os.WriteFile(in("box.gpx"), []byte(gpxFile(track("100", boxRing))), 0o644))
	require.NoError(t, os.WriteFile(in("no extension"), []byte(geojson), 0o644))

	for _, name := range []string{"box.geojson", "box.json", "bare.json", "box.kml", "box.kmz", "box.gpx", "box.gpkg", "box.shp", "box.zip", "no extension"} {
		t.Run(name, func(t *testing.T) {
			lot := readOne(t, in(name), Options{})
			require.NoError(t, lot.Err)
			requireSound(t, lot)
			assert.InDelta(t, boxM2, coverage.AreaM2(lot.Ground), boxM2Delta)
			assert.Empty(t, lot.Notes)
			assert.Equal(t, 1, lot.Place)
			if name == "bare.json" {
				assert.Equal(t, "1", lot.Lot, "a bare geometry has no fields")
			} else {
				assert.Equal(t, "100", lot.Lot)
			}
			// The file's own figures, in whichever order it winds.
			assert.ElementsMatch(t, box(-120, 45, -119.999, 45.001)[0][0][:4], lot.Ground[0][0][:4])
		})
	}
}

func TestRefusedFiles(t *testing.T) {
	dir := t.TempDir()
	noShapes := filepath.Join(dir, "noshapes.zip")
	zipped(t, noShapes, "", write(t, "plan.pdf", "%PDF"))
	missingShx := filepath.Join(dir, "alone.shp")
	create(t, godal.Shapefile, missingShx, "alone", "EPSG:4326", boxWKT)
	require.NoError(t, os.Remove(filepath.Join(dir, "alone.shx")))

	for _, c := range []struct{ name, path, want string }{
		{"missing", filepath.Join(dir, "none.kml"), "there is no such file"},
		{"folder", dir, "is not a file"},
		{"empty", write(t, "e.geojson", ""), "is empty"},
		{"GPX of nothing", write(t, "t.gpx", `<?xml version="1.0"?><gpx version="1.1"></gpx>`), "holds nothing; a parcel needs a track or a route that comes back to its start"},
		{"GPX called KML", write(t, "t.kml", `<gpx version="1.1"></gpx>`), "holds nothing; a parcel needs a track or a route"},
		{"text", write(t, "t.geojson", "hello"), "is in no format known here: shapes are read from GeoJSON, KML, KMZ, Shapefile (.shp, or zipped), GPX or GeoPackage"},
		{"GDAL's own pointer to another file", write(t, "v.kml", `<OGRVRTDataSource><OGRVRTLayer name="a"><SrcDataSource>/etc/passwd</SrcDataSource></OGRVRTLayer></OGRVRTDataSource>`), "is in no format known here"},
		{"TopoJSON", write(t, "t.json", `{"type":"Topology","objects":{},"arcs":[]}`), "cannot be read as GeoJSON"},
		{"cut off", write(t, "c.geojson", featureCollection(polygon(boxRing))[:150]), "cannot be read as GeoJSON"},
		{"no features", write(t, "n.geojson", featureCollection()), "holds nothing; a parcel needs a closed polygon"},
		{"damaged zip", write(t, "d.kmz", "PK\x03\x04rest"), "is a damaged zip file"},
		{"zip of something else", noShapes, "is a zip file without a shapefile or KML in it (it holds plan.pdf)"},
		{"shapefile without index", missingShx, "its .shx is missing"},
		{"index of a shapefile", write(t, "lots.shx", "\x00\x00\x27\x0a"+strings.Repeat("\x00", 96)), "is part of a shapefile: give the .shp"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(t.Context(), c.path, Options{})
			require.Error(t, err)
			assert.Contains(t, err.Error(), c.path+": ")
			assert.Contains(t, err.Error(), c.want)
		})
	}
}

func TestKMLKeepsBoundariesAndTellsOfTheRest(t *testing.T) {
	for _, file := range []string{"testdata/lots.kml", "testdata/lots.kmz"} {
		var told []string // what is of the file was the last lot's
		lots, err := Read(t.Context(), file, Options{Tell: func(note string) { told = append(told, note) }})
		require.NoError(t, err)
		require.Len(t, lots, 2)
		requireSound(t, lots...)
		leftOut := "left out of the file as no boundary: 1 point, 1 line, 1 closed line, 1 picture and 1 feature without geometry"
		assert.Equal(t, []string{leftOut}, told)
		untold, err := Read(t.Context(), file, Options{})
		require.NoError(t, err)
		for i, lot := range untold {
			assert.Equal(t, append(lots[i].Notes, leftOut), lot.Notes, "nobody else is told")
		}
		north, south := lots[0], lots[1]
		assert.Equal(t, "North", north.Lot)
		assert.Equal(t, []string{"the heights in its boundary are not used: heights come from the elevation"}, north.Notes)
		assert.Equal(t, "South", south.Lot, "the field lot goes before the name")
		assert.Equal(t, []string{
			"1 point beside its polygons left out",
		}, south.Notes)
		assert.InDelta(t, boxM2-coverage.AreaM2(box(-119.9997, 45.0003, -119.9996, 45.0004)), coverage.AreaM2(south.Ground), boxM2Delta)
		require.Len(t, south.Ground[0], 2)
	}
}

func TestFilesWithoutPolygons(t *testing.T) {
	point, line := `{"type":"Point","coordinates":[1,2]}`, `{"type":"LineString","coordinates":[[1,2],[3,4],[1,2.1]]}`
	loop := `{"type":"LineString","coordinates":[[-120,45],[-119.999,45],[-119.999,45.001],[-120,45.001],[-120,45]]}`
	_, err := Read(t.Context(), write(t, "p.geojson", featureCollection(point, line, point, `{"type":"MultiPoint","coordinates":[[1,2]]}`)), Options{})
	require.ErrorContains(t, err, "holds 3 points and 1 line; a parcel needs a closed polygon")

	_, err = Read(t.Context(), write(t, "e.geojson", featureCollection("null")), Options{})
	require.ErrorContains(t, err, "holds 1 feature without geometry; a parcel needs a closed polygon")

	lot := readOne(t, write(t, "l.geojson", featureCollection(point, loop)), Options{})
	requireSound(t, lot)
	assert.InDelta(t, boxM2, coverage.AreaM2(lot.Ground), boxM2Delta)
	assert.Equal(t, []string{"drawn as a closed line, taken for a boundary", "left out of the file as no boundary: 1 point"}, lot.Notes)

	// A closed line is a road where there are polygons.
	lot = readOne(t, write(t, "b.geojson", featureCollection(loop, polygon(boxRing))), Options{})
	assert.Equal(t, []string{"left out of the file as no boundary: 1 closed line"}, lot.Notes)
}

func TestLayers(t *testing.T) {
	path := filepath.Join(t.TempDir(), "many.gpkg")
	require.NoError(t, registerDrivers())
	ds, err := godal.CreateVector(godal.GeoPackage, path)
	require.NoError(t, err)
	addLayer(t, ds, "corner_points", "EPSG:4326", "POINT(1 2)")
	addLayer(t, ds, "parcels", "EPSG:4326", boxWKT)
	require.NoError(t, ds.Close())

	assert.Equal(t, "100", readOne(t, path, Options{}).Lot, "the one layer of polygons")
	assert.Equal(t, "100", readOne(t, path, Options{Layer: "PARCELS"}).Lot)
	_, err = Read(t.Context(), path, Options{Layer: "corner_points"})
	assert.ErrorContains(t, err, "holds 1 point; a parcel needs a closed polygon")
	_, err = Read(t.Context(), path, Options{Layer: "zones"})
	assert.ErrorContains(t, err, `has no layer "zones": its layers are corner_points, parcels`)

	ds, err = godal.Open(path, godal.Update(), godal.VectorOnly(), godal.Drivers("GPKG"))
	require.NoError(t, err)
	addLayer(t, ds, "buildings", "EPSG:4326", boxWKT)
	require.NoError(t, ds.Close())
	_, err = Read(t.Context(), path, Options{})
	assert.ErrorContains(t, err, "holds several layers with polygons (parcels, buildings): give a file that holds the parcels alone, or name their layer")

	one := readOne(t, "testdata/lots.kml", Options{Layer: "Roads and the other lot"})
	assert.Equal(t, "South", one.Lot)

	dir := t.TempDir()
	var members []string
	for _, name := range []string{"a", "b"} {
		create(t, godal.Shapefile, filepath.Join(dir, name+".shp"), name, "EPSG:4326", boxWKT)
		for _, ext := range []string{".shp", ".shx", ".dbf", ".prj"} {
			members = append(members, filepath.Join(dir, name+ext))
		}
	}
	two := filepath.Join(dir, "two.zip")
	zipped(t, two, "", members...)
	_, err = Read(t.Context(), two, Options{})
	assert.ErrorContains(t, err, "holds several layers with polygons (a, b)")
	assert.Equal(t, "100", readOne(t, two, Options{Layer: "b"}).Lot)
	_, err = Read(t.Context(), two, Options{Layer: "c"})
	assert.ErrorContains(t, err, `has no layer "c": its layers are a, b`)
}

func TestCollectionsSurfacesAndArcs(t *testing.T) {
	path := filepath.Join(t.TempDir(), "arcs.gpkg")
	create(t, godal.GeoPackage, path, "lots_any", "EPSG:32610",
		// A circle of 100 m radius as two arcs.
		"CURVEPOLYGON(CIRCULARSTRING(500100 4000000,500000 4000100,499900 4000000,500000 3999900,500100 4000000))",
		"GEOMETRYCOLLECTION(POINT(500000 4000000),POLYGON((500000 4000000,500100 4000000,500100 4000100,500000 4000100,500000 4000000)))",
		"MULTISURFACE(((500000 4000000,500100 4000000,500100 4000100,500000 4000100,500000 4000000)))",
		"TIN Z(((500000 4000000 1,500100 4000000 1,500100 4000100 1,500000 4000000 1)))",
		"POLYGON ZM((500000 4000000 5 1,500100 4000000 5 1,500100 4000100 5 1,500000 4000000 5 1))")
	lots, err := Read(t.Context(), path, Options{})
	require.NoError(t, err)
	require.Len(t, lots, 5)
	requireSound(t, lots...)

	// On the central meridian UTM shrinks by 0.9996 (EPSG:16010).
	require.NoError(t, lots[0].Err)
	const shrunk = 0.9996 * 0.9996
	// Of a circle, 720 chords leave out (2π/720)²/6 of it.
	assert.InEpsilon(t, 3.14159265358979*100*100*(1-1.269e-5)/shrunk, coverage.AreaM2(lots[0].Ground), 1e-6)
	assert.Contains(t, lots[0].Notes, "its arcs are taken as chords of half a degree")
	for _, l := range lots[1:3] {
		assert.InEpsilon(t, 100*100/shrunk, coverage.AreaM2(l.Ground), 1e-6)
	}
	assert.Equal(t, []string{"1 point beside its polygons left out"}, lots[1].Notes)
	assert.ErrorContains(t, lots[3].Err, "arcs.gpkg: lot 103: is a surface in space (TIN)")
	assert.Contains(t, lots[4].Notes, "the heights in its boundary are not used: heights come from the elevation")
}

func TestStopsWhenAsked(t *testing.T) {
	seen := 0
	for lot, err := range Lots(t.Context(), "testdata/lots_usft.zip", Options{}) {
		require.NoError(t, err)
		assert.Equal(t, 1, lot.Place)
		if seen++; seen == 1 {
			break
		}
	}
	assert.Equal(t, 1, seen)
}

// GDAL's next feature is nil at the end and for an error alike.
func TestDamagedGeoPackageEndsWithAnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lots.gpkg")
	var wkts []string
	for range 300 {
		wkts = append(wkts, boxWKT)
	}
	create(t, godal.GeoPackage, path, "lots", "EPSG:4326", wkts...)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	// The geometry of the 200th feature, and the page about it.
	geometry := []byte("GP\x00\x03\xe6\x10\x00\x00")
	at := 0
	for range 200 {
		next := bytes.Index(data[at+1:], geometry)
		require.GreaterOrEqual(t, next, 0)
		at += 1 + next
	}
	const page = 4096
	copy(data[at/page*page:at/page*page+page], bytes.Repeat([]byte{0xff}, page))
	require.NoError(t, os.WriteFile(path, data, 0o644))

	read := 0
	var last error
	for _, err := range Lots(t.Context(), path, Options{}) {
		if last = err; err == nil {
			read++
		}
	}
	assert.ErrorContains(t, last, `lots.gpkg: reading stopped in layer "lots"`)
	assert.True(t, read > 0 && read < 300, "%d lots", read)
}
