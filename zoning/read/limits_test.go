package read

import (
	"archive/zip"
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// packageWith makes a GeoPackage of one lot and runs SQL on it.
func packageWith(t *testing.T, all ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "lots.gpkg")
	create(t, godal.GeoPackage, file, "lots", "EPSG:4326", lotWKT)
	ds, err := godal.Open(file, godal.Update(), godal.VectorOnly())
	require.NoError(t, err)
	for _, sql := range all {
		_, err := ds.ExecuteSQL(sql)
		require.NoError(t, err, sql)
	}
	require.NoError(t, ds.Close())
	return file
}

const (
	endless    = "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n)"
	registered = "INSERT INTO gpkg_contents(table_name, data_type, identifier, srs_id) VALUES ('v', 'features', 'v', 4326)"
	drawn      = "INSERT INTO gpkg_geometry_columns VALUES ('v', 'geom', 'POLYGON', 4326, 0, 0)"
)

// A view ran for as long and with as much memory as it liked: a recursive one hung the
// program, zeroblob took gigabytes. Columns with a formula and tables of a module, which
// may ask a view, are no better.
func TestLayersThatAreComputed(t *testing.T) {
	for _, made := range [][]string{
		{"CREATE VIEW v AS " + endless + " SELECT i AS fid, (SELECT geom FROM lots) AS geom FROM n", registered, drawn},
		{"CREATE VIEW v AS " + endless + " SELECT max(i) AS fid, NULL AS geom FROM n", registered, drawn},
		{"CREATE VIEW v AS " + endless + " SELECT i AS fid, zeroblob(900000000) AS geom FROM n LIMIT 5", registered, drawn},
		{"CREATE VIEW V AS SELECT * FROM lots", registered},
		{"CREATE TABLE v (fid INTEGER PRIMARY KEY, n BLOB AS (zeroblob(900000000)), geom BLOB)", registered, drawn},
		{"CREATE VIEW source AS " + endless + " SELECT i AS rowid, 'x' AS a FROM n", "CREATE VIRTUAL TABLE v USING fts4(content='source', a)", registered},
		{"CREATE VIEW gpkg_data_columns AS " + endless + " SELECT i AS table_name FROM n"},
	} {
		file := packageWith(t, made...)
		_, err := Read(t.Context(), file, Options{})
		assert.ErrorContains(t, err, "is computed when it is read (a view, or a column with a formula): export it to a new GeoPackage", made[0])
		_, err = ReadSite(t.Context(), file, SiteOptions{})
		assert.ErrorContains(t, err, "is computed when it is read", made[0])
	}
}

// A view that is no layer is never asked, whatever it would do.
func TestViewsThatAreNoLayers(t *testing.T) {
	file := packageWith(t, "CREATE VIEW st_spatial_ref_sys AS SELECT * FROM gpkg_spatial_ref_sys", "CREATE VIEW v AS "+endless+" SELECT max(i) AS geom FROM n")
	lots, err := Read(t.Context(), file, Options{})
	require.NoError(t, err)
	assert.Len(t, lots, 1)
}

// Reading went on to the end of the file, and what there was too much of was counted then.
func TestReadingStopsAfterTheLastAllowed(t *testing.T) {
	three := []string{polygon(boxRing), polygon(boxRing), polygon(boxRing)}
	for name, file := range map[string]string{
		"GeoJSON": write(t, "a.geojson", featureCollection(three...)),
		"GPX":     write(t, "a.gpx", gpxFile(track("a", boxRing), track("b", boxRing), track("c", boxRing))),
	} {
		lots, err := Read(t.Context(), file, Options{MostLots: 3, MostCorners: 15})
		require.NoError(t, err, name)
		assert.Len(t, lots, 3)
		var many *TooMany
		_, err = Read(t.Context(), file, Options{MostLots: 2})
		require.ErrorAs(t, err, &many, name)
		assert.Equal(t, TooMany{"lots", 2}, *many)
		assert.ErrorContains(t, err, "holds more than 2 lots: give the part of it that belongs to this job")
		_, err = Read(t.Context(), file, Options{MostCorners: 14})
		require.ErrorAs(t, err, &many, name)
		assert.Equal(t, TooMany{"corners", 14}, *many)

		seen, looked := 0, 0
		for lot, err := range Lots(t.Context(), file, Options{MostLots: 2, Look: func(int) error { looked++; return nil }}) {
			if err == nil {
				seen++
				assert.Equal(t, seen, lot.Place)
			}
		}
		assert.Equal(t, []int{2, 2}, []int{seen, looked}, "%s: those before come, and no other is looked at", name)
	}
	site := write(t, "s.geojson", featureCollection(`{"kind":"no-go"}|`+three[0], `{"kind":"no-go"}|`+three[0]))
	found, err := ReadSite(t.Context(), site, SiteOptions{Most: 2})
	require.NoError(t, err)
	assert.Len(t, found, 2)
	_, err = ReadSite(t.Context(), site, SiteOptions{Most: 1})
	assert.ErrorContains(t, err, "s.geojson: holds more than 1 features")
}

// A few kilobytes of brackets or elements, unfolded from a zip too, took gigabytes before
// they were refused.
func TestTextThatNests(t *testing.T) {
	deep := strings.Repeat("[", 200<<10)
	elements := "<kml>" + strings.Repeat("<Folder>", 25<<10)
	var kmz bytes.Buffer
	z := zip.NewWriter(&kmz)
	w, err := z.Create("doc.kml")
	require.NoError(t, err)
	_, err = w.Write([]byte(elements))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	for name, file := range map[string]string{
		"GeoJSON: line 1: more than 32 brackets":         write(t, "a.geojson", `{"type":"FeatureCollection","features":`+deep),
		"KML: line 1: more than 100 brackets":            write(t, "a.kml", elements),
		"KML: line 1: more than 100 brackets or":         write(t, "a.kmz", kmz.String()),
		"GPX: line 1: more than 100 brackets":            write(t, "a.gpx", "<gpx>"+strings.Repeat("<trk>", 40<<10)),
		"GeoJSON: line 1: one thing in it has more than": write(t, "b.geojson", `{"type":"Polygon","coordinates":[`+strings.Repeat("1,", 17<<20)),
	} {
		_, err := Read(t.Context(), file, Options{})
		assert.ErrorContains(t, err, "cannot be read as "+name)
		_, err = ReadSite(t.Context(), file, SiteOptions{})
		assert.ErrorContains(t, err, "cannot be read as "+name)
	}
}
