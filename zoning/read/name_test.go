package read

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestLotNames(t *testing.T) {
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
			for i, f := range c.properties { // each on ground of its own
				features = append(features, f+"|"+polygon(strings.ReplaceAll(boxRing, " 45", fmt.Sprint(" 4", i))))
			}
			lots, err := Read(t.Context(), write(t, "lots.geojson", featureCollection(features...)), Options{Field: c.field})
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
		lots, err := Read(t.Context(), path, Options{})
		require.NoError(t, err)
		assert.Equal(t, "100", lots[0].Lot)
		assert.Equal(t, "2", lots[1].Lot)
	}
}

func TestMissingFieldNamesThoseThere(t *testing.T) {
	_, err := Read(t.Context(), "testdata/lots_usft.zip", Options{Field: "APN"})
	assert.ErrorContains(t, err, `testdata/lots_usft.zip: has no field "APN" to name lots by: its fields are PARCEL, num`)
	_, err = Read(t.Context(), write(t, "bare.json", polygon(boxRing)), Options{Field: "APN"})
	assert.ErrorContains(t, err, `has no field "APN" to name lots by, nor any other`)
}

// GDAL hands on features in the order of the file, whatever their ids.
func TestPlaceIsThatInTheFile(t *testing.T) {
	lots, err := Read(t.Context(), write(t, "ids.geojson", `{"type":"FeatureCollection","features":[
		{"type":"Feature","id":7,"properties":{"lot":"first"},"geometry":`+polygon(boxRing)+`},
		{"type":"Feature","id":3,"properties":{"lot":"second"},"geometry":`+polygon(boxRing)+`}]}`), Options{})
	require.NoError(t, err)
	assert.Equal(t, "first", lots[0].Lot)
	assert.Equal(t, "second", lots[1].Lot)
}

// Lots with one ground are told of: with the same corners, wherever the ring begins and
// whichever way it runs, and parts in any order.
func TestSameGround(t *testing.T) {
	square := func(x float64, from int, back bool) string {
		corners := [][2]float64{{x, 36}, {x + 0.001, 36}, {x + 0.001, 36.001}, {x, 36.001}}
		if back {
			slices.Reverse(corners)
		}
		text := ""
		for i := range 5 {
			c := corners[(from+i)%4]
			text += fmt.Sprintf(",[%g,%g]", c[0], c[1])
		}
		return "[[" + text[1:] + "]]"
	}
	file := ""
	for _, parts := range []string{
		square(-84, 0, false),
		square(-84.1, 0, false),
		square(-84, 2, true),
		square(-84, 0, false) + "," + square(-84.1, 0, false),
		square(-84.1, 3, true) + "," + square(-84, 1, false),
		square(-84.0000001, 0, false),
	} {
		file += `,{"type":"Feature","properties":{},"geometry":{"type":"MultiPolygon","coordinates":[` + parts + `]}}`
	}
	path := filepath.Join(t.TempDir(), "same.geojson")
	require.NoError(t, os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[`+file[1:]+`]}`), 0o666))
	lots, err := Read(t.Context(), path, Options{})
	require.NoError(t, err)
	for i, want := range []int{0, 0, 1, 0, 4, 0} {
		require.Equal(t, want, lots[i].SameGround, "lot %d", i+1)
	}
	require.Contains(t, lots[2].Notes, "its ground is that of lot 1 of the file, too: sums count it again")
}
