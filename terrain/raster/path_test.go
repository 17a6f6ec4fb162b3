package raster

import (
	"archive/zip"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// zipped packs files, given as the name in the zip and the file on disk ("" for
// an empty one), in that order.
func zipped(t *testing.T, name string, members ...[2]string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	out, err := os.Create(file)
	require.NoError(t, err)
	z := zip.NewWriter(out)
	for _, m := range members {
		w, err := z.Create(m[0])
		require.NoError(t, err)
		if m[1] != "" {
			data, err := os.ReadFile(m[1])
			require.NoError(t, err)
			_, err = w.Write(data)
			require.NoError(t, err)
		}
	}
	require.NoError(t, z.Close())
	require.NoError(t, out.Close())
	return file
}

func TestZipOfOneRaster(t *testing.T) {
	tif := hillDEM().write(t, "hill.tif")
	_, want := readWhole(t, tif, Options{})
	for _, name := range []string{"tiles.zip", "TILES.ZIP"} {
		z := zipped(t, name, [2]string{"readme.txt", ""}, [2]string{"tiles/ridge/hill.tif", tif})
		found, err := Expand(t.Context(), []string{z})
		require.NoError(t, err)
		require.Equal(t, []string{z + "/tiles/ridge/hill.tif"}, found)
		r, got := readWhole(t, found[0], Options{})
		assert.Equal(t, found[0], r.Source.Path)
		mustMatch(t, want.Grid, got.Grid, 0, 0)
	}
}

// A grid whose CRS, header and values are files of their own.
func TestZipOfARasterInPieces(t *testing.T) {
	tif := hillDEM().write(t, "hill.tif")
	_, want := readWhole(t, tif, Options{})
	flt := translated(t, tif, "hill.flt", "-of", "EHdr")
	dir := filepath.Dir(flt)
	z := zipped(t, "pieces.zip",
		[2]string{"hill.flt", flt}, [2]string{"hill.hdr", filepath.Join(dir, "hill.hdr")}, [2]string{"hill.prj", filepath.Join(dir, "hill.prj")})
	found, err := Expand(t.Context(), []string{z})
	require.NoError(t, err)
	require.Equal(t, []string{z + "/hill.flt"}, found)
	_, got := readWhole(t, found[0], Options{})
	mustMatch(t, want.Grid, got.Grid, 0, 1e-5)
}

func TestZipOfSeveralRasters(t *testing.T) {
	tif := hillDEM().write(t, "hill.tif")
	z := zipped(t, "two.zip", [2]string{"west.tif", tif}, [2]string{"more/", ""}, [2]string{"east.TIF", tif}, [2]string{"note.pdf", ""})
	found, err := Expand(t.Context(), []string{tif, z})
	require.NoError(t, err)
	assert.Equal(t, []string{tif, z + "/east.TIF", z + "/west.tif"}, found)
	for _, f := range found {
		opened(t, f, Options{})
	}
}

// A folder may hold a zip of something else.
func TestFolderWithAZipOfLots(t *testing.T) {
	tif := hillDEM().write(t, "hill.tif")
	folder := filepath.Dir(tif)
	lots := zipped(t, "lots.zip", [2]string{"lots.shp", ""})
	require.NoError(t, os.Rename(lots, filepath.Join(folder, "lots.zip")))
	found, err := Expand(t.Context(), []string{folder})
	require.NoError(t, err)
	assert.Equal(t, []string{tif}, found)
	require.NoError(t, os.Remove(tif))
	_, err = Expand(t.Context(), []string{folder})
	assert.ErrorContains(t, err, "the zip holds no raster")
}

// Zips packed on a Mac hold a twin of each file that is no raster.
func TestZipFromAMac(t *testing.T) {
	tif := hillDEM().write(t, "hill.tif")
	z := zipped(t, "mac.zip", [2]string{"hill.tif", tif}, [2]string{"__MACOSX/._hill.tif", ""}, [2]string{"sub/._more.tif", ""})
	found, err := Expand(t.Context(), []string{z})
	require.NoError(t, err)
	assert.Equal(t, []string{z + "/hill.tif"}, found)
}

func TestPathsThatHoldNoRaster(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "fake.zip")
	require.NoError(t, os.WriteFile(text, []byte("no zip"), 0o600))
	for _, c := range []struct{ path, want string }{
		{filepath.Join(dir, "none.tif"), "none.tif: no such raster"},
		{filepath.Join(dir, "none.zip"), "none.zip: not a zip that can be read"},
		{text, "fake.zip: not a zip that can be read"},
		{zipped(t, "empty.zip"), "empty.zip: the zip is empty"},
		{zipped(t, "other.zip", [2]string{"lots.shp", ""}, [2]string{"lots.dbf", ""}), "other.zip: the zip holds no raster (it holds lots.shp, lots.dbf)"},
	} {
		_, err := Expand(t.Context(), []string{c.path})
		assert.ErrorContains(t, err, c.want)
	}
}
