package raster

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/fetch"
)

// vrtOf is a VRT of one file, which it names as told.
func vrtOf(t *testing.T, file, name string) []byte {
	t.Helper()
	vrt := filepath.Join(t.TempDir(), "one.vrt")
	ds, err := godal.Open(file)
	require.NoError(t, err)
	defer ds.Close()
	made, err := ds.Translate(vrt, []string{"-of", "VRT"})
	require.NoError(t, err)
	require.NoError(t, made.Close())
	text, err := os.ReadFile(vrt)
	require.NoError(t, err)
	rel, err := filepath.Rel(filepath.Dir(vrt), file)
	require.NoError(t, err)
	text = bytes.ReplaceAll(text, []byte(`relativeToVRT="1"`), []byte(`relativeToVRT="0"`))
	for _, was := range []string{file, rel} {
		text = bytes.ReplaceAll(text, []byte(">"+was+"<"), []byte(">"+name+"<"))
	}
	require.Contains(t, string(text), ">"+name+"<")
	return text
}

// A VRT on a server that names addresses has them fetched by the same client: kept, counted, and taken offline.
func TestRemoteVRTOfAddressesIsFetchedByTheClient(t *testing.T) {
	file := bigHill(t)
	s := newShelf(t, map[string]string{"big.tif": file})
	s.put("/curl.vrt", vrtOf(t, file, curlPrefix+s.URL+"/big.tif"))
	s.put("/plain.vrt", vrtOf(t, file, s.URL+"/big.tif"))
	for _, name := range []string{"/curl.vrt", "/plain.vrt"} {
		dir := t.TempDir()
		o := Options{Fetch: fetch.New(fetch.Options{Dir: dir, AllowAll: true})}
		r := opened(t, s.URL+name, o)
		place := patch(t, r, 1000.5, 1000.5, 1100.5, 1100.5)
		e, err := Read(t.Context(), []*Raster{r}, place)
		require.NoError(t, err)
		mustHoldHill(t, e)
		kept, err := fetch.List(dir)
		require.NoError(t, err)
		assert.Len(t, kept, 2, "the VRT and its tile")
		s.meddle(answer(500))
		offline := opened(t, s.URL+name, Options{Fetch: fetch.New(fetch.Options{Dir: dir, Offline: true})})
		again, err := Read(t.Context(), []*Raster{offline}, place)
		require.NoError(t, err)
		assert.Equal(t, e.Grid.Z, again.Grid.Z)
		s.meddle(nil)
	}
}

// A file on a server must not name files of this machine, nor have GDAL ask servers past the client.
func TestRemoteVRTOfOtherFilesIsRefused(t *testing.T) {
	file := bigHill(t)
	s := newShelf(t, nil)
	for _, name := range []string{file, "/vsis3/bucket/big.tif", "WMS:http://127.0.0.1/x", "/vsizip//vsicurl/http://127.0.0.1/x.zip"} {
		s.put("/all.vrt", vrtOf(t, file, name))
		_, err := Open(t.Context(), s.URL+"/all.vrt", hasty())
		require.Error(t, err, name)
		assert.ErrorContains(t, err, "which is no file beside it", name)
	}
}
