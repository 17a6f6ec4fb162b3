//go:build cgo

package mapping

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// rastersEnv names a folder of real rasters to hold promises to.
const rastersEnv = "ACREBAND_RASTERS"

// opened is the upper left square of a raster in meters of 2 m cells or less; ok is false for
// others.
func opened(t *testing.T, path string) (h heights, ok bool) {
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	ds, err := godal.Open(path)
	require.NoError(t, err)
	defer ds.Close()
	at, err := ds.GeoTransform()
	s := ds.Structure()
	if cell := math.Abs(at[1]); err != nil || cell < 0.5 || cell > 2.1 || min(s.SizeX, s.SizeY) < 240 {
		return heights{}, false
	}
	side := min(s.SizeX, s.SizeY) / 30 * 30
	z := make([]float64, side*side)
	require.NoError(t, ds.Bands()[0].Read(0, 0, z, side, side))
	for i, v := range z {
		if v < -500 {
			z[i] = math.NaN()
		}
	}
	return heights{z, side, math.Abs(at[1])}, true
}

// What TestPoorerDataNeverReadsAsSafer asks of made ground, of the rasters of a folder.
func TestPoorerDataOfRasters(t *testing.T) {
	dir := os.Getenv(rastersEnv)
	files, err := filepath.Glob(filepath.Join(dir, "*.tif"))
	require.NoError(t, err)
	if dir == "" {
		files = nil
	}
	machines := fleet.Default()
	for _, file := range files {
		ground, ok := opened(t, file)
		if !ok {
			continue
		}
		fine := ground.mapped(t, machines, Options{})
		finest := make([]float64, len(machines))
		for i := range machines {
			finest[i] = sureAcres(fine, i, ground.cellM)
			t.Logf("%s, %g m, %s: works %.1f, sure %.1f acres", filepath.Base(file), ground.cellM, machines[i].Key, worksAcres(fine, i, ground.cellM), finest[i])
		}
		t.Log(fine.Error.From)
		for _, times := range []int{2, 3, 5, 10, 15, 30} {
			coarse := ground.means(times)
			m := coarse.mapped(t, machines, Options{})
			for i, machine := range machines {
				refused, _ := refusedShare(fine, m, times, i)
				acres := sureAcres(m, i, coarse.cellM)
				t.Logf("%s, %g m, %s: works %.1f, sure %.1f acres, of which %.1f%% refused", filepath.Base(file), coarse.cellM, machine.Key, worksAcres(m, i, coarse.cellM), acres, 100*refused)
				assert.LessOrEqual(t, refused, 0.10)
				if !strings.Contains(fine.Error.From, "tree tops") { // which cells above 5 m do not show
					assert.LessOrEqual(t, acres, 1.02*finest[i])
				}
			}
		}
	}
}
