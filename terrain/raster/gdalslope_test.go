package raster

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

const jacksboro = "../../testdata/jacksboro_dem.tif"

// gdalSlope is the slope in percent that GDAL finds by Horn's method, NaN where
// it gives none: beside voids and on the rim, edges not being asked for.
func gdalSlope(t *testing.T, file string) []float64 {
	t.Helper()
	ds, err := godal.Open(file, godal.RasterOnly())
	require.NoError(t, err)
	defer ds.Close()
	out, err := ds.Dem(filepath.Join(t.TempDir(), "slope.tif"), "slope", "", []string{"-p", "-alg", "Horn", "-of", "GTiff"})
	require.NoError(t, err)
	defer out.Close()
	st, band := out.Structure(), out.Bands()[0]
	v := make([]float64, st.SizeX*st.SizeY)
	require.NoError(t, band.Read(0, 0, v, st.SizeX, st.SizeY))
	nodata, ok := band.NoData()
	require.True(t, ok)
	for i := range v {
		if v[i] == nodata {
			v[i] = math.NaN()
		}
	}
	return v
}

// ridge writes the real heights of the Jacksboro fault into square cells of a
// UTM zone, with fractions of a metre made up and some cells void.
func ridge(t *testing.T, cell float64) (file string, heights []float32, cols, rows int) {
	t.Helper()
	require.NoError(t, registerFew())
	ds, err := godal.Open(jacksboro, godal.RasterOnly())
	require.NoError(t, err)
	defer ds.Close()
	cols, rows = ds.Structure().SizeX, ds.Structure().SizeY
	heights = make([]float32, cols*rows)
	require.NoError(t, ds.Bands()[0].Read(0, 0, heights, cols, rows))
	const void = -9999
	rng := rand.New(rand.NewPCG(11, 12))
	for i := range heights {
		heights[i] += rng.Float32()
		if rng.IntN(300) == 0 {
			heights[i] = void
		}
	}
	nodata := float64(void)
	file = dem{
		cols: cols, rows: rows, grid: northUp(740_000, 4_000_000, cell), crs: "EPSG:32616", nodata: &nodata,
		stored: func(c, r int) float64 { return float64(heights[r*cols+c]) },
	}.write(t, "ridge.tif")
	for i := range heights {
		if heights[i] == void {
			heights[i] = float32(math.NaN())
		}
	}
	return file, heights, cols, rows
}

// gdalTolerance bounds in percentage points how far GDAL's float32 sums may
// stray, cells of w metres, heights between 256 and 1088 m. Four heights are
// summed with three roundings: up to 2176, 3264 and 4352, by at most half a
// unit in the last place: 2^-13, 2^-13 and 2^-12 m. Two such sums make a
// component, two components a slope; scaling rounds by less than 1e-6 of it.
func gdalTolerance(w, pct float64) float64 {
	sum := math.Exp2(-13) + math.Exp2(-13) + math.Exp2(-12)
	return 100*math.Sqrt2*2*sum/(8*w) + 1e-6*pct
}

func TestSlopeIsGDALs(t *testing.T) {
	const cell = 30.0
	file, heights, cols, rows := ridge(t, cell)
	want := gdalSlope(t, file)
	g, err := terrain.NewGrid(heights, cols, rows, cell, cell)
	require.NoError(t, err)
	f := must(slope.Of(g))
	compared, worst, steepest := 0, 0.0, 0.0
	for i, w := range want {
		if math.IsNaN(w) {
			continue
		}
		got := f.Pct(i%cols, i/cols)
		if d := math.Abs(got - w); !(d <= gdalTolerance(cell, w)) {
			t.Fatalf("column %d, row %d: %v%%, GDAL %v%%", i%cols, i/cols, got, w)
		} else {
			worst, steepest = max(worst, d), max(steepest, w)
		}
		compared++
	}
	assert.Greater(t, compared, 9*cols*rows/10)
	assert.Greater(t, steepest, 100.0, "the ground is steep enough to tell")
	t.Logf("%d cells, up to %.1f%%; at most %.2g points apart, %.2g allowed", compared, steepest, worst, gdalTolerance(cell, steepest))
}

// Read from the file, slope is that of the ground: GDAL's, which is that of the
// map, times map metres in a metre of ground. UTM is conformal, so that is one
// factor at each spot.
func TestSlopeReadIsGDALsOnTheGround(t *testing.T) {
	const cell = 30.0
	file, _, cols, _ := ridge(t, cell)
	want := gdalSlope(t, file)
	_, e := readWhole(t, file, Options{})
	f := must(slope.Of(e.Grid))
	least, most := math.Inf(1), 0.0
	for i, w := range want {
		if math.IsNaN(w) {
			continue
		}
		c, r := i%cols, i/cols
		mapPerGround := math.Sqrt(e.Grid.Frame.MetricAt(float64(c)+0.5, float64(r)+0.5).A) * cell
		least, most = min(least, mapPerGround), max(most, mapPerGround)
		// A and C of a conformal map agree to a few parts in a million as interpolated.
		if d := math.Abs(f.Pct(c, r) - w*mapPerGround); !(d <= gdalTolerance(cell, w)+4e-6*w) {
			t.Fatalf("column %d, row %d: %v%%, GDAL %v%%", c, r, f.Pct(c, r), w*mapPerGround)
		}
	}
	// Scale of a transverse Mercator on a sphere (Snyder 1987, equation 8-4
	// shortened) at both rims: 0.9996·cosh(x/(0.9996·R)).
	k := func(x float64) float64 { return 0.9996 * math.Cosh((x-500_000)/(0.9996*6_371_000)) }
	assert.InDelta(t, k(740_000), least, 1e-5)
	assert.InDelta(t, k(740_000+cell*float64(cols)), most, 1e-5)
}

// Beside a void GDAL gives no slope; here the plane through the other
// neighbours is taken, and only the void itself is unknown.
func TestOnlyVoidsAreUnknown(t *testing.T) {
	file, heights, cols, _ := ridge(t, 30)
	want := gdalSlope(t, file)
	_, e := readWhole(t, file, Options{})
	f := must(slope.Of(e.Grid))
	beside := 0
	for i, z := range heights {
		assert.Equal(t, z != z, math.IsNaN(f.Pct(i%cols, i/cols)))
		if z == z && math.IsNaN(want[i]) {
			beside++
		}
	}
	assert.Greater(t, beside, 1000)
}
