package raster

import (
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// translated writes a raster again, by the switches of gdal_translate.
func translated(t testing.TB, file, name string, switches ...string) string {
	t.Helper()
	registerAll()
	ds, err := godal.Open(file, godal.RasterOnly(), godal.SiblingFiles())
	require.NoError(t, err)
	defer ds.Close()
	out := filepath.Join(t.TempDir(), name)
	made, err := ds.Translate(out, switches, godal.ErrLogger(quiet))
	require.NoError(t, err)
	require.NoError(t, made.Close(godal.ErrLogger(quiet)))
	return out
}

// The hill with its pits in formats that elevation comes in.
func TestOneGroundInManyFormats(t *testing.T) {
	d := hillDEM()
	d.stored, d.nodata = pitted(-9999), number(-9999)
	tif := d.write(t, "hill.tif")
	_, want := readWhole(t, tif, Options{})
	for _, c := range []struct {
		format, name string
		switches     []string
	}{
		{"HFA", "hill.img", nil},
		{"HFA", "packed.img", []string{"-co", "COMPRESSED=YES"}},
		{"AAIGrid", "hill.asc", []string{"-co", "DECIMAL_PRECISION=6"}},
		{"ENVI", "hill.dat", nil},
		{"EHdr", "hill.flt", nil},
		{"EHdr", "hill.bil", nil},
		{"netCDF", "hill.nc", nil},
		{"SAGA", "hill.sdat", nil},
		{"GPKG", "hill.gpkg", nil},
		{"COG", "cog.tif", nil},
		{"VRT", "hill.vrt", nil},
		{"GTiff", "world.tif", []string{"-co", "PROFILE=BASELINE", "-co", "TFW=YES"}},
		{"BT", "hill.bt", nil},
	} {
		t.Run(c.format+" "+c.name, func(t *testing.T) {
			file := translated(t, tif, c.name, append([]string{"-of", c.format}, c.switches...)...)
			o := Options{}
			if c.name == "world.tif" || c.format == "BT" {
				o.CRS = "EPSG:26916"
			}
			r, got := readWhole(t, file, o)
			mustMatch(t, want.Grid, got.Grid, 0, 1e-5)
			assert.Equal(t, Metre, r.Source.Unit)
		})
	}
}

// Radar elevation as it is given out, in whole metres, one degree a tile: these
// formats say that heights are metres.
func TestTilesOfADegree(t *testing.T) {
	const n, cell = 1201, 1.0 / 1200
	height := func(c, r int) float64 { return float64(900 + c/3%200 + r/4%150) }
	tif := dem{
		cols: n, rows: n, grid: northUp(-105-cell/2, 40+cell/2, cell), crs: "EPSG:4326", kind: godal.Int16, stored: height,
	}.write(t, "tile.tif")
	for _, c := range []struct{ format, name string }{{"SRTMHGT", "N39W105.hgt"}, {"DTED", "n39.dt1"}} {
		r := opened(t, translated(t, tif, c.name, "-of", c.format), Options{})
		assert.Equal(t, "band unit", r.Source.UnitFrom, c.format)
		assert.Empty(t, r.Source.Assumed, c.format)
		e, err := Read(t.Context(), []*Raster{r}, patch(t, r, 600.5, 700.5, 610.5, 705.5))
		require.NoError(t, err)
		g := e.Grid
		for row := range g.Rows {
			for col := range g.Cols {
				require.Equal(t, height(col+g.Col0, row+g.Row0), g.At(col, row), c.format)
			}
		}
		lon, lat := g.Frame.LonLat(600.5, 700.5)
		assert.InDelta(t, -105+600*cell, lon, 1e-9, c.format)
		assert.InDelta(t, 40-700*cell, lat, 1e-9, c.format)
	}
}

func TestJPEG2000(t *testing.T) {
	_, want := readWhole(t, jacksboro, Options{})
	file := translated(t, jacksboro, "j.jp2", "-of", "JP2OpenJPEG", "-co", "QUALITY=100", "-co", "REVERSIBLE=YES")
	_, got := readWhole(t, file, Options{})
	mustMatch(t, want.Grid, got.Grid, 0, 1e-5)
}
