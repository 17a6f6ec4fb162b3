package gdal

import (
	"bytes"
	"encoding/binary"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/trafficability"
	"github.com/acreband/acreband/zoning/write"
)

var packageSpots = []write.Spot{
	{Kind: "hazard", Name: "Обрыв; 'drop'", Words: "a \"bank\" of 8 ft", At: orb.Point{0.0001, -0.0002}},
	{Kind: write.Emergency, Name: "Help", At: orb.Point{0.0002, 0.0001}},
}

// packageMap is a map of two lots on made ground with a void.
func packageMap(t testing.TB) *zoning.ZoneMap {
	t.Helper()
	const cols, rows = 24, 16
	heights := make([]float32, cols*rows)
	for i := range heights {
		c := float64(i % cols)
		heights[i] = float32(50 + 2*c + 0.1*c*c)
	}
	heights[5*cols+5] = float32(math.NaN())
	g, err := terrain.NewGrid(heights, cols, rows, 10, 10)
	require.NoError(t, err)
	machines := []zoning.Machine{{Key: "loader", Name: "Loader's \"own\"", LimitPct: 30}, {Key: "boom", Name: "Boom", LimitPct: 45, ProcedureAbovePct: 35}}
	field, err := slope.Of(g)
	require.NoError(t, err)
	cells := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Frame: g.Frame}}
	trafficability.Stand(field, machines, cells.Masks)
	zm := &zoning.ZoneMap{Fleet: machines, Cautions: zoning.Cautions(measure.US), Boundary: "county", Cells: cells, Field: field}
	for i, name := range []string{"O'Брайен; DROP TABLE zones; --", "second\nline"} {
		w, n := g.Frame.LonLat(1.5+11*float64(i), 1.5)
		e, s := g.Frame.LonLat(12.5+11*float64(i), 14.5)
		ring := orb.Ring{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}
		lot, err := zoning.MapLot(cells, field, machines, []float64{28, 42}, zoning.Parcel{Lot: name, Ground: orb.MultiPolygon{{ring}}})
		require.NoError(t, err)
		lot.Place, lot.EdgeAcres, lot.Notes = i+1, 0.25, []string{"repaired"}
		zm.Lots = append(zm.Lots, lot)
	}
	return zm
}

func packageOf(t testing.TB, zm *zoning.ZoneMap, spots []write.Spot) (text []byte, file string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, GeoPackage(&b, zm, spots))
	file = filepath.Join(t.TempDir(), "zones.gpkg")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	return b.Bytes(), file
}

func opened(t testing.TB, file string) *godal.Dataset {
	t.Helper()
	ds, err := godal.Open(file, godal.VectorOnly(), godal.Drivers("GPKG"))
	require.NoError(t, err)
	t.Cleanup(func() { ds.Close() })
	return ds
}

func shapeOf(t testing.TB, f *godal.Feature) orb.Geometry {
	t.Helper()
	text, err := f.Geometry().WKB()
	require.NoError(t, err)
	g, err := wkb.Unmarshal(text)
	require.NoError(t, err)
	return g
}

func TestGeoPackageHoldsTheMap(t *testing.T) {
	zm := packageMap(t)
	_, file := packageOf(t, zm, packageSpots)
	ds := opened(t, file)

	layer := ds.LayerByName("zones")
	require.NotNil(t, layer)
	assert.Equal(t, godal.GTMultiPolygon, layer.Type())
	empty := map[string]int{}
	for _, row := range must(write.Zones(zm)).Rows {
		f := layer.NextFeature()
		require.NotNil(t, f)
		ground := shapeOf(t, f).(orb.MultiPolygon)
		assert.Equal(t, row.Shape, ground)
		fields := f.Fields()
		for i, c := range must(write.Zones(zm)).Columns {
			field := fields[c.Name]
			switch v := row.Values[i].(type) {
			case string:
				assert.Equal(t, v, field.String(), c.Name)
			case int64:
				assert.Equal(t, v, field.Int(), c.Name)
			case float64:
				assert.Equal(t, v, field.Float(), c.Name)
			default:
				empty[c.Name]++ // godal reads no number as 0
			}
		}
		assert.InDelta(t, fields["acres"].Float(), coverage.Acres(ground), 1e-9)
		assert.True(t, f.Geometry().Valid())
		f.Close()
	}
	assert.Nil(t, layer.NextFeature())
	for _, c := range must(write.Zones(zm)).Columns {
		assert.Equal(t, []string{strconv.Itoa(empty[c.Name])}, column(t, ds, "SELECT CAST(count(*) AS TEXT) FROM zones WHERE "+c.Name+" IS NULL"), c.Name)
	}
	assert.Equal(t, len(must(write.Zones(zm)).Rows), empty["tether_acres"])

	lots := ds.LayerByName("lots")
	for _, lot := range zm.Lots {
		f := lots.NextFeature()
		require.NotNil(t, f)
		assert.Equal(t, lot.Lot, f.Fields()["lot"].String())
		assert.Equal(t, "county", f.Fields()["boundary"].String())
		assert.Equal(t, 0.25, f.Fields()["line_not_flagged_acres"].Float())
		assert.InDelta(t, lot.Acres, coverage.Acres(shapeOf(t, f).(orb.MultiPolygon)), 1e-9)
		f.Close()
	}

	points := ds.LayerByName("spots")
	first := points.NextFeature()
	assert.Equal(t, "emergency", first.Fields()["kind"].String(), "in the order of files")
	first.Close()
	second := points.NextFeature()
	assert.Equal(t, packageSpots[0].Name, second.Fields()["name"].String())
	assert.Equal(t, packageSpots[0].Words, second.Fields()["words"].String())
	assert.Equal(t, packageSpots[0].At, shapeOf(t, second))
	second.Close()

	assert.Contains(t, ds.Metadata("REMARKS"), zoning.Cautions(measure.US)[0])
}

// What is written is read as boundaries: the zones, and the lots.
func TestGeoPackageIsReadAgain(t *testing.T) {
	zm := packageMap(t)
	_, file := packageOf(t, zm, nil)
	lots, err := read.Read(t.Context(), file, read.Options{Layer: "lots"})
	require.NoError(t, err)
	require.Len(t, lots, len(zm.Lots))
	for i, lot := range lots {
		assert.Equal(t, zm.Lots[i].Lot, lot.Lot)
		assert.InDelta(t, zm.Lots[i].Acres, coverage.Acres(lot.Ground), 1e-9)
		assert.Empty(t, lot.Notes, "nothing to repair")
	}
	assert.Nil(t, opened(t, file).LayerByName("spots"), "there are none")
}

// column asks a GeoPackage a question, the answer in one column of texts.
func column(t *testing.T, ds *godal.Dataset, sql string) (out []string) {
	t.Helper()
	result, err := ds.ExecuteSQL(sql)
	require.NoError(t, err, sql)
	defer result.Close()
	for f := result.NextFeature(); f != nil; f = result.NextFeature() {
		for _, v := range f.Fields() {
			out = append(out, v.String())
		}
		f.Close()
	}
	return out
}

// By OGC 12-128r14: requirement 2 (application id and version), 5 and 13
// (contents), 10 (reference systems), 21 (geometry columns), 77 (spatial index);
// annex F.8 (metadata).
func TestGeoPackageIsByItsStandard(t *testing.T) {
	zm := packageMap(t)
	text, file := packageOf(t, zm, packageSpots)
	assert.Equal(t, "SQLite format 3\x00", string(text[:16]))
	assert.Equal(t, "GPKG", string(text[68:72]))
	assert.EqualValues(t, 10200, binary.BigEndian.Uint32(text[60:]))

	ds := opened(t, file)
	assert.Equal(t, []string{"ok"}, column(t, ds, "PRAGMA integrity_check"))
	assert.Equal(t, []string{"zones", "lots", "spots"}, column(t, ds, "SELECT table_name FROM gpkg_contents WHERE data_type = 'features' ORDER BY rowid"))
	assert.Equal(t, []string{packageDate}, column(t, ds, "SELECT DISTINCT CAST(last_change AS TEXT) FROM gpkg_contents"))
	assert.Equal(t, []string{packageDate}, column(t, ds, "SELECT DISTINCT CAST(timestamp AS TEXT) FROM gpkg_metadata_reference"))
	assert.Equal(t, []string{"Loader"}, column(t, ds, "SELECT substr(machine_name, 1, 6) FROM zones WHERE zone = 'loader' LIMIT 1"))
	assert.Equal(t, []string{"4326"}, column(t, ds, "SELECT DISTINCT c.srs_id FROM gpkg_contents c JOIN gpkg_geometry_columns g USING (table_name, srs_id)"))
	assert.Equal(t, []string{"EPSG 4326"}, column(t, ds, "SELECT organization || ' ' || organization_coordsys_id FROM gpkg_spatial_ref_sys WHERE srs_id = 4326"))
	for _, id := range []string{"-1", "0", "4326"} {
		assert.Equal(t, []string{"1"}, column(t, ds, "SELECT CAST(count(*) AS TEXT) FROM gpkg_spatial_ref_sys WHERE srs_id = "+id))
	}
	assert.Equal(t, []string{"MULTIPOLYGON", "MULTIPOLYGON", "POINT"}, column(t, ds, "SELECT geometry_type_name FROM gpkg_geometry_columns ORDER BY rowid"))
	assert.Equal(t, []string{"3"}, column(t, ds, "SELECT CAST(count(*) AS TEXT) FROM gpkg_extensions WHERE extension_name = 'gpkg_rtree_index'"))
	assert.Equal(t, column(t, ds, "SELECT CAST(count(*) AS TEXT) FROM zones"), column(t, ds, "SELECT CAST(count(*) AS TEXT) FROM rtree_zones_geom"))
	assert.Equal(t, []string{"gpkg_metadata"}, column(t, ds, "SELECT DISTINCT extension_name FROM gpkg_extensions WHERE table_name LIKE 'gpkg_metadata%'"))

	var style strings.Builder
	require.NoError(t, write.SLD(&style, zm))
	assert.Equal(t, []string{style.String()}, column(t, ds, "SELECT m.metadata FROM gpkg_metadata m JOIN gpkg_metadata_reference r ON r.md_file_id = m.id "+
		"WHERE r.table_name = 'zones' AND m.md_standard_uri = 'http://www.opengis.net/sld'"))
	assert.Empty(t, column(t, ds, "SELECT name FROM sqlite_master WHERE name LIKE 'gpkg_ogr%'"), "no tables of one program's own")
}

func TestGeoPackageIsTheSameEachTime(t *testing.T) {
	zm := packageMap(t)
	first, _ := packageOf(t, zm, packageSpots)
	again, _ := packageOf(t, zm, packageSpots)
	assert.True(t, bytes.Equal(first, again))
}

// A name that holds what ends a string in C, or is no UTF-8, does not harm the
// rest.
func TestGeopackageOfBadNames(t *testing.T) {
	zm := packageMap(t)
	zm.Lots[0].Lot = "a\x00b\xff"
	_, file := packageOf(t, zm, nil)
	f := opened(t, file).LayerByName("lots").NextFeature()
	defer f.Close()
	assert.Equal(t, "ab?", f.Fields()["lot"].String())
}
