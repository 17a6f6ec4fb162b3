package raster

import (
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestExamineTellsTagsAndReliesOnNone(t *testing.T) {
	d := hillDEM()
	d.nodata = number(-9999)
	d.finish = func(ds *godal.Dataset) {
		for k, v := range map[string]string{
			"VERTICAL_UNITS": "feet", "Vertical datum": "NAVD88", "AREA_OR_POINT": "Point", "TIFFTAG_SOFTWARE": "a scanner",
		} {
			require.NoError(t, ds.SetMetadata(k, v))
		}
	}
	file := d.write(t, "tags.tif")
	r, source, err := Examine(t.Context(), file, Options{})
	require.NoError(t, err)
	defer r.Close()
	assert.Equal(t, []string{
		"VERTICAL_UNITS=feet", "Vertical datum=NAVD88", "AREA_OR_POINT=Point: heights at cell middles, as always taken here",
	}, source.Tags)
	assert.Equal(t, [2]string{"m", "assumed"}, [2]string{source.Unit, source.UnitFrom})
	assert.Equal(t, "-9999", source.NoData)
	assert.Equal(t, r.Source, source)
	assert.Empty(t, opened(t, file, Options{}).Source.Tags)
}

// What could be read of a raster that is refused is still told.
func TestExamineOfARefusedRaster(t *testing.T) {
	d := hillDEM()
	d.crs = "EPSG:2227"
	r, source, err := Examine(t.Context(), d.write(t, "feet.tif"), Options{})
	assert.Nil(t, r)
	assert.ErrorIs(t, err, ErrUnit)
	assert.Equal(t, [2]int{hillCols, hillRows}, [2]int{source.Cols, source.Rows})
	assert.Equal(t, "NAD83 / California zone 3 (ftUS) (EPSG:2227)", source.CRS)
	assert.Empty(t, source.Unit)
}

func TestFileOfSeveralRasters(t *testing.T) {
	tif := hillDEM().write(t, "hill.tif")
	file := translated(t, tif, "two.gpkg", "-of", "GPKG", "-co", "RASTER_TABLE=north")
	ds, err := godal.Open(tif, godal.RasterOnly())
	require.NoError(t, err)
	defer ds.Close()
	more, err := ds.Translate(file, []string{"-of", "GPKG", "-co", "RASTER_TABLE=south", "-co", "APPEND_SUBDATASET=YES"}, godal.ErrLogger(quiet))
	require.NoError(t, err)
	require.NoError(t, more.Close(godal.ErrLogger(quiet)))
	mustRefuse(t, file, Options{}, "it holds no raster band", "name one of them")
	_, e := readWhole(t, "GPKG:"+file+":south", Options{})
	mustHoldHill(t, e)
}

func TestSecondBandIsLeftOut(t *testing.T) {
	require.NoError(t, registerFew())
	file := translated(t, hillDEM().write(t, "hill.tif"), "two.tif", "-b", "1", "-b", "1")
	r, e := readWhole(t, file, Options{})
	mustHoldHill(t, e)
	assert.Equal(t, []string{"it has 2 bands; the first is taken for elevation"}, r.Source.Warnings)
}
