package raster

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mustRefuse checks that opening fails, naming the file and saying what is
// wrong or what to do.
func mustRefuse(t *testing.T, file string, o Options, says ...string) error {
	t.Helper()
	r, err := Open(t.Context(), file, o)
	if err == nil {
		r.Close()
	}
	require.ErrorContains(t, err, filepath.Base(file))
	for _, s := range says {
		assert.ErrorContains(t, err, s)
	}
	_, source, examined := Examine(t.Context(), file, o)
	assert.EqualError(t, examined, err.Error())
	assert.Equal(t, file, source.Path)
	return err
}

func TestRefusedRasters(t *testing.T) {
	gcps := []godal.GCP{
		{PszId: "1", DfGCPX: 740_000, DfGCPY: 4_020_000},
		{PszId: "2", DfGCPX: 740_480, DfGCPY: 4_020_000, DfGCPPixel: hillCols},
		{PszId: "3", DfGCPX: 740_000, DfGCPY: 4_019_600, DfGCPLine: hillRows},
		{PszId: "4", DfGCPX: 740_490, DfGCPY: 4_019_610, DfGCPPixel: hillCols, DfGCPLine: hillRows},
	}
	for _, c := range []struct {
		name   string
		change func(*dem)
		says   []string
	}{
		{"no CRS", func(d *dem) { d.crs = "" }, []string{"declares no CRS", "elevation-crs EPSG:26916"}},
		{"no place", func(d *dem) { d.grid = [6]float64{} }, []string{"no position on the ground"}},
		{"control points", func(d *dem) {
			d.grid = [6]float64{}
			d.finish = func(ds *godal.Dataset) { require.NoError(t, ds.SetGCPs(gcps)) }
		}, []string{"control points only", "warp it"}},
		{"complex", func(d *dem) { d.kind, d.stored = godal.CFloat32, nil }, []string{"complex", "CFloat32"}},
		{"a palette", func(d *dem) {
			d.kind, d.stored = godal.Byte, nil // some versions of GDAL take no palette once cells are written
			d.finish = func(ds *godal.Dataset) {
				require.NoError(t, ds.Bands()[0].SetColorTable(godal.ColorTable{PaletteInterp: godal.RGBPalette, Entries: [][4]int16{{1, 2, 3, 255}, {4, 5, 6, 255}}}))
			}
		}, []string{"it is a picture", "not elevation"}},
		{"flat grid", func(d *dem) { d.grid = [6]float64{740_000, 10, 10, 4_020_000, 10, 10} }, []string{"flat"}},
		{"meters in a CRS of degrees", func(d *dem) { d.crs = "EPSG:4269" }, []string{"NAD83 (EPSG:4269)", "is that its CRS?", "elevation-crs"}},
		{"meters in WGS 84", func(d *dem) { d.crs = "EPSG:4326" }, []string{"WGS 84 (EPSG:4326)", "elevation-crs"}},
		{"cells of nothing", func(d *dem) { d.grid[5] = -1e-5 }, []string{"its cells are 9.99", "elevation-crs"}},
		{"NaN for a corner", func(d *dem) { d.grid[0] = math.NaN() }, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := hillDEM()
			c.change(&d)
			mustRefuse(t, d.write(t, "bad.tif"), Options{}, c.says...)
		})
	}
}

func TestPictureIsRefused(t *testing.T) {
	require.NoError(t, registerFew())
	file := filepath.Join(t.TempDir(), "photo.tif")
	ds, err := godal.Create(godal.GTiff, file, 3, godal.Byte, 8, 8, godal.CreationOption("PHOTOMETRIC=RGB"))
	require.NoError(t, err)
	require.NoError(t, ds.SetGeoTransform(hillGrid))
	require.NoError(t, ds.Close())
	mustRefuse(t, file, Options{}, "it is a picture (3 bands, the first Red), not elevation")
}

func TestFilesThatAreNoRaster(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "notes.tif")
	require.NoError(t, os.WriteFile(text, []byte("not a raster at all"), 0o600))
	mustRefuse(t, text, Options{}, "no elevation raster that GDAL can read")
	empty := filepath.Join(dir, "empty.tif")
	require.NoError(t, os.WriteFile(empty, nil, 0o600))
	mustRefuse(t, empty, Options{}, "no elevation raster that GDAL can read")
	mustRefuse(t, filepath.Join(dir, "none.tif"), Options{}, "no elevation raster that GDAL can read", "there is no such file")
	mustRefuse(t, zipped(t, "a.zip", [2]string{"b.txt", ""})+"/none.tif", Options{}, "no elevation raster that GDAL can read")
	lots := filepath.Join(dir, "lots.geojson")
	require.NoError(t, os.WriteFile(lots, []byte(`{"type":"FeatureCollection","features":[]}`), 0o600))
	mustRefuse(t, lots, Options{}, "no elevation raster that GDAL can read")
}

// Half a file: its header reads, its heights do not. No silent void.
func TestTruncatedRasterIsAnErrorWhenRead(t *testing.T) {
	d := hillDEM()
	d.options = []string{"COMPRESS=DEFLATE", "BLOCKYSIZE=4"}
	whole, err := os.ReadFile(d.write(t, "a.tif"))
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "half.tif")
	require.NoError(t, os.WriteFile(file, whole[:len(whole)/2], 0o600))
	r, err := Open(t.Context(), file, Options{})
	if err != nil {
		return
	}
	defer r.Close()
	_, err = Read(t.Context(), []*Raster{r}, within(t, r))
	assert.ErrorContains(t, err, "half.tif: reading 48 × 40 cells")
}

func TestCRSGivenByHand(t *testing.T) {
	d := hillDEM()
	_, want := readWhole(t, d.write(t, "a.tif"), Options{})
	d.crs = ""
	file := d.write(t, "b.tif")
	r, got := readWhole(t, file, Options{CRS: "EPSG:26916"})
	mustMatch(t, want.Grid, got.Grid, 0, 0)
	assert.Equal(t, "elevation-crs", r.Source.CRSFrom)
	mustRefuse(t, file, Options{CRS: "EPSG:1"}, `unknown CRS "EPSG:1"`)
	mustRefuse(t, file, Options{CRS: "my grid"}, `unknown CRS "my grid"`, "EPSG:26916")
	mustRefuse(t, file, Options{CRS: "EPSG:5703"}, `CRS "EPSG:5703" places nothing on the earth`)
}
