package raster

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bumpFile writes a small raster by a driver; the CRS may be "".
func bumpFile(t *testing.T, path, driver, crs string, change ...string) string {
	t.Helper()
	require.NoError(t, registerFew())
	registerAll()
	ds, err := godal.Create(godal.Memory, "", 1, godal.Float32, 30, 20)
	require.NoError(t, err)
	z := make([]float32, 600)
	for i := range z {
		z[i] = 200 + float32(i%30)*0.75 + float32(i/30)*float32(i/30)*0.0625
	}
	z[0] = -9999
	require.NoError(t, ds.SetGeoTransform([6]float64{747000, 1, 0, 4025600, 0, -1}))
	require.NoError(t, ds.SetNoData(-9999))
	require.NoError(t, ds.Bands()[0].Write(0, 0, z, 30, 20))
	if crs != "" {
		change = append(change, "-a_srs", crs)
	}
	out, err := ds.Translate(path, append([]string{"-of", driver}, change...), godal.ErrLogger(quiet))
	require.NoError(t, err)
	require.NoError(t, out.Close())
	require.NoError(t, ds.Close())
	return path
}

// heightsIn are all that a raster holds, in meters.
func heightsIn(t *testing.T, path string, o Options) []float64 {
	t.Helper()
	r, err := Open(t.Context(), path, o)
	require.NoError(t, err)
	defer r.Close()
	v, err := r.stored(t.Context(), r.Extent(), r.Source.Cols, r.Source.Rows)
	require.NoError(t, err)
	r.toMetres(v)
	return v
}

// A copy holds the heights of what it was made of, to the last bit.
func TestACopyHoldsTheSameHeights(t *testing.T) {
	for _, c := range []struct{ driver, name, crs, given string }{
		{"GTiff", "hill.tif", "EPSG:32616", ""},
		{"AAIGrid", "hill.asc", "EPSG:32616", ""}, // its CRS in a .prj beside it
		{"GTiff", "bare.tif", "", "EPSG:32616"},
		{"GTiff", "float64.tif", "EPSG:32616", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var change []string
			if c.name == "float64.tif" {
				change = []string{"-ot", "Float64"}
			}
			path := bumpFile(t, filepath.Join(t.TempDir(), c.name), c.driver, c.crs, change...)
			to := filepath.Join(t.TempDir(), "copy.tif")
			o := CopyOptions{Options: Options{CRS: c.given}, Drivers: []string{c.driver}}
			source, err := Copy(t.Context(), path, to, o)
			require.NoError(t, err)
			assert.Equal(t, 30, source.Cols)
			require.NoError(t, os.RemoveAll(filepath.Dir(path)), "the copy needs nothing of it")
			got := heightsIn(t, to, Options{})
			assert.Equal(t, 200.75, got[1])
			assert.True(t, got[0] != got[0], "no height")
			assert.Equal(t, 200+29*0.75+19*19*0.0625, got[599])
		})
	}
}

// Whole numbers with a scale, as some surveys write, keep both.
func TestACopyKeepsScaleAndOffset(t *testing.T) {
	path := bumpFile(t, filepath.Join(t.TempDir(), "hill.tif"), "GTiff", "EPSG:32616", "-ot", "Int16", "-a_scale", "0.5", "-a_offset", "100")
	to := filepath.Join(t.TempDir(), "copy.tif")
	source, err := Copy(t.Context(), path, to, CopyOptions{Drivers: []string{"GTiff"}})
	require.NoError(t, err)
	assert.Equal(t, 0.5, source.Scale)
	assert.Equal(t, heightsIn(t, path, Options{})[1:], heightsIn(t, to, Options{})[1:])
	assert.Equal(t, 200.5, heightsIn(t, to, Options{})[1], "201 stored")
}

// A file that another driver reads, or of too many cells, is refused before anything is read of it.
func TestACopyIsMadeOfWhatIsAllowed(t *testing.T) {
	dir := t.TempDir()
	path := bumpFile(t, filepath.Join(dir, "hill.tif"), "GTiff", "EPSG:32616")
	to := filepath.Join(dir, "copy.tif")
	copyOf := func(path string, o CopyOptions) error {
		_, err := Copy(t.Context(), path, to, o)
		return err
	}
	err := copyOf(path, CopyOptions{Drivers: []string{"GTiff"}, MostCells: 599})
	assert.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, "it has 30 × 20 cells in 1 bands")
	require.NoError(t, copyOf(path, CopyOptions{Drivers: []string{"GTiff"}, MostCells: 600}))
	require.NoError(t, os.Remove(to))

	vrt := bumpFile(t, filepath.Join(dir, "hill.vrt"), "VRT", "EPSG:32616")
	assert.ErrorContains(t, copyOf(vrt, CopyOptions{Drivers: []string{"GTiff"}}), "no elevation raster that GDAL can read")
	sly := filepath.Join(dir, "sly.tif") // the driver of VRTs looks for its word anywhere
	text, err := os.ReadFile(vrt)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(sly, append([]byte("II*\x00"), text...), 0o666))
	assert.ErrorContains(t, copyOf(sly, CopyOptions{Drivers: []string{"GTiff"}}), "no elevation raster that GDAL can read")

	assert.ErrorIs(t, copyOf(bumpFile(t, filepath.Join(dir, "slope.tif"), "GTiff", "EPSG:32616"), CopyOptions{Drivers: []string{"GTiff"}}), ErrNotHeights)
	assert.ErrorIs(t, copyOf(bumpFile(t, filepath.Join(dir, "feet.tif"), "GTiff", "EPSG:2274"), CopyOptions{Drivers: []string{"GTiff"}}), ErrUnit)
	assert.ErrorContains(t, copyOf(bumpFile(t, filepath.Join(dir, "nowhere.tif"), "GTiff", ""), CopyOptions{Drivers: []string{"GTiff"}}), "it declares no CRS")
	assert.NoFileExists(t, to)
}

func TestNamesThatSayGroundOrSurface(t *testing.T) {
	for name, says := range map[string][2]bool{
		"county_DTM_1m.tif": {true, false}, "ridge-dsm.tif": {false, true}, "USGS_1M_16_x75_y403_TN.tif": {false, false},
		"FirstReturn.tif": {false, true}, "groundSurface.tif": {true, true}, "/dem/x.tif": {false, false},
	} {
		assert.Equal(t, says, [2]bool{SaysGround(name), SaysSurface(name)}, name)
	}
}
