package page

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A view with rows without end hung the page for good: the reader refuses it.
func TestAViewWithoutEnd(t *testing.T) {
	file := filepath.Join(t.TempDir(), "lots.gpkg")
	require.NoError(t, godal.RegisterVector(godal.GeoPackage))
	ds, err := godal.CreateVector(godal.GeoPackage, file)
	require.NoError(t, err)
	wgs84, err := godal.NewSpatialRefFromEPSG(4326)
	require.NoError(t, err)
	defer wgs84.Close()
	_, err = ds.CreateLayer("lots", wgs84, godal.GTPolygon)
	require.NoError(t, err)
	for _, sql := range []string{
		"CREATE VIEW v AS WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) SELECT i AS fid, NULL AS geom FROM n",
		"INSERT INTO gpkg_contents(table_name, data_type, identifier, srs_id) VALUES ('v', 'features', 'v', 4326)",
		"INSERT INTO gpkg_geometry_columns VALUES ('v', 'geom', 'POLYGON', 4326, 0, 0)",
	} {
		_, err := ds.ExecuteSQL(sql)
		require.NoError(t, err)
	}
	require.NoError(t, ds.Close())
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	s := serve(t)
	status, body := s.drop(boundaryPart, "lots.gpkg", string(text))
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, `lots.gpkg: its layer "v" is computed when it is read`)
}
