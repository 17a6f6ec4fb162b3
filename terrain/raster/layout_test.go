package raster

import (
	"math"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
)

const hillCols, hillRows = 48, 40

// hillGrid is where the hill of these tests lies, in UTM zone 16 north.
var hillGrid = northUp(740_000, 4_020_000, 10)

func hillDEM() dem {
	return dem{cols: hillCols, rows: hillRows, grid: hillGrid, crs: "EPSG:26916", stored: hill}
}

func TestHeightsAreWhereTheyWereWritten(t *testing.T) {
	r, e := readWhole(t, hillDEM().write(t, "hill.tif"), Options{})
	assert.Equal(t, "NAD83 / UTM zone 16N (EPSG:26916)", r.Source.CRS)
	assert.Equal(t, "declared", r.Source.CRSFrom)
	assert.Equal(t, "Float32", r.Source.ValueType)
	for row := range hillRows {
		for col := range hillCols {
			require.Equal(t, hill(col, row), e.Grid.At(col, row))
		}
	}
	// A spot on the ground, asked of PROJ, is in the cell that the map says.
	lonLat := toDegrees(t, "EPSG:26916")(740_000+10*12.25, 4_020_000-10*30.75)
	col, row := e.Grid.Frame.Cell(lonLat[0], lonLat[1])
	assert.InDelta(t, 12.25, col, 3e-4)
	assert.InDelta(t, 30.75, row, 3e-4)
}

// Rows stored from the south, as lidar tools write them: the same ground.
func TestSouthUpIsTurnedOver(t *testing.T) {
	d := hillDEM()
	_, want := readWhole(t, d.write(t, "north.tif"), Options{})
	d.grid = southUp(d.grid, hillRows)
	d.stored = func(c, r int) float64 { return hill(c, hillRows-1-r) }
	r, got := readWhole(t, d.write(t, "south.tif"), Options{})
	assert.True(t, r.flip)
	mustMatch(t, want.Grid, got.Grid, 0, 1e-5)

	part, err := Read(t.Context(), []*Raster{r}, patch(t, r, 10.5, 4.5, 19.5, 9.5))
	require.NoError(t, err)
	g := part.Grid
	assert.Equal(t, hill(g.Col0+2, g.Row0+3), g.At(2, 3), "a window of it is turned over too")
}

// Half a cell matters: heights at cell middles are where PixelIsPoint says,
// GDAL having moved the corner already.
func TestPixelIsPointIsNotShiftedAgain(t *testing.T) {
	d := hillDEM()
	_, want := readWhole(t, d.write(t, "area.tif"), Options{})
	d.finish = func(ds *godal.Dataset) { require.NoError(t, ds.SetMetadata("AREA_OR_POINT", "Point")) }
	file := d.write(t, "point.tif")

	raw, err := godal.Open(file, godal.ConfigOption("GTIFF_POINT_GEO_IGNORE=TRUE"))
	require.NoError(t, err)
	g, err := raw.GeoTransform()
	require.NoError(t, err)
	require.NoError(t, raw.Close())
	require.InDelta(t, hillGrid[0]+5, g[0], 1e-9, "the file names the first cell's middle")

	r, got := readWhole(t, file, Options{})
	assert.Equal(t, hillGrid, r.grid)
	mustMatch(t, want.Grid, got.Grid, 0, 0)
}

// One plane of 35% in map metres under lattices of every kind. UTM is conformal
// and the patch small: all read it alike, and find each height in its place.
func TestTurnedAndSkewedGridsReadOnePlane(t *testing.T) {
	const x0, y0 = 740_000.0, 4_020_000.0
	plane := func(x, y float64) float64 { return 500 + 0.35*((x-x0)*0.6+(y-y0)*0.8) }
	sin, cos := math.Sincos(33 * math.Pi / 180)
	mid := toDegrees(t, "EPSG:26916")(x0, y0)
	for name, g := range map[string][4]float64{ // x and y of a step along a row, then down a column
		"north-up":           {5, 0, 0, -5},
		"south-up":           {5, 0, 0, 5},
		"cells not square":   {5, 0, 0, -3},
		"turned":             {5 * cos, 5 * sin, 5 * sin, -5 * cos},
		"skewed":             {5, 0.5, 2, -4},
		"turned and skewed":  {4 * cos, 4 * sin, 5 * cos, -3},
		"a quarter turn":     {0, -5, -5, 0},
		"half a turn":        {-5, 0, 0, 5},
		"rows run west":      {-5, 0, 0, -5},
		"turned, mirrored":   {5 * cos, 5 * sin, -5 * sin, 5 * cos},
		"rows run north":     {0, 5, 5, 0},
		"mirrored rows west": {0, 5, -5, 0},
	} {
		t.Run(name, func(t *testing.T) {
			const n = 40
			grid := [6]float64{x0 - n/2*(g[0]+g[2]), g[0], g[2], y0 - n/2*(g[1]+g[3]), g[1], g[3]}
			file := dem{
				cols: n, rows: n, grid: grid, crs: "EPSG:26916", kind: godal.Float64,
				stored: func(c, r int) float64 {
					u, v := float64(c)+0.5, float64(r)+0.5
					return plane(grid[0]+u*grid[1]+v*grid[2], grid[3]+u*grid[4]+v*grid[5])
				},
			}.write(t, "plane.tif")
			_, e := readWhole(t, file, Options{})
			f := must(slope.Of(e.Grid))
			k := 0.9996 * math.Cosh((x0-500_000)/(0.9996*6_371_000)) // map metres in one of ground, as on a sphere
			for i := range f.Squared {
				require.InEpsilon(t, 35*k, f.Pct(i%n, i/n), 2e-5)
			}
			col, row := e.Grid.Frame.Cell(mid[0], mid[1])
			assert.InDelta(t, n/2, col, 1e-3)
			assert.InDelta(t, n/2, row, 1e-3)
			beside := toDegrees(t, "EPSG:26916")(x0+31, y0+17)
			col, row = e.Grid.Frame.Cell(beside[0], beside[1])
			c, r := int(col), int(row)
			g := e.Grid
			at := g.At(c, r) + (col-0.5-float64(c))*(g.At(c+1, r)-g.At(c, r)) + (row-0.5-float64(r))*(g.At(c, r+1)-g.At(c, r))
			assert.InDelta(t, plane(x0+31, y0+17), at, 2e-3)

			// Seen from above, a step down a column is clockwise of one along a row.
			lon, lat := g.Frame.LonLat(col, row)
			lonC, latC := g.Frame.LonLat(col+1, row)
			lonR, latR := g.Frame.LonLat(col, row+1)
			assert.Negative(t, (lonC-lon)*(latR-lat)-(lonR-lon)*(latC-lat))
		})
	}
}
