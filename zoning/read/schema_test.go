package read

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const lotWKT = "POLYGON ((-84.25 36.32,-84.24 36.32,-84.24 36.33,-84.25 36.33,-84.25 36.32))"

// A table of a GeoPackage may be made by a module that reads another file; GDAL brings
// such modules with it (the first case showed that file's shapes before it was refused).
func TestGeoPackageThatReadsAnotherFile(t *testing.T) {
	dir := t.TempDir()
	other := filepath.Join(dir, "other.shp")
	create(t, godal.Shapefile, other, "other", "EPSG:4326", lotWKT)
	stem := other[:len(other)-len(".shp")]
	for i, made := range []string{
		fmt.Sprintf("CREATE VIRTUAL TABLE v USING VirtualShape('%s', 'UTF-8', 4326)", stem),
		fmt.Sprintf("CREATE VIRTUAL TABLE v USING VirtualDbf('%s.dbf', 'UTF-8')", stem),
		fmt.Sprintf("CREATE VIRTUAL TABLE x USING VirtualShape('%s', 'UTF-8', 4326); CREATE VIEW v AS SELECT * FROM x", stem),
	} {
		file := filepath.Join(dir, fmt.Sprintf("lots%d.gpkg", i))
		create(t, godal.GeoPackage, file, "lots", "EPSG:4326", lotWKT)
		require.NoError(t, checkTables(file), "as it was made, with its spatial index")
		ds, err := godal.Open(file, godal.Update(), godal.VectorOnly())
		require.NoError(t, err)
		for _, sql := range []string{made,
			"INSERT INTO gpkg_contents(table_name, data_type, identifier, srs_id) VALUES ('v', 'features', 'v', 4326)",
			"INSERT INTO gpkg_geometry_columns VALUES ('v', 'Geometry', 'POLYGON', 4326, 0, 0)"} {
			for _, one := range statements(sql) {
				_, err := ds.ExecuteSQL(one)
				require.NoError(t, err, one)
			}
		}
		require.NoError(t, ds.Close())
		_, err = Read(t.Context(), file, Options{})
		assert.ErrorContains(t, err, "is not held in the file itself (no such module: Virtual", made)
		_, err = ReadSite(t.Context(), file, SiteOptions{})
		assert.ErrorContains(t, err, "is not held in the file itself", made)
	}
}

// statements parts SQL at semicolons.
func statements(sql string) []string {
	var out []string
	start := 0
	for i, c := range sql {
		if c == ';' {
			out, start = append(out, sql[start:i]), i+1
		}
	}
	return append(out, sql[start:])
}

func TestDamagedGeoPackage(t *testing.T) {
	_, err := Read(t.Context(), write(t, "lots.gpkg", "SQLite format 3\x00 and nothing else"), Options{})
	assert.ErrorContains(t, err, "lots.gpkg: is a damaged GeoPackage (file is not a database)")
}
