package main

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/find/findtest"
)

// surveyTile is 400 × 400 cells of 1 m in UTM zone 16, heights given cell by cell.
func surveyTile(t *testing.T, height func(col, row int) float64) []byte {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	name := filepath.Join(t.TempDir(), "made.tif")
	ds, err := godal.Create(godal.GTiff, name, 1, godal.Float32, 400, 400, godal.CreationOption("TILED=YES"))
	require.NoError(t, err)
	utm, err := godal.NewSpatialRefFromEPSG(26916)
	require.NoError(t, err)
	defer utm.Close()
	z := make([]float32, 400*400)
	for i := range z {
		z[i] = float32(height(i%400, i/400))
	}
	require.NoError(t, errors.Join(ds.SetSpatialRef(utm), ds.SetGeoTransform([6]float64{747_000, 1, 0, 4_025_000, 0, -1}), ds.Bands()[0].Write(0, 0, z, 400, 400), ds.Close()))
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return data
}

// With --growth auto heights propose the cover, and the plan prices it only where --cover lidar says so.
func TestCoverIsTakenFromLidarOnlyWhenAsked(t *testing.T) {
	s, list, parcel := jacksboroService(t)
	s.Products = nil
	s.Items = []findtest.Tile{{Name: "dtm.tif", Surface: "dsm.tif", Surveyed: "2021-05-06"}}
	ground := func(col, row int) float64 { return 300 + 0.08*float64(col) + 2*math.Sin(float64(row)/40) }
	s.Files["dtm.tif"] = surveyTile(t, ground)
	s.Files["dsm.tif"] = surveyTile(t, func(col, row int) float64 {
		if col > 200 {
			return ground(col, row) + 5
		}
		return ground(col, row)
	})
	require.NoError(t, os.WriteFile(parcel, []byte(`{"type":"Polygon","coordinates":[[[-84.2466,36.3359],[-84.2445,36.3359],[-84.2445,36.3372],[-84.2466,36.3372],[-84.2466,36.3359]]]}`), 0o600))
	flags := []string{"map", "--parcel", parcel, "--services", list, "--cache", t.TempDir(), "--details", "--out", t.TempDir()}
	words := func(more ...string) string {
		code, out, said := ranCommand(append(flags, more...)...)
		require.Zero(t, code, said)
		return strings.Join(strings.Fields(out), " ")
	}
	proposed := words("--growth", "auto")
	assert.Contains(t, proposed, "acres of cover proposed from lidar of 2021-05-06, by height and closure (common practice, no source), never stem size: open")
	assert.Contains(t, proposed, "Cover is not given for all ground")
	priced := words("--growth", "auto", "--cover", "lidar")
	assert.Contains(t, priced, "Cover is proposed from lidar of 2021-05-06")
	assert.NotContains(t, priced, "Cover is not given for all ground")

	code, _, said := ranCommand(append(flags, "--cover", "lidar")...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, said, "add --growth auto, or --surface")
	code, _, said = ranCommand(append(flags, "--growth", "auto", "--surface", "x.tif")...)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, said, "say one of them")
}
