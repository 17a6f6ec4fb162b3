package lots

import (
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// rectangle is a lot of whole cells of the made ground.
func rectangle(name string, x0, y0, x1, y1 float64) made {
	return made{name, [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
}

// flatten makes cells of a tile water.
func flatten(t *testing.T, path string, col, row, cols, rows int) {
	t.Helper()
	ds, err := godal.Open(path, godal.Update())
	require.NoError(t, err)
	require.NoError(t, ds.Bands()[0].Write(col, row, slices.Repeat([]float32{301}, cols*rows), cols, rows))
	require.NoError(t, ds.Close())
}

// A pond is closed on a lot of which it touches 10 m², where most of what shows that it
// is one lies on a tile that no lot touches.
func TestAPondOnTheNextTile(t *testing.T) {
	c := config(t)
	tiles := c.Job.Elevation[0]
	flatten(t, filepath.Join(tiles, "tile0.tif"), 141, 50, 9, 40)
	flatten(t, filepath.Join(tiles, "tile1.tif"), 0, 50, 60, 40)
	writeLots(t, c.Job.Parcels, []made{rectangle("pond", 110, 30, 142, 60), rectangle("dry", 20, 20, 50, 50)})
	_, out := ran(t, c)
	rows := rowsOf(t, out["lots.csv"])
	at := slices.Index(rows[0], "no_go_acres")
	acres, err := strconv.ParseFloat(rows[1][at], 64)
	require.NoError(t, err)
	require.InEpsilon(t, 10/terrain.SquareMetresPerAcre, acres, 0.01)
	require.Equal(t, "0", rows[2][at])
}

// Machines unloaded on a tile that no lot touches come from there.
func TestStagingOnTheNextTile(t *testing.T) {
	c := config(t)
	for i := range 4 { // gentle ground
		flatten(t, filepath.Join(c.Job.Elevation[0], "tile"+strconv.Itoa(i)+".tif"), 0, 0, tileCells, tileCells)
	}
	c.Job.Options.WaterIsGround = true
	writeLots(t, c.Job.Parcels, []made{rectangle("a", 60, 60, 100, 100)})
	field := filepath.Join(t.TempDir(), "staging.geojson")
	writeLots(t, field, []made{rectangle("yard", 200, 70, 210, 80)})
	way := filepath.Join(t.TempDir(), "travel.geojson")
	writeLots(t, way, []made{rectangle("way", 95, 60, 215, 100)})
	c.Job.Site.Staging, c.Job.Site.Travel = []string{field}, []string{way}
	_, out := ran(t, c)
	require.Contains(t, out["zones.geojson"], `"checked": true`)
	rows := rowsOf(t, out["lots.csv"])
	worked, err := strconv.ParseFloat(rows[1][slices.Index(rows[0], "track_loader_acres")], 64)
	require.NoError(t, err)
	require.Greater(t, worked, 0.9*1600/terrain.SquareMetresPerAcre)
}
