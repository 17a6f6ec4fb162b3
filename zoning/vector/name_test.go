package vector

import (
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLotNames(t *testing.T) {
	p := "|" + polygon(boxRing)
	const byPlace = "it has no name in the file and is called by its place, "
	for _, c := range []struct {
		about, field string
		properties   []string
		names        []string
		notes        []string // of each lot, "" for none
	}{
		{"the field lot first, in any case", "", []string{`{"name":"n","LOT":"12a"}`}, []string{"12a"}, []string{""}},
		{"then name, then id", "", []string{`{"Id":5,"Name":null}`, `{"Id":6,"Name":"Smith"}`}, []string{"5", "Smith"}, []string{"", ""}},
		{"no such field", "", []string{`{"owner":"x"}`, `{"owner":"y"}`}, []string{"1", "2"}, []string{"", ""}},
		{"blank and null", "", []string{`{"lot":" "}`, `{"lot":null}`, `{}`}, []string{"1", "2", "3"}, []string{byPlace + "1", byPlace + "2", byPlace + "3"}},
		{"asked for", "APN", []string{`{"apn":"12-34","lot":"7"}`}, []string{"12-34"}, []string{""}},
		{"asked for in one case of two", "apn", []string{`{"APN":"upper","apn":"lower"}`}, []string{"lower"}, []string{""}},
		{"numbers", "id", []string{`{"id":0}`, `{"id":null}`, `{"id":12.5}`}, []string{"0", "2", "12.5"}, []string{"", byPlace + "2", ""}},
		{"blanks around", "", []string{`{"lot":" 4 "}`}, []string{"4"}, []string{""}},
		{"given twice", "", []string{`{"lot":"A"}`, `{"lot":"A"}`}, []string{"A", "A"}, []string{"", `the name "A" is that of lot 1 of the file, too`}},
	} {
		t.Run(c.about, func(t *testing.T) {
			var features []string
			for _, f := range c.properties {
				features = append(features, f+p)
			}
			lots, err := Read(write(t, "lots.geojson", featureCollection(features...)), Options{Field: c.field})
			require.NoError(t, err)
			require.Len(t, lots, len(c.names))
			for i, l := range lots {
				assert.Equal(t, c.names[i], l.Lot)
				assert.Equal(t, i+1, l.Place)
				if c.notes[i] == "" {
					assert.Empty(t, l.Notes)
				} else {
					assert.Equal(t, []string{c.notes[i]}, l.Notes)
				}
			}
		})
	}
}

// GDAL reads a null number as 0, which may be another lot's name.
func TestNullNumberIsNoName(t *testing.T) {
	for name, driver := range map[string]godal.DriverName{"a.gpkg": godal.GeoPackage, "a.shp": godal.Shapefile} {
		path := filepath.Join(t.TempDir(), name)
		create(t, driver, path, "a", "EPSG:4326", boxWKT, "null "+boxWKT)
		lots, err := Read(path, Options{})
		require.NoError(t, err)
		assert.Equal(t, "100", lots[0].Lot)
		assert.Equal(t, "2", lots[1].Lot)
	}
}

func TestMissingFieldNamesThoseThere(t *testing.T) {
	_, err := Read("testdata/lots_usft.zip", Options{Field: "APN"})
	assert.ErrorContains(t, err, `testdata/lots_usft.zip: has no field "APN" to name lots by: its fields are PARCEL, num`)
	_, err = Read(write(t, "bare.json", polygon(boxRing)), Options{Field: "APN"})
	assert.ErrorContains(t, err, `has no field "APN" to name lots by, nor any other`)
}

// GDAL hands on features in the order of the file, whatever their ids.
func TestPlaceIsThatInTheFile(t *testing.T) {
	lots, err := Read(write(t, "ids.geojson", `{"type":"FeatureCollection","features":[
		{"type":"Feature","id":7,"properties":{"lot":"first"},"geometry":`+polygon(boxRing)+`},
		{"type":"Feature","id":3,"properties":{"lot":"second"},"geometry":`+polygon(boxRing)+`}]}`), Options{})
	require.NoError(t, err)
	assert.Equal(t, "first", lots[0].Lot)
	assert.Equal(t, "second", lots[1].Lot)
}
