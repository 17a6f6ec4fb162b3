package fieldfile_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field/fieldfile"
)

func TestFormatOf(t *testing.T) {
	for text, want := range map[string]fieldfile.Format{
		"\xef\xbb\xbf {}": fieldfile.GeoJSON, "\n<?xml?>": fieldfile.GPX, "id,slope": fieldfile.CSV, "": fieldfile.CSV,
	} {
		assert.Equal(t, want, fieldfile.FormatOf([]byte(text)), text)
	}
}

func TestRead(t *testing.T) {
	dir := t.TempDir()
	_, err := fieldfile.Read(filepath.Join(dir, "none.csv"))
	assert.ErrorIs(t, err, fs.ErrNotExist)
	assert.EqualError(t, err, filepath.Join(dir, "none.csv")+": the file cannot be read: no such file or directory; check the path, and that the file may be read")
	_, err = fieldfile.Read(dir)
	assert.ErrorContains(t, err, "is a directory")

	name := filepath.Join(dir, "large.csv")
	f, err := os.Create(name)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(fieldfile.MaxBytes+1)) // sparse
	require.NoError(t, f.Close())
	_, err = fieldfile.Read(name)
	assert.ErrorContains(t, err, "the file is larger than 64 MB; give the part of it")

	require.NoError(t, os.WriteFile(name, []byte("a,b"), 0o666))
	data, err := fieldfile.Read(name)
	require.NoError(t, err)
	assert.Equal(t, "a,b", string(data))
}

func TestTable(t *testing.T) {
	rows, err := fieldfile.Table("f", []byte("Note, ID ,else\n\"two\nlines\",S1,x\n,,\n\n,S2\n"), []string{"id", "note"})
	require.NoError(t, err)
	require.Len(t, rows, 2)
	assert.Equal(t, []any{2, "S1", "two\nlines", ""}, []any{rows[0].Line, rows[0].Get("id"), rows[0].Get("note"), rows[0].Get("none")})
	assert.Equal(t, []any{6, "S2", ""}, []any{rows[1].Line, rows[1].Get("id"), rows[1].Get("note")})
}

// Every kind of geometry that is read, a height passed over.
func TestReadGeoJSONGeometries(t *testing.T) {
	text := `{"type":"FeatureCollection","name":"x","features":[
{"type":"Feature","id":7,"properties":null,"geometry":{"type":"Point","coordinates":[1,2,300]}},
{"type":"Feature","geometry":{"type":"LineString","coordinates":[[1,2],[3,4]]}},
{"type":"Feature","geometry":{"type":"MultiLineString","coordinates":[[[1,2],[3,4]]]}},
{"type":"Feature","geometry":{"type":"Polygon","coordinates":[[[1,2],[3,4],[5,6],[1,2]]]}},
{"type":"Feature","geometry":{"type":"MultiPolygon","coordinates":[[[[1,2],[3,4],[5,6],[1,2]]]]}},
{"type":"Feature","geometry":null}]}`
	features, members, err := fieldfile.ReadGeoJSON("f", []byte(text))
	require.NoError(t, err)
	assert.JSONEq(t, `"x"`, string(members["name"]))
	line, ring := orb.LineString{{1, 2}, {3, 4}}, orb.Ring{{1, 2}, {3, 4}, {5, 6}, {1, 2}}
	want := []orb.Geometry{orb.Point{1, 2}, line, orb.MultiLineString{line}, orb.Polygon{ring}, orb.MultiPolygon{{ring}}, nil}
	require.Len(t, features, len(want))
	for i, f := range features {
		assert.Equal(t, want[i], f.Geometry)
		assert.Equal(t, i+2, f.Line)
	}
	assert.Equal(t, "7", features[0].ID)
}
