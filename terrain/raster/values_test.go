package raster

import (
	"math"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pit tells the cells of the hill that have no elevation.
func pit(c, r int) bool { return c == 5 && r == 5 || c == 6 && r == 5 || c == 20 && r == 30 }

func pitted(void float64) func(c, r int) float64 {
	return func(c, r int) float64 {
		if pit(c, r) {
			return void
		}
		return hill(c, r)
	}
}

func number(v float64) *float64 { return &v }

// inSixtyFourths stores the hill as whole numbers, scale 1/64 and offset 250.
func inSixtyFourths(d dem) dem {
	stored := d.stored
	d.stored = func(c, r int) float64 {
		if pit(c, r) {
			return stored(c, r)
		}
		return (hill(c, r) - 250) * 64
	}
	d.finish = func(ds *godal.Dataset) { _ = ds.SetScaleOffset(1.0/64, 250) }
	return d
}

// One ground with three pits, stored in every way that rasters are: the same
// heights, the same slopes, the same unknown cells.
func TestOneGroundStoredInManyWays(t *testing.T) {
	const lowest = -3.4028234663852886e38 // of float32
	d := hillDEM()
	d.stored = pitted(math.NaN())
	_, want := readWhole(t, d.write(t, "a.tif"), Options{})
	require.Equal(t, 3, want.Grid.Voids())

	plain := func(kind godal.DataType, void float64, nodata *float64) dem {
		d := hillDEM()
		d.kind, d.stored, d.nodata = kind, pitted(void), nodata
		return d
	}
	with := func(d dem, options ...string) dem {
		d.options = options
		return d
	}
	for name, d := range map[string]dem{
		"NaN declared":                      plain(godal.Float32, math.NaN(), number(math.NaN())),
		"-9999":                             plain(godal.Float32, -9999, number(-9999)),
		"-999999":                           plain(godal.Float32, -999999, number(-999999)),
		"least float32":                     plain(godal.Float32, lowest, number(lowest)),
		"least float32, as people write it": plain(godal.Float32, lowest, number(-3.4028235e38)),
		"least float32, undeclared":         plain(godal.Float32, lowest, nil),
		"a value float32 cannot hold":       plain(godal.Float32, -9999.9, number(-9999.9)),
		"1e38 undeclared":                   plain(godal.Float32, 1e38, nil),
		"infinite, undeclared":              plain(godal.Float32, math.Inf(-1), nil),
		"zero":                              plain(godal.Float32, 0, number(0)),
		"float64":                           plain(godal.Float64, math.NaN(), nil),
		"float64, -1.7976931348623157e308":  plain(godal.Float64, -math.MaxFloat64, number(-math.MaxFloat64)),
		"int16 scaled":                      inSixtyFourths(plain(godal.Int16, -32768, number(-32768))),
		"int16 scaled, +32767":              inSixtyFourths(plain(godal.Int16, 32767, number(32767))),
		"int32 scaled":                      inSixtyFourths(plain(godal.Int32, -2147483648, number(-2147483648))),
		"uint16 scaled":                     inSixtyFourths(plain(godal.UInt16, 65535, number(65535))),
		"LZW, predictor 3, tiles":           with(plain(godal.Float32, -9999, number(-9999)), "TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16", "COMPRESS=LZW", "PREDICTOR=3"),
		"deflate, predictor 2, strips":      with(inSixtyFourths(plain(godal.Int16, -32768, number(-32768))), "COMPRESS=DEFLATE", "PREDICTOR=2"),
		"BigTIFF, big-endian, interleaved":  with(plain(godal.Float64, -9999, number(-9999)), "BIGTIFF=YES", "ENDIANNESS=BIG"),
		"float64, -9999.9":                  plain(godal.Float64, -9999.9, number(-9999.9)),
	} {
		t.Run(name, func(t *testing.T) {
			_, got := readWhole(t, d.write(t, "b.tif"), Options{})
			mustMatch(t, want.Grid, got.Grid, 0, 0)
		})
	}
}

// Masks beside the values, however they are kept: what is masked is void.
func TestMaskedCellsAreVoid(t *testing.T) {
	d := hillDEM()
	d.stored = pitted(math.NaN())
	_, want := readWhole(t, d.write(t, "a.tif"), Options{})

	mask := make([]byte, hillCols*hillRows)
	for i := range mask {
		if !pit(i%hillCols, i/hillCols) {
			mask[i] = 255
		}
	}
	const perDataset = 0x02 // GMF_PER_DATASET of gdal.h
	for name, makeMask := range map[string]func(ds *godal.Dataset) (godal.Band, error){
		"in the file": func(ds *godal.Dataset) (godal.Band, error) {
			return ds.CreateMaskBand(perDataset, godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=YES"))
		},
		"beside the file": func(ds *godal.Dataset) (godal.Band, error) {
			return ds.CreateMaskBand(perDataset, godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=NO"))
		},
		"of the band alone": func(ds *godal.Dataset) (godal.Band, error) {
			return ds.Bands()[0].CreateMask(0, godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=NO"))
		},
	} {
		for _, turned := range []bool{false, true} {
			t.Run(name, func(t *testing.T) {
				d := hillDEM()
				d.stored = pitted(8000) // what lies under a mask is anything
				ours := mask
				if turned {
					d.grid = southUp(d.grid, hillRows)
					north := d.stored
					d.stored = func(c, r int) float64 { return north(c, hillRows-1-r) }
					ours = nil
					for r := range hillRows {
						ours = append(ours, mask[(hillRows-1-r)*hillCols:][:hillCols]...)
					}
				}
				d.finish = func(ds *godal.Dataset) {
					m, err := makeMask(ds)
					require.NoError(t, err)
					require.NoError(t, m.Write(0, 0, ours, hillCols, hillRows))
				}
				r, got := readWhole(t, d.write(t, "masked.tif"), Options{})
				mustMatch(t, want.Grid, got.Grid, 0, 1e-5)

				s, err := r.Sample(t.Context())
				require.NoError(t, err)
				assert.Equal(t, 3, s.Voids)
				assert.Less(t, s.HighestM, 400.0)
			})
		}
	}
}

func TestTransparentCellsAreVoid(t *testing.T) {
	require.NoError(t, registerFew())
	d := hillDEM()
	d.stored = pitted(math.NaN())
	_, want := readWhole(t, d.write(t, "a.tif"), Options{})
	d.stored = pitted(8000)
	one, err := godal.Open(d.write(t, "b.tif"))
	require.NoError(t, err)
	defer one.Close()
	file := t.TempDir() + "/alpha.tif"
	two, err := one.Translate(file, []string{"-b", "1", "-b", "1", "-co", "ALPHA=YES", "-colorinterp_1", "gray", "-colorinterp_2", "alpha"})
	require.NoError(t, err)
	alpha := make([]float32, hillCols*hillRows)
	for i := range alpha {
		if !pit(i%hillCols, i/hillCols) {
			alpha[i] = 255
		}
	}
	require.NoError(t, two.Bands()[1].Write(0, 0, alpha, hillCols, hillRows))
	require.NoError(t, two.Close())
	r, got := readWhole(t, file, Options{})
	mustMatch(t, want.Grid, got.Grid, 0, 0)
	assert.Equal(t, []string{"it has 2 bands; the first is taken for elevation"}, r.Source.Warnings)
}
