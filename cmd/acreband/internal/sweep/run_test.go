package sweep

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/resume"
)

// Slope at cell scale is GDAL's own by Horn, over the tiles put together by GDAL, but
// on the rim and beside voids, where GDAL gives none; and bands are that slope held
// against the limits, but where water is closed.
func TestSlopeIsGDALs(t *testing.T) {
	dir := tiles(t)
	c := sent{[]string{dir}, t.TempDir(), 144}.config()
	c.Options.Scale = mapping.CellScale
	r, err := Run(context.Background(), c)
	require.NoError(t, err)
	require.Equal(t, [2]int{720, 300}, [2]int{r.Grids[0].Cols, r.Grids[0].Rows})
	require.Equal(t, 5*3-3, r.Grids[0].Pieces) // one lies on the missing tile alone, two beside the far one
	slopes, cols, of := read(t, filepath.Join(c.Dir, SlopeName))
	bands, _, _ := read(t, filepath.Join(c.Dir, BandsName))
	require.Equal(t, 720, cols)
	require.Equal(t, [6]float64{westM, 1, 0, northM, 0, -1}, of)

	require.NoError(t, godal.RegisterRaster(godal.VRT))
	var paths []string
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".tif" {
			paths = append(paths, filepath.Join(dir, e.Name()))
		}
	}
	vrt, err := godal.BuildVRT(filepath.Join(t.TempDir(), "all.vrt"), paths, []string{"-vrtnodata", "-9999"})
	require.NoError(t, err)
	defer vrt.Close()
	dem, err := vrt.Dem(filepath.Join(t.TempDir(), "slope.tif"), "slope", "", []string{"-p", "-alg", "Horn", "-of", "GTiff"})
	require.NoError(t, err)
	defer dem.Close()
	want := make([]float64, 720*300)
	require.NoError(t, dem.Bands()[0].Read(0, 0, want, 720, 300))
	compared, water := 0, 0
	machines := fleet.Default()
	all := zoning.Fleet(machines).Bands()
	for i, w := range want {
		if w < 0 {
			continue
		}
		compared++
		// UTM's scale here is 0.9999 or so, which GDAL leaves out.
		if math.Abs(w-slopes[i]) > 2e-3*(w+1)+slope.RoundedOff {
			t.Fatalf("cell %d: %g, by GDAL %g", i, slopes[i], w)
		}
		b := all[int(bands[i])]
		x, y := i%720, i/720
		if x >= 130 && x < 170 && y >= 20 && y < 60 {
			if b.Key == zoning.NoGoKey {
				water++
			}
			continue
		}
		// A slope may have been rounded up over a limit, never down.
		if want := bandBySlope(machines, slopes[i]); want != b.Key && bandBySlope(machines, slopes[i]-slope.RoundedOff) != b.Key {
			t.Fatalf("cell %d of %g%%: %s, not %s", i, slopes[i], b.Key, want)
		}
	}
	require.Greater(t, compared, 5*148*148)
	require.Equal(t, 40*40, water)
	// The missing tile: unknown within pieces, nodata where no raster is near.
	require.Equal(t, "no_data", all[int(bands[250*720+120])].Key)
	require.EqualValues(t, raster.NoClass, bands[250*720+600])
	require.True(t, math.IsNaN(slopes[250*720+600]))
}

// bandBySlope is the first machine whose limit lies above a slope by the tie.
func bandBySlope(machines []zoning.Machine, pct float64) string {
	for _, m := range machines {
		if pct < m.SteepestPct()-100*zoning.TieRise {
			return m.Key
		}
	}
	return "no-machine"
}

// The size of pieces does not show, but in what is nodata, and the number of workers
// not in a byte.
func TestPiecesAndWorkersDoNotShow(t *testing.T) {
	dir := tiles(t)
	ran := func(cells, workers int) map[string]string {
		c := sent{[]string{dir}, t.TempDir(), cells}.config()
		c.Workers = workers
		_, err := Run(context.Background(), c)
		require.NoError(t, err)
		left, err := filepath.Glob(filepath.Join(c.Dir, "pieces", "*.piece"))
		require.NoError(t, err)
		require.Empty(t, left)
		return outputsIn(t, c.Dir)
	}
	whole, one, two := ran(1024, 1), ran(128, 1), ran(128, 2)
	for _, name := range []string{BandsName, SlopeName} {
		require.True(t, one[name] == two[name], name)
	}
	bands := readText(t, one[BandsName])
	for i, w := range readText(t, whole[BandsName]) {
		if bands[i] != raster.NoClass && bands[i] != w {
			t.Fatalf("cell %d: %g, in one piece %g", i, bands[i], w)
		}
	}
}

func readText(t *testing.T, text string) []float64 {
	t.Helper()
	path := filepath.Join(t.TempDir(), "whole.tif")
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	cells, _, _ := read(t, path)
	return cells
}

func TestKilledRunsGoOn(t *testing.T) {
	dir := tiles(t)
	undisturbed := sent{[]string{dir}, t.TempDir(), 64}
	_, err := Run(context.Background(), undisturbed.config())
	require.NoError(t, err)
	want := outputsIn(t, undisturbed.Dir)
	r := rand.New(rand.NewPCG(7, 8))
	for killed := 0; killed < 6; {
		s := sent{[]string{dir}, t.TempDir(), 64}
		for latest := 200 * time.Millisecond; killed9(t, s, time.Duration(r.Int64N(int64(latest)))); latest += latest / 4 {
			killed++
		}
		require.True(t, want[BandsName] == outputsIn(t, s.Dir)[BandsName] && want[SlopeName] == outputsIn(t, s.Dir)[SlopeName])
	}
}

// A run that was stopped does what is missing, and no more.
func TestGoingOn(t *testing.T) {
	dir := tiles(t)
	c := sent{[]string{dir}, t.TempDir(), 64}.config()
	c.Workers = 1
	stop, cancel := context.WithCancel(context.Background())
	told := 0
	c.Tell = func(step string, done, _ int) {
		if step == "judging" {
			if told = done; done == 3 {
				cancel()
			}
		}
	}
	r, err := Run(stop, c)
	require.ErrorIs(t, err, ErrStopped)
	require.Contains(t, []int{3, 4}, told) // the next may have been begun, and is kept
	require.ErrorContains(t, err, fmt.Sprintf("with %d of", told))
	_, err = os.Stat(filepath.Join(c.Dir, BandsName))
	require.ErrorIs(t, err, os.ErrNotExist)
	c.Tell = nil
	r, err = Run(context.Background(), c)
	require.NoError(t, err)
	require.Equal(t, told, r.Grids[0].Again)
	r, err = Run(context.Background(), c)
	require.NoError(t, err)
	require.Equal(t, r.Grids[0].Pieces, r.Grids[0].Again)

	// Other inputs are refused.
	other := c
	other.Fleet = fleet.Default()
	other.Fleet[0].LimitPct++
	_, err = Run(context.Background(), other)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "machine 1 of the fleet (track-loader): limit was 30%, is 31%")
	other.Anew = true
	r, err = Run(context.Background(), other)
	require.NoError(t, err)
	require.Zero(t, r.Grids[0].Again)
}

// A tile that cannot be read costs its pieces, by name, and no others.
func TestABrokenTile(t *testing.T) {
	dir := tiles(t)
	bad := filepath.Join(dir, "tile4.tif")
	info, err := os.Stat(bad)
	require.NoError(t, err)
	require.NoError(t, os.Truncate(bad, info.Size()*2/3))
	c := sent{[]string{dir}, t.TempDir(), 64}.config()
	r, err := Run(context.Background(), c)
	require.ErrorIs(t, err, ErrPieces)
	require.ErrorContains(t, err, "tile4.tif")
	kept, err := filepath.Glob(filepath.Join(c.Dir, "pieces", "*-"+BandsName+"*"))
	require.NoError(t, err)
	assert.Greater(t, len(kept), r.Grids[0].Pieces/2)
	assert.Less(t, len(kept), r.Grids[0].Pieces)
}

// Rasters on several grids are done grid by grid, each as if it were alone: a raster of
// half the cells, and one in another zone.
func TestSeveralGrids(t *testing.T) {
	dir := tiles(t)
	alone := func(name string, switches ...string) string {
		ds, err := godal.Open(filepath.Join(dir, "tile0.tif"))
		require.NoError(t, err)
		defer ds.Close()
		path := filepath.Join(t.TempDir(), name)
		out, err := ds.Translate(path, switches)
		require.NoError(t, err)
		require.NoError(t, out.Close())
		return path
	}
	half, zone18 := alone("half cells.tif", "-outsize", "50%", "50%"), alone("east.tif", "-a_srs", "EPSG:32618")
	whole := sent{[]string{dir, half, zone18}, t.TempDir(), 64}
	r, err := Run(context.Background(), whole.config())
	require.NoError(t, err)
	require.Len(t, r.Grids, 3)
	for i, want := range []struct {
		name string
		of   string
		n    int
	}{{"grid-1-far", dir, 6}, {"grid-2-half_cells", half, 1}, {"grid-3-east", zone18, 1}} {
		g := r.Grids[i]
		assert.Equal(t, filepath.Join(whole.Dir, want.name), g.Dir)
		assert.Len(t, g.Of, want.n)
		one := sent{[]string{want.of}, t.TempDir(), 64}
		_, err := Run(context.Background(), one.config())
		require.NoError(t, err)
		assert.Equal(t, outputsIn(t, one.Dir), outputsIn(t, g.Dir), want.name)
	}
	again, err := Run(context.Background(), whole.config())
	require.NoError(t, err)
	for _, g := range again.Grids {
		assert.Equal(t, g.Pieces, g.Again, "all of it is there")
	}

	require.NoError(t, os.Truncate(half, 2000))
	broken := sent{whole.Elevation, t.TempDir(), 64}
	r, err = Run(context.Background(), broken.config())
	require.ErrorIs(t, err, ErrPieces)
	require.ErrorContains(t, err, filepath.Join(broken.Dir, "grid-2-half_cells")+": ", "the error says which")
	require.Len(t, r.Grids, 3)
	assert.Equal(t, outputsIn(t, whole.Dir+"/grid-3-east"), outputsIn(t, broken.Dir+"/grid-3-east"), "the others are done")
}

// A raster whose rows run north is turned over, as it is where lots are mapped.
func TestSouthUp(t *testing.T) {
	path := filepath.Join(t.TempDir(), "up.tif")
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	dir := t.TempDir()
	writeTile(t, filepath.Join(dir, "down.tif"), 200, 100, 90, 70)
	down, cols, of := read(t, filepath.Join(dir, "down.tif"))
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, cols, 70)
	require.NoError(t, err)
	utm, err := godal.NewSpatialRefFromEPSG(32617)
	require.NoError(t, err)
	defer utm.Close()
	up := make([]float32, len(down))
	for i := range up {
		up[i] = float32(down[(69-i/cols)*cols+i%cols])
	}
	require.NoError(t, ds.SetSpatialRef(utm))
	require.NoError(t, ds.SetGeoTransform([6]float64{of[0], 1, 0, of[3] - 70, 0, 1}))
	require.NoError(t, ds.Bands()[0].Write(0, 0, up, cols, 70))
	require.NoError(t, ds.Close())
	var got [2][]float64
	for i, p := range []string{filepath.Join(dir, "down.tif"), path} {
		c := sent{[]string{p}, t.TempDir(), 64}.config()
		_, err := Run(context.Background(), c)
		require.NoError(t, err)
		got[i], _, of = read(t, filepath.Join(c.Dir, BandsName))
		require.Equal(t, [6]float64{westM + 200, 1, 0, northM - 100, 0, -1}, of)
	}
	require.Equal(t, got[0], got[1])
}
