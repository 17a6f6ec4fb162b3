package raster

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// mustHoldHill checks every cell of a grid against the hill written.
func mustHoldHill(t *testing.T, e *terrain.Elevation) {
	t.Helper()
	g := e.Grid
	for r := range g.Rows {
		for c := range g.Cols {
			require.Equal(t, hill(c+g.Col0, r+g.Row0), g.At(c, r), "column %d, row %d", c+g.Col0, r+g.Row0)
		}
	}
}

func TestOnlyTheWindowIsRead(t *testing.T) {
	d := hillDEM()
	d.cols, d.rows = 2000, 1500
	d.options = []string{"TILED=YES"}
	r := opened(t, d.write(t, "large.tif"), Options{})
	e, err := Read(t.Context(), []*Raster{r}, patch(t, r, 1200.5, 700.5, 1250.5, 720.5))
	require.NoError(t, err)
	assert.Equal(t, terrain.NewWindow(1200-halo, 700-halo, 1251+halo, 721+halo), e.Window)
	g := e.Grid
	assert.Equal(t, [4]int{1200 - halo, 700 - halo, 51 + 2*halo, 21 + 2*halo}, [4]int{g.Col0, g.Row0, g.Cols, g.Rows})
	assert.Len(t, g.Z, g.Cols*g.Rows)
	assert.Equal(t, g.Cols, g.Stride)
	require.Len(t, e.Sources, 1)
	assert.Equal(t, r.Source, e.Sources[0])
	assert.Empty(t, e.Warnings)
	mustHoldHill(t, e)

	// More rows than are converted at a time.
	e, err = Read(t.Context(), []*Raster{r}, patch(t, r, 1200.5, 100.5, 1205.5, 1400.5))
	require.NoError(t, err)
	assert.Greater(t, e.Grid.Rows, 5*readRows)
	mustHoldHill(t, e)
}

func TestAPlaceOfSeveralParts(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	both := append(patch(t, r, 4.5, 5.5, 7.5, 8.5), patch(t, r, 30.5, 20.5, 33.5, 25.5)...)
	e, err := Read(t.Context(), []*Raster{r}, both)
	require.NoError(t, err)
	assert.Equal(t, terrain.NewWindow(4-halo, 5-halo, 34+halo, 26+halo), e.Window)
	mustHoldHill(t, e)
}

// A place that reaches beyond the raster: the window does too, the grid holds
// what there is, and the frame places both.
func TestPartlyOffTheRaster(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	e, err := Read(t.Context(), []*Raster{r}, patch(t, r, -20.5, 30.5, 5.5, 60.5))
	require.NoError(t, err)
	assert.Equal(t, terrain.NewWindow(-21-halo, 30-halo, 6+halo, 61+halo), e.Window)
	g := e.Grid
	assert.Equal(t, [4]int{0, 30 - halo, 6 + halo, hillRows - 30 + halo}, [4]int{g.Col0, g.Row0, g.Cols, g.Rows})
	mustHoldHill(t, e)
	lonLat := toDegrees(t, "EPSG:26916")(740_000-200, 4_020_000-550)
	col, row := g.Frame.Cell(lonLat[0], lonLat[1])
	assert.InDelta(t, -20, col, 3e-4)
	assert.InDelta(t, 55, row, 3e-4)
}

func TestOffTheRaster(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	for name, c := range map[string]struct {
		place  orb.MultiPolygon
		km     float64
		within float64
	}{
		"a kilometre east": {patch(t, r, hillCols+100, 0, hillCols+110, 10), 1, 0.01},
		"far east":         {patch(t, r, hillCols+10_000, 0, hillCols+10_010, 10), 100, 0.5},
		// On a sphere; the transverse Mercator of PROJ gives up there.
		"on the other side": {orb.MultiPolygon{{{{96, -36}, {96.01, -36}, {96.01, -36.01}, {96, -36}}}}, 20_000, 100},
		"at a pole":         {orb.MultiPolygon{{{{0, 89.9}, {120, 89.9}, {-120, 89.9}, {0, 89.9}}}}, 5_960, 60},
	} {
		t.Run(name, func(t *testing.T) {
			on, err := r.Touches(c.place)
			require.NoError(t, err)
			assert.False(t, on)
			_, err = Read(t.Context(), []*Raster{r}, c.place)
			assert.ErrorIs(t, err, ErrOffRaster)
			assert.InDelta(t, c.km, r.DistanceKM(c.place[0][0][0]), c.within)
		})
	}
	on, err := r.Touches(patch(t, r, -10, 20, 0.5, 30))
	require.NoError(t, err)
	assert.True(t, on)
}

func TestWhereARasterLies(t *testing.T) {
	r := opened(t, hillDEM().write(t, "hill.tif"), Options{})
	at := toDegrees(t, "EPSG:26916")
	for i, want := range [][2]float64{at(740_000, 4_020_000), at(740_480, 4_019_600)} {
		assert.InDelta(t, want[0], r.Corners()[i][0], 1e-9)
		assert.InDelta(t, want[1], r.Corners()[i][1], 1e-9)
	}
	mid := at(740_240, 4_019_800)
	assert.InDelta(t, mid[0], r.Middle()[0], 1e-9)
	assert.InDelta(t, mid[1], r.Middle()[1], 1e-9)
	assert.Zero(t, r.DistanceKM(r.Middle()))
	assert.Equal(t, terrain.NewWindow(0, 0, hillCols, hillRows), r.Extent())
}

// Cells of a place so large that reading it would take all memory: said, before
// any is taken.
func TestTooLargeAPlace(t *testing.T) {
	d := dem{
		cols: 30_000, rows: 30_000, grid: northUp(740_000, 4_020_000, 1), crs: "EPSG:26916",
		options: []string{"SPARSE_OK=TRUE", "TILED=YES"},
	}
	r := opened(t, d.write(t, "huge.tif"), Options{})
	_, err := Read(t.Context(), []*Raster{r}, within(t, r))
	assert.ErrorIs(t, err, ErrTooLarge)
	assert.ErrorContains(t, err, "huge.tif")
}

// All void ground reads as such.
func TestNothingButVoids(t *testing.T) {
	d := hillDEM()
	d.stored = func(c, r int) float64 { return -9999 }
	d.nodata = number(-9999)
	r, e := readWhole(t, d.write(t, "void.tif"), Options{})
	assert.Equal(t, hillCols*hillRows, e.Grid.Voids())
	assert.Zero(t, e.Grid.Z0)
	assert.True(t, math.IsNaN(e.Grid.At(3, 3)))
	s, err := r.Sample(t.Context())
	require.NoError(t, err)
	assert.Equal(t, s.Cells, s.Voids)
}

func TestSampleOfALargeRaster(t *testing.T) {
	d := hillDEM()
	d.cols, d.rows = 3000, 20
	r := opened(t, d.write(t, "long.tif"), Options{})
	s, err := r.Sample(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 1024*20, s.Cells)
	assert.Zero(t, s.Voids)
	assert.InDelta(t, 265, s.LowestM, 40)
	assert.InDelta(t, 1235, s.HighestM, 10) // 300 + 20 + 15 + 0.3·3000
}

// However a grid is turned, the box around a window holds it, and tells which entries of
// another catalogue it may touch.
func TestBoxAroundWindows(t *testing.T) {
	sin, cos := math.Sincos(40 * math.Pi / 180)
	for name, g := range map[string][4]float64{
		"north-up": {5, 0, 0, -5}, "turned": {5 * cos, 5 * sin, 5 * sin, -5 * cos}, "skewed": {5, 0.5, 2, -4},
		"coarse": {90, 0, 0, -90}, "coarse, turned": {90 * cos, 90 * sin, 90 * sin, -90 * cos}, "tiny": {0.1, 0, 0, -0.1},
	} {
		const n = 400
		d := hillDEM()
		d.cols, d.rows = n, n
		d.grid = [6]float64{740_000 - n/2*(g[0]+g[2]), g[0], g[2], 4_020_000 - n/2*(g[1]+g[3]), g[1], g[3]}
		path := d.write(t, "d.tif")
		c := catalogued(t, Options{}, path)
		at := toDegrees(t, "EPSG:26916")(740_000, 4_020_000)
		for _, size := range []float64{1e-6, 1e-3} {
			ground := orb.MultiPolygon{orb.Bound{Min: at, Max: orb.Point{at[0] + 3*size, at[1] + size}}.ToPolygon()}
			box := c.WindowAround(ground).Bound()
			for _, wide := range []bool{false, true} {
				read := Read
				if wide {
					read = ReadWide
				}
				rasters, err := c.AroundWide(t.Context(), ground)
				require.NoError(t, err)
				e, err := read(t.Context(), rasters, ground)
				require.NoError(t, err)
				w := e.Window
				for _, corner := range [][2]int{{w.Col0, w.Row0}, {w.Col1, w.Row0}, {w.Col1, w.Row1}, {w.Col0, w.Row1}} {
					lon, lat := e.Grid.Frame.LonLat(float64(corner[0]), float64(corner[1]))
					require.True(t, box.Contains(orb.Point{lon, lat}), "%s, size %g, wide %v, corner %v", name, size, wide, corner)
				}
			}
			require.Less(t, box.Max[1]-box.Min[1], 20*size+0.05, name) // of use for picking tiles
		}
	}
}
