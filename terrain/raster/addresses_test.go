package raster

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// attack is an attack file with a server's address in it.
func attack(t *testing.T, name string, s *shelf) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../testdata/attacks", name))
	require.NoError(t, err)
	return strings.ReplaceAll(string(text), "ADDRESS", strings.TrimPrefix(s.URL, "http://"))
}

// Cause: elevation that names addresses made requests that nobody had asked for.
func TestFilesThatNameAddressesAskNobody(t *testing.T) {
	hill := hillDEM().write(t, "hill.tif")
	s := newShelf(t, map[string]string{"hill.tif": hill})
	dir := t.TempDir()
	put := func(name, text string) string {
		t.Helper()
		path := filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o777))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		return path
	}
	vrt := attack(t, "elevation-remote.vrt", s)
	of := func(source string) string {
		return strings.NewReplacer("/vsicurl/"+s.URL+"/hill.tif", source, `relativeToVRT="0"`, `relativeToVRT="1"`).Replace(vrt)
	}
	wms := put("wms.tif", attack(t, "elevation-wms.tif", s))
	put("remote.vrt", vrt)
	plain, err := os.ReadFile(hill)
	require.NoError(t, err)
	put("beside.tif", string(plain))
	put("beside.tif.aux.xml", `<PAMDataset><Metadata domain="OVERVIEWS"><MDI key="OVERVIEW_FILE">/vsicurl/`+s.URL+`/hill.tif</MDI></Metadata></PAMDataset>`)
	files := map[string]string{
		"wms":           wms,
		"wms in blanks": put("blank.tif", "\xef\xbb\xbf \n<?xml version=\"1.0\"?>\n"+attack(t, "elevation-wms.tif", s)),
		"wmts":          put("wmts.tif", `<Capabilities xmlns="http://www.opengis.net/wmts/1.0"><ServiceMetadataURL href="`+s.URL+`/w?x"/></Capabilities>`),
		"tms":           put("tms.tif", `<TileMap version="1.0.0" tilemapservice="`+s.URL+`/1.0.0?x"><SRS>EPSG:3857</SRS></TileMap>`),
		"vrt":           filepath.Join(dir, "remote.vrt"),
		"vrt as tif":    put("vrt.tif", vrt),
		"plain address": put("plain.vrt", strings.ReplaceAll(vrt, "/vsicurl/", "")),
		"streaming":     put("streaming.vrt", strings.ReplaceAll(vrt, "/vsicurl/", "/vsicurl_streaming/")),
		"bucket":        put("bucket.vrt", of("/vsis3/bucket/hill.tif")),
		"in a zip":      put("inzip.vrt", of("/vsizip//vsicurl/"+s.URL+"/hill.zip/hill.tif")),
		"nested":        put("nested.vrt", of("remote.vrt")),
		"nested twice":  put("sub/twice.vrt", of("../nested.vrt")),
		"of a wms":      put("ofwms.vrt", of("wms.tif")),
		"inline":        put("inline.vrt", of(strings.NewReplacer("<", "&lt;", ">", "&gt;").Replace(attack(t, "elevation-wms.tif", s)))),
		"warped":        put("warped.vrt", `<VRTDataset subClass="VRTWarpedDataset" rasterXSize="9" rasterYSize="9"><GDALWarpOptions><SourceDataset relativeToVRT="0">`+s.URL+`/hill.tif</SourceDataset></GDALWarpOptions></VRTDataset>`),
		"overviews":     filepath.Join(dir, "beside.tif"),
		"items":         put("items.json", `{"type":"FeatureCollection","stac_version":"1.0.0","features":[{"assets":{"a":{"href":"`+s.URL+`/hill.tif"}}}]}`),
		"zipped":        zipped(t, "a.zip", [2]string{"wms.tif", wms}) + "/wms.tif",
	}
	for name, file := range files {
		t.Run(name, func(t *testing.T) {
			_, err := Open(t.Context(), file, Options{})
			require.ErrorIs(t, err, ErrRemote)
			assert.ErrorContains(t, err, file)
			assert.ErrorContains(t, err, "allow-remote")
			if name != "bucket" {
				assert.ErrorContains(t, err, strings.TrimPrefix(s.URL, "http://"))
			}
			_, _, err = Examine(t.Context(), file, Options{})
			require.ErrorIs(t, err, ErrRemote)
			if name != "items" { // a tile index by its ending
				_, err = NewCatalogue(t.Context(), []string{file}, Options{})
				require.ErrorIs(t, err, ErrRemote)
			}
			require.Zero(t, s.asked(), "%v", s.names())
		})
	}
	index := put("index.geojson", fmt.Sprintf(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"location":"%s/hill.tif"},`+
		`"geometry":{"type":"Polygon","coordinates":[[[-84.4,36.2],[-84.3,36.2],[-84.3,36.4],[-84.4,36.4],[-84.4,36.2]]]}}]}`, s.URL))
	_, err = NewCatalogue(t.Context(), []string{index}, Options{})
	require.ErrorIs(t, err, ErrRemote)
	assert.ErrorContains(t, err, s.URL+"/hill.tif")
	assert.ErrorContains(t, err, index)

	// In a folder such files are left out, with a line.
	put("folder/wms.tif", attack(t, "elevation-wms.tif", s))
	put("folder/hill.tif", string(plain))
	c, err := NewCatalogue(t.Context(), []string{filepath.Join(dir, "folder")}, Options{})
	require.NoError(t, err)
	defer c.Close()
	require.Len(t, c.Warnings, 1)
	assert.Contains(t, c.Warnings[0], "wms.tif: it names an address on the network")
	require.Zero(t, s.asked(), "%v", s.names())

	// Asked for, it is read.
	for _, file := range []string{files["vrt"], files["nested twice"]} {
		_, e := readWhole(t, file, Options{AllowRemote: true})
		mustHoldHill(t, e)
	}
	assert.Positive(t, s.asked())
	listed, err := NewCatalogue(t.Context(), []string{index}, Options{AllowRemote: true})
	require.NoError(t, err)
	defer listed.Close()
	assert.Len(t, listed.Entries(), 1)
}
