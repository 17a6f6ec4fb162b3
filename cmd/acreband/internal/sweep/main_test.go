package sweep

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// asRun makes the test's program a run of the Config in this file.
const asRun = "ACREBAND_TEST_SWEEP"

// sent is what a run in another process is told.
type sent struct {
	Elevation []string
	Dir       string
	Cells     int
}

func TestMain(m *testing.M) {
	path, ok := os.LookupEnv(asRun)
	if !ok {
		os.Exit(m.Run())
	}
	var s sent
	text, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(text, &s)
	}
	if err == nil {
		_, err = Run(context.Background(), s.config())
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	os.Exit(0)
}

func (s sent) config() Config {
	return Config{Elevation: s.Elevation, Fleet: fleet.Default(), Version: "test", Dir: s.Dir, Bands: true, Slope: true, Workers: 2, pieceCols: s.Cells, pieceRows: s.Cells}
}

// killed9 runs in a process of its own, kills that after a while, and tells whether it
// was still at work.
func killed9(t *testing.T, s sent, after time.Duration) bool {
	t.Helper()
	path := filepath.Join(t.TempDir(), "config")
	text, err := json.Marshal(s)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, text, 0o666))
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), asRun+"="+path)
	cmd.Stderr = os.Stderr
	require.NoError(t, cmd.Start())
	kill := time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
	err = cmd.Wait()
	kill.Stop()
	require.False(t, err != nil && cmd.ProcessState.Exited(), "the run failed")
	return err != nil
}

// Made ground: UTM zone 17N, cells of 1 m, in tiles of 150 cells with one missing.
const westM, northM, tileCells = 355000.0, 3970000.0, 150

func relief(c, r int) float32 {
	x, y := float64(c), float64(r)
	if c >= 130 && c < 170 && r >= 20 && r < 60 {
		return 290 // water across two tiles
	}
	return float32(300 + 12*math.Sin(x/31)*math.Cos(y/23) + 3*math.Sin(x/7+y/11) + 0.05*math.Sin(x*1.7)*math.Sin(y*2.3))
}

func writeTile(t *testing.T, path string, col0, row0, cols, rows int) {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	ds, err := godal.Create(godal.GTiff, path, 1, godal.Float32, cols, rows,
		godal.CreationOption("TILED=YES", "BLOCKXSIZE=64", "BLOCKYSIZE=64", "COMPRESS=LZW"))
	require.NoError(t, err)
	utm, err := godal.NewSpatialRefFromEPSG(32617)
	require.NoError(t, err)
	defer utm.Close()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = relief(col0+i%cols, row0+i/cols)
	}
	require.NoError(t, errors.Join(ds.SetSpatialRef(utm),
		ds.SetGeoTransform([6]float64{westM + float64(col0), 1, 0, northM - float64(row0), 0, -1}),
		ds.Bands()[0].Write(0, 0, z, cols, rows), ds.Close()))
}

// tiles are 3 × 2 of them, the fourth missing, and one of 20 cells far off.
func tiles(t *testing.T) string {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	dir := t.TempDir()
	for i := range 6 {
		if i != 3 {
			writeTile(t, filepath.Join(dir, fmt.Sprintf("tile%d.tif", i)), i%3*tileCells, i/3*tileCells, tileCells, tileCells)
		}
	}
	writeTile(t, filepath.Join(dir, "far.tif"), 700, 0, 20, 20)
	return dir
}

// read reads a raster that was written.
func read(t *testing.T, path string) (cells []float64, cols int, of [6]float64) {
	t.Helper()
	ds, err := godal.Open(path)
	require.NoError(t, err)
	defer ds.Close()
	st := ds.Structure()
	cells = make([]float64, st.SizeX*st.SizeY)
	require.NoError(t, ds.Bands()[0].Read(0, 0, cells, st.SizeX, st.SizeY))
	of, err = ds.GeoTransform()
	require.NoError(t, err)
	return cells, st.SizeX, of
}

func outputsIn(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, name := range []string{BandsName, SlopeName} {
		text, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		out[name] = string(text)
	}
	return out
}
