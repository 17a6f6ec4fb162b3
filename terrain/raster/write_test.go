package raster

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image/color"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// utm is a place of cells in UTM zone 16 north, near Jacksboro.
func utm(t testing.TB, cell float64) terrain.Georeference {
	t.Helper()
	p, err := newPlace("EPSG:26916")
	require.NoError(t, err)
	defer p.close()
	return terrain.Georeference{CRS: p.wkt, Grid: northUp(740_000, 4_020_000, cell)}
}

var threeClasses = []Class{
	{`Track "loader" <1>`, color.RGBA{0x56, 0xB4, 0xE9, 0xFF}},
	{"Хвоя, & больше", color.RGBA{0xE6, 0x9F, 0x00, 0xFF}},
	{"No-go", color.RGBA{0x4A, 0x4A, 0x4A, 0xFF}},
}

// header is that of a raster of cols × rows cells of a metre.
func header(t testing.TB, cols, rows int) Header {
	return Header{Place: utm(t, 1), Cols: cols, Rows: rows, Words: "what they are", Remarks: []string{"Verify on foot.", "Heights are in meters <assumed>"}}
}

func someClasses(n int) []uint8 {
	cells := make([]uint8, n)
	for i := range cells {
		cells[i] = uint8(i * i % 5 % 4)
		if cells[i] == 3 {
			cells[i] = NoClass
		}
	}
	return cells
}

func someValues(n int) []float32 {
	cells := make([]float32, n)
	for i := range cells {
		cells[i] = float32(i%977) * 0.173
		if i%31 == 0 {
			cells[i] = float32(math.NaN())
		}
	}
	return cells
}

func written(t testing.TB, write func(*bytes.Buffer) error) (text []byte, file string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	file = filepath.Join(t.TempDir(), "written.tif")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o644))
	return b.Bytes(), file
}

func TestWriteClassesReadsBack(t *testing.T) {
	const cols, rows = 700, 530
	cells, h := someClasses(cols*rows), header(t, cols, rows)
	_, file := written(t, func(b *bytes.Buffer) error { return WriteClasses(b, h, cells, threeClasses) })
	ds, err := godal.Open(file, godal.RasterOnly())
	require.NoError(t, err)
	defer ds.Close()
	st, band := ds.Structure(), ds.Bands()[0]
	assert.Equal(t, [2]int{cols, rows}, [2]int{st.SizeX, st.SizeY})
	assert.Equal(t, godal.Byte, band.Structure().DataType)
	grid, err := ds.GeoTransform()
	require.NoError(t, err)
	assert.Equal(t, h.Place.Grid, grid)
	want, err := godal.NewSpatialRefFromEPSG(26916)
	require.NoError(t, err)
	defer want.Close()
	sr := ds.SpatialRef()
	defer sr.Close()
	assert.True(t, sr.IsSame(want), ds.Projection())
	got := make([]uint8, len(cells))
	require.NoError(t, band.Read(0, 0, got, cols, rows))
	assert.Equal(t, cells, got)
	nodata, ok := band.NoData()
	assert.True(t, ok)
	assert.Equal(t, float64(NoClass), nodata)
	assert.Equal(t, godal.CIPalette, band.ColorInterp())
	colours := band.ColorTable().Entries
	for i, c := range threeClasses {
		assert.Equal(t, [4]int16{int16(c.Colour.R), int16(c.Colour.G), int16(c.Colour.B), 255}, colours[i])
		assert.Equal(t, c.Name, band.Metadata(fmt.Sprint("CLASS_", i)))
	}
	assert.Equal(t, "what they are", band.Description())
	assert.Equal(t, strings.Join(h.Remarks, "\n"), ds.Metadata("REMARKS"))
	require.Len(t, band.Overviews(), 2) // 350 and 175 cells wide
	over := make([]uint8, 175*132)
	require.NoError(t, band.Overviews()[1].Read(0, 0, over, 175, 132))
	for _, v := range over {
		require.True(t, int(v) < len(threeClasses) || v == NoClass, "an overview invents no class")
	}
}

func TestWriteValuesReadsBack(t *testing.T) {
	const cols, rows = 300, 270
	cells, h := someValues(cols*rows), header(t, cols, rows)
	h.Place.Grid = [6]float64{740_000, 0.9, 0.1, 4_020_000, 0.1, -0.9} // turned
	_, file := written(t, func(b *bytes.Buffer) error { return WriteValues(b, h, cells) })
	ds, err := godal.Open(file, godal.RasterOnly())
	require.NoError(t, err)
	defer ds.Close()
	band := ds.Bands()[0]
	grid, err := ds.GeoTransform()
	require.NoError(t, err)
	assert.Equal(t, h.Place.Grid, grid)
	nodata, ok := band.NoData()
	assert.True(t, ok && math.IsNaN(nodata))
	got := make([]float32, len(cells))
	require.NoError(t, band.Read(0, 0, got, cols, rows))
	for i, v := range cells {
		require.Equal(t, math.Float32bits(v), math.Float32bits(got[i]), "cell %d", i)
	}
}

func TestWrittenRastersAreTheSameEachTime(t *testing.T) {
	const cols, rows = 600, 400
	h := header(t, cols, rows)
	for name, write := range map[string]func(*bytes.Buffer) error{
		"classes": func(b *bytes.Buffer) error { return WriteClasses(b, h, someClasses(cols*rows), threeClasses) },
		"values":  func(b *bytes.Buffer) error { return WriteValues(b, h, someValues(cols*rows)) },
	} {
		first, _ := written(t, write)
		was := runtime.GOMAXPROCS(1)
		again, _ := written(t, write)
		runtime.GOMAXPROCS(was)
		assert.True(t, bytes.Equal(first, again), name)
	}
}

func TestWriteRefusesWhatDoesNotFit(t *testing.T) {
	var b bytes.Buffer
	h := header(t, 3, 2)
	assert.EqualError(t, WriteValues(&b, h, make([]float32, 5)), "5 cells do not fill 3 columns × 2 rows")
	assert.EqualError(t, WriteClasses(&b, h, []uint8{0, 1, 2, 3, 255, 0}, threeClasses), "cell 3 is of class 3; there are 3")
	assert.EqualError(t, WriteClasses(&b, h, make([]uint8, 6), make([]Class, 256)), "256 classes; a byte holds 255 beside no data")
	h.Place.CRS = "no CRS"
	assert.ErrorContains(t, WriteValues(&b, h, make([]float32, 6)), "making a GeoTIFF: ")
	assert.Zero(t, b.Len(), "a file is written whole or not at all")
}

// tiffIFD is what a cloud-optimised GeoTIFF's layout shows of one image.
type tiffIFD struct {
	at                  uint32
	width, tile, kind   uint32
	firstTile, lastTile uint32
}

// tiffIFDs walks a little-endian TIFF (TIFF 6.0, section 2).
func tiffIFDs(t *testing.T, text []byte) (ifds []tiffIFD) {
	t.Helper()
	le := binary.LittleEndian
	require.Equal(t, "II*\x00", string(text[:4]))
	for at := le.Uint32(text[4:]); at != 0; {
		ifd := tiffIFD{at: at}
		n := int(le.Uint16(text[at:]))
		for i := range n {
			e := text[int(at)+2+12*i:]
			tag, count, value := le.Uint16(e), le.Uint32(e[4:]), le.Uint32(e[8:])
			switch tag {
			case 254: // NewSubfileType
				ifd.kind = value
			case 256:
				ifd.width = uint32(le.Uint16(e[8:]))
			case 322: // TileWidth
				ifd.tile = uint32(le.Uint16(e[8:]))
			case 324: // TileOffsets
				ifd.firstTile, ifd.lastTile = value, value
				if count > 1 {
					ifd.firstTile, ifd.lastTile = le.Uint32(text[value:]), le.Uint32(text[value+4*(count-1):])
				}
			}
		}
		ifds = append(ifds, ifd)
		at = le.Uint32(text[int(at)+2+12*n:])
	}
	return ifds
}

// Layout of a cloud-optimised GeoTIFF (OGC 21-026, requirements of the core and of
// its GDAL layout): tiles; images from large to small at the start, each an
// overview of the first; then the data, the smallest image's first.
func TestWrittenRastersAreCloudOptimised(t *testing.T) {
	const cols, rows = 1100, 700
	h := header(t, cols, rows)
	for name, write := range map[string]func(*bytes.Buffer) error{
		"classes": func(b *bytes.Buffer) error { return WriteClasses(b, h, someClasses(cols*rows), threeClasses) },
		"values":  func(b *bytes.Buffer) error { return WriteValues(b, h, someValues(cols*rows)) },
	} {
		t.Run(name, func(t *testing.T) {
			text, file := written(t, write)
			require.Contains(t, string(text[8:300]), "LAYOUT=IFDS_BEFORE_DATA")
			ifds := tiffIFDs(t, text)
			require.Len(t, ifds, 4)
			for i, ifd := range ifds {
				assert.EqualValues(t, 256, ifd.tile)
				assert.EqualValues(t, cols>>i, ifd.width)
				assert.EqualValues(t, min(i, 1), ifd.kind, "1: a smaller image of the first")
				assert.Less(t, ifd.at, ifds[3].firstTile)
				if i > 0 {
					assert.Less(t, ifds[i-1].at, ifd.at)
					assert.Less(t, ifd.lastTile, ifds[i-1].firstTile)
				}
			}
			validate(t, file)
		})
	}
}

// validate asks the check that Debian's python3-gdal ships.
func validate(t *testing.T, file string) {
	t.Helper()
	const python, check = "/usr/bin/python3", "osgeo_utils.samples.validate_cloud_optimized_geotiff"
	if exec.Command(python, "-c", "import "+check).Run() != nil {
		t.Skip("python3-gdal is not installed: its check of cloud-optimised GeoTIFFs is left out")
	}
	said, err := exec.Command(python, "-m", check, "--full-check=yes", file).CombinedOutput()
	require.NoError(t, err, string(said))
	assert.Contains(t, string(said), "is a valid cloud optimized GeoTIFF")
	assert.NotContains(t, string(said), "warning")
}

// What is written of a window that was read lies where the raster has it, also
// where the raster is stored south-up, and in the CRS it has or was said to have.
func TestGeoreferenceOfAWindow(t *testing.T) {
	const cols, rows = 90, 60
	grid := northUp(740_000, 4_020_000, 10)
	for name, d := range map[string]dem{
		"north-up": {cols: cols, rows: rows, grid: grid, crs: "EPSG:26916", stored: hill},
		"south-up": {cols: cols, rows: rows, grid: southUp(grid, rows), crs: "EPSG:26916", stored: func(c, r int) float64 { return hill(c, rows-1-r) }},
	} {
		t.Run(name, func(t *testing.T) {
			r := opened(t, d.write(t, "dem.tif"), Options{})
			e, err := Read(t.Context(), []*Raster{r}, patch(t, r, 30.5, 20.5, 40.5, 25.5))
			require.NoError(t, err)
			g := e.Grid
			require.Equal(t, [2]int{27, 17}, [2]int{g.Col0, g.Row0})
			assert.Equal(t, northUp(740_000+270, 4_020_000-170, 10), e.Georeference.Grid)
			h := Header{Place: e.Georeference, Cols: g.Cols, Rows: g.Rows}
			_, file := written(t, func(b *bytes.Buffer) error {
				heights := make([]float32, 0, g.Cols*g.Rows)
				for row := range g.Rows {
					for col := range g.Cols {
						heights = append(heights, float32(g.At(col, row)))
					}
				}
				return WriteValues(b, h, heights)
			})
			again := opened(t, file, Options{})
			assert.Equal(t, "NAD83 / UTM zone 16N (EPSG:26916)", again.Source.CRS)
			back, err := Read(t.Context(), []*Raster{again}, within(t, again))
			require.NoError(t, err)
			for row := range g.Rows {
				for col := range g.Cols {
					require.Equal(t, g.At(col, row), back.Grid.At(col, row))
					lon, lat := g.Frame.LonLat(float64(g.Col0+col), float64(g.Row0+row))
					lon2, lat2 := back.Grid.Frame.LonLat(float64(col), float64(row))
					require.InDelta(t, lon, lon2, 1e-8) // a millimetre, between two lattices
					require.InDelta(t, lat, lat2, 1e-8)
				}
			}
		})
	}
	named := dem{cols: cols, rows: rows, grid: grid, stored: hill}.write(t, "bare.tif")
	_, e := readWhole(t, named, Options{CRS: "EPSG:26916+5703"})
	assert.Equal(t, utm(t, 1).CRS, e.Georeference.CRS, "heights are no part of it")
}
