package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/find/findtest"
)

// jacksboroService lists the ground of the examples as found by a service, and a boundary on it.
func jacksboroService(t *testing.T) (s *findtest.Server, list, parcel string) {
	t.Helper()
	s = findtest.New()
	t.Cleanup(s.Close)
	data, err := os.ReadFile("../../testdata/jacksboro_dem.tif")
	require.NoError(t, err)
	s.Files["Projects/Ridge_2019/TIFF/x1.tif"] = data
	s.Products = []findtest.Tile{{Name: "Projects/Ridge_2019/TIFF/x1.tif", Box: [4]float64{-84.42, 36.15, -84.07, 36.45}, Published: "2020-05-06"}}
	dir := t.TempDir()
	list, parcel = filepath.Join(dir, "services.yaml"), filepath.Join(dir, "lot.geojson")
	require.NoError(t, os.WriteFile(list, s.List(), 0o600))
	require.NoError(t, os.WriteFile(parcel, []byte(`{"type":"Polygon","coordinates":[[[-84.28,36.31],[-84.27,36.31],[-84.27,36.32],[-84.28,36.32],[-84.28,36.31]]]}`), 0o600))
	return s, list, parcel
}

func ranCommand(args ...string) (code int, out, said string) {
	var o, e bytes.Buffer
	code = run(args, streams{&o, &e})
	return code, o.String(), e.String()
}

// A boundary and nothing else is mapped; again offline, to the same bytes; and what is kept is listed.
func TestMapFromABoundaryAlone(t *testing.T) {
	s, list, parcel := jacksboroService(t)
	dir := t.TempDir()
	cache := filepath.Join(dir, "cache")
	code, _, said := ranCommand("map", "--parcel", parcel, "--services", list, "--cache", cache, "--details", "--out", filepath.Join(dir, "one"))
	require.Zero(t, code, said)
	sheet, err := os.ReadFile(filepath.Join(dir, "one", "zones.geojson"))
	require.NoError(t, err)
	assert.True(t, bytes.Contains(sheet, []byte(`"project": "Ridge_2019"`)), "which survey")
	s.Close()
	code, out, said := ranCommand("map", "--parcel", parcel, "--services", list, "--cache", cache, "--offline", "--details", "--out", filepath.Join(dir, "two"))
	require.Zero(t, code, said)
	assert.Contains(t, strings.Join(strings.Fields(out), " "), "found by made-1m, project Ridge_2019, survey date not told, published 2020-05-06, fetched 20")
	files, err := os.ReadDir(filepath.Join(dir, "one"))
	require.NoError(t, err)
	for _, f := range files {
		one, err := os.ReadFile(filepath.Join(dir, "one", f.Name()))
		require.NoError(t, err)
		two, err := os.ReadFile(filepath.Join(dir, "two", f.Name()))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(one, two), f.Name())
	}
	code, out, said = ranCommand("elevation", "--cached", "--cache", cache)
	require.Zero(t, code, said)
	assert.Contains(t, out, s.URL+"/files/Projects/Ridge_2019/TIFF/x1.tif")
	assert.Contains(t, out, "of 2GB at most")
	code, out, said = ranCommand("elevation", "--parcel", parcel, "--services", list, "--cache", cache, "--offline")
	require.Zero(t, code, said)
	assert.Contains(t, out, "found by            made-1m\n  project             Ridge_2019\n  surveyed            not told\n  published           2020-05-06\n")

	code, _, said = ranCommand("map", "--parcel", parcel, "--services", list, "--cache", filepath.Join(dir, "empty"), "--offline", "--out", filepath.Join(dir, "three"))
	assert.Equal(t, exitInput, code)
	assert.Contains(t, said, "it was never fetched, and nothing may be asked while offline")
}

// Nothing found says who was asked, what they said, and how to give a file.
func TestMapWhereNothingIsFound(t *testing.T) {
	s, list, parcel := jacksboroService(t)
	s.Products = nil
	text := strings.ReplaceAll(string(s.List()), "[[-125, 20, -60, 50]]", "[[0, 0, 1, 1]]")
	require.NoError(t, os.WriteFile(list, []byte(text), 0o600))
	code, _, said := ranCommand("map", "--parcel", parcel, "--services", list, "--cache", t.TempDir(), "--out", filepath.Join(t.TempDir(), "out"))
	assert.Equal(t, exitInput, code)
	assert.Equal(t, "acreband: no elevation was found for the lots at 36.3150 N, 84.2750 W. Asked: made-1m (Made product search): has none there; "+
		"made-stac (Made STAC API): has none there; made-10m (Made seamless): not asked, its area is elsewhere. "+
		"Download a raster of bare earth for that ground and give its path by elevation, or add a service that has it to a list given by services\n", said)
}

func TestSizesOfTheCache(t *testing.T) {
	for given, want := range map[string]int64{"500MB": 500e6, "2GB": 2e9, " 1.5 gb": 1.5e9} {
		got, err := readBytes(given)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	for _, bad := range []string{"", "2", "-1GB", "0MB", "2TB", "NaNGB"} {
		_, err := readBytes(bad)
		assert.Error(t, err, bad)
	}
}
