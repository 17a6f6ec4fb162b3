//go:build cgo

package mapping_test

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/write"
)

// canopy is made growth on the real ground: stands of 12 m in a checkerboard of 16
// cells, and brush of 2 m on half of the ground between.
func canopy(c, r int) float64 {
	switch {
	case (c/16+r/16)%2 == 0:
		return 12
	case r/8%2 == 0:
		return 2
	}
	return 0
}

// firstSurface writes the real ground with growth on it, its corner moved by cells
// east and south, and returns its path. NaN is written as -9999.
func firstSurface(t *testing.T, east, south float64, height func(c, r int, ground float64) float64, tags ...string) string {
	t.Helper()
	godal.RegisterAll()
	src, err := godal.Open(jacksboro)
	require.NoError(t, err)
	defer src.Close()
	z := make([]float64, jacksboroCols*jacksboroRows)
	require.NoError(t, src.Bands()[0].Read(0, 0, z, jacksboroCols, jacksboroRows))
	for i := range z {
		if z[i] = height(i%jacksboroCols, i/jacksboroCols, z[i]); z[i] != z[i] {
			z[i] = -9999
		}
	}
	path := filepath.Join(t.TempDir(), "surface.tif")
	out, err := godal.Create(godal.GTiff, path, 1, godal.Float32, jacksboroCols, jacksboroRows)
	require.NoError(t, err)
	require.NoError(t, out.SetGeoTransform([6]float64{jacksboroWest + east*jacksboroCell, jacksboroCell, 0, jacksboroNorth - south*jacksboroCell, 0, -jacksboroCell}))
	require.NoError(t, out.SetProjection(src.Projection()))
	require.NoError(t, out.Bands()[0].SetNoData(-9999))
	for i := 0; i+1 < len(tags); i += 2 {
		require.NoError(t, out.SetMetadata(tags[i], tags[i+1]))
	}
	require.NoError(t, out.Write(0, 0, z, jacksboroCols, jacksboroRows))
	require.NoError(t, out.Close())
	return path
}

func grown(c, r int, ground float64) float64 { return ground + canopy(c, r) }

// lot lies on cells 120 to 199 by 110 to 169 of the real ground.
func growthLot() named {
	at := func(c, r float64) (lon, lat float64) {
		return jacksboroWest + c*jacksboroCell, jacksboroNorth - r*jacksboroCell
	}
	w, n := at(120, 110)
	e, s := at(200, 170)
	return named{"a", rectangle(w, s, e, n)}
}

func growthGround(t *testing.T, q read.Request) *mapping.Ground {
	t.Helper()
	q.Elevation, q.Parcel = []string{jacksboro}, boundary(t, growthLot())
	g, err := read.Prepare(t.Context(), q)
	require.NoError(t, err)
	return g
}

// Acres by class are the shares of the checkerboard, and a machine loses the cells whose
// growth it does not handle, and no others for growth.
func TestSurfaceHoldsMachinesBack(t *testing.T) {
	g := growthGround(t, read.Request{Surface: []string{firstSurface(t, 0, 0, grown)}})
	fleet := defaults()[:1]
	fleet[0].TallestM, fleet[0].PatchAcres = 5, 0
	m, err := mapping.Map(t.Context(), g, fleet, mapping.Options{WaterIsGround: true})
	require.NoError(t, err)

	var want [zoning.GrowthClasses]float64
	for r := 110; r < 170; r++ {
		for c := 120; c < 200; c++ {
			want[zoning.GrowthClassOf(canopy(c, r))] += 1.0 / (80 * 60)
		}
	}
	require.NotNil(t, m.Growth)
	require.Len(t, m.Growth.Lots, 1)
	acres := m.Growth.Lots[0]
	for class, share := range want {
		assert.InDelta(t, share, acres.ByClass[class]/m.Lots[0].Acres, 2e-3, zoning.GrowthClassWords(measure.US, class)) // cells grow a little to the south
	}
	assert.InDelta(t, 0, acres.Unknown, 1e-6*m.Lots[0].Acres)
	assert.Equal(t, "cell by cell", m.Growth.How)
	assert.NotContains(t, strings.Join(m.Warnings, "\n"), "no height of growth", "what rounding leaves is told to nobody")

	grid := g.Elevation.Grid
	lost := 0
	for i, why := range m.Cells.Lost[0] {
		tall := canopy(i%grid.Cols+grid.Col0, i/grid.Cols+grid.Row0) > 5
		if why == zoning.TooMuchGrowth {
			require.True(t, tall)
			lost++
		}
		if tall {
			require.NotEqual(t, zoning.Works, why)
		}
	}
	assert.Greater(t, lost, 500)
	for _, c := range zoning.GrowthCautions() {
		assert.Contains(t, m.Cautions, c)
	}
}

// Growth that is drawn and growth that is measured: the greater counts, and either where
// the other is not known, also where features are changed later.
func TestSurfaceAndDrawnCover(t *testing.T) {
	holes := func(c, r int, ground float64) float64 {
		if c == 150 {
			return math.NaN()
		}
		return grown(c, r, ground)
	}
	g := growthGround(t, read.Request{Surface: []string{firstSurface(t, 0, 0, holes)}})
	alone := g.GrowthM()
	cover := site.Feature{Kind: site.Cover, TallM: 6, Geometry: orb.Polygon(growthLot().ground[0])}
	both := must(g.With([]site.Feature{cover}))
	grid := g.Elevation.Grid
	at := func(growthM []float32, c, r int) float64 {
		return math.Round(float64(growthM[(r-grid.Row0)*grid.Cols+c-grid.Col0])*1e3) / 1e3
	}
	for r := 112; r < 168; r++ {
		for c := 122; c < 198; c++ {
			if c == 150 {
				require.True(t, math.IsNaN(at(alone, c, r)))
				require.Equal(t, 6.0, at(both.GrowthM(), c, r))
				continue
			}
			require.Equal(t, canopy(c, r), at(alone, c, r))
			require.Equal(t, max(6, canopy(c, r)), at(both.GrowthM(), c, r))
		}
	}
	assert.Equal(t, alone, must(g.With(nil)).GrowthM())

	m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{})
	require.NoError(t, err)
	assert.InDelta(t, m.Lots[0].Acres/80, m.Growth.Total().Unknown, 0.01*m.Lots[0].Acres/80, "one column of 80")
	assert.Contains(t, strings.Join(m.Warnings, "\n"), "have no height of growth: it holds no machine back there")
}

// The surface moved by 0.8 cells east and 0.6 south: the fit finds it on the real ground,
// whose heights are whole metres.
func TestSurfaceOffTheGround(t *testing.T) {
	g := growthGround(t, read.Request{Surface: []string{firstSurface(t, 0.8, 0.6, grown)}})
	told := strings.Join(g.SurfaceWarnings(), "\n")
	assert.Regexp(t, `lies (0\.9|1\.0|1\.1) cells \(\d+ m\) off the ground, 0\.[789] along the rows and 0\.[567] down the columns`, told)

	g = growthGround(t, read.Request{Surface: []string{firstSurface(t, 0.2, 0, grown)}})
	assert.NotContains(t, strings.Join(g.SurfaceWarnings(), "\n"), "off the ground")
}

// The same surface warped by GDAL to a finer grid in another CRS by its nearest cell:
// of the finer cells' middles the greatest counts, so a cell has its own growth or, at
// its rim, a neighbour's that stands higher over the ground between.
func TestSurfaceInAnotherCRS(t *testing.T) {
	src, err := godal.Open(firstSurface(t, 0, 0, grown))
	require.NoError(t, err)
	defer src.Close()
	path := filepath.Join(t.TempDir(), "utm.tif")
	out, err := src.Warp(path, []string{"-t_srs", "EPSG:26916", "-tr", "25", "25", "-r", "bilinear"})
	require.NoError(t, err)
	require.NoError(t, out.Close())
	g := growthGround(t, read.Request{Surface: []string{path}})
	assert.Contains(t, g.SurfaceHow(), "the greatest in each cell of its cells of 25 × 25 m")
	grid := g.Elevation.Grid
	for r := 112; r < 168; r++ {
		for c := 122; c < 198; c++ {
			if c%16 < 2 || c%16 > 13 || r%8 < 2 || r%8 > 5 {
				continue // beside other growth
			}
			got := float64(g.GrowthM()[(r-grid.Row0)*grid.Cols+c-grid.Col0])
			require.InDelta(t, canopy(c, r), got, 2, "column %d, row %d", c, r) // heights in whole metres, interpolated twice
		}
	}
}

func TestSurfaceIsRefused(t *testing.T) {
	refused := func(path string, o raster.Options) string {
		t.Helper()
		_, err := read.Prepare(t.Context(), read.Request{Elevation: []string{jacksboro}, Parcel: boundary(t, growthLot()), Surface: []string{path}, SurfaceOptions: o})
		require.Error(t, err)
		return err.Error()
	}
	says := refused(jacksboro, raster.Options{})
	assert.Contains(t, says, jacksboro+": its heights are those of the ground")
	assert.Contains(t, refused(firstSurface(t, 0, 0, grown), raster.Options{Unit: "ft"}), "times those of the ground: they are meters taken for feet")
	assert.Contains(t, refused(firstSurface(t, 2*jacksboroCols, 0, grown), raster.Options{}), "check its CRS (surface-crs)")
	assert.Contains(t, refused("nowhere.tif", raster.Options{}), "nowhere.tif")
	assert.Contains(t, refused(firstSurface(t, 0, 0, grown), raster.Options{CRS: "EPSG:0"}), "surface-crs")
}

// What is told of growth stands in the files.
func TestGrowthIsWritten(t *testing.T) {
	path := firstSurface(t, 0, 0, grown, "SURVEY_DATE", "2016-03-01")
	g := growthGround(t, read.Request{Surface: []string{path}})
	m, err := mapping.Map(t.Context(), g, defaults(), mapping.Options{Surveyed: "2021"})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, write.GeoJSON(&b, m))
	var w struct {
		Summary struct {
			Growth struct {
				DSM      []struct{ Source string }
				Surveyed string
				Acres    map[string]float64
				Unknown  float64 `json:"no_data_acres"`
				Water    float64 `json:"water_acres"`
			}
			Assumed []string
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &w))
	growth := w.Summary.Growth
	assert.Equal(t, path, growth.DSM[0].Source)
	assert.Equal(t, "2016-03-01", growth.Surveyed)
	total := m.Growth.Total()
	assert.InDelta(t, total.ByClass[2], growth.Acres["over_25_ft"]+growth.Acres["10_to_25_ft"]-total.ByClass[3], 1e-6)
	assert.InDelta(t, m.Lots[0].Acres, growth.Acres["under_3_ft"]+growth.Acres["3_to_10_ft"]+growth.Acres["10_to_25_ft"]+growth.Acres["over_25_ft"]+growth.Unknown+growth.Water, 1e-6*m.Lots[0].Acres)
	assert.Contains(t, strings.Join(m.Warnings, "\n"), "more than 2 years apart")
	assert.Contains(t, w.Summary.Assumed, "first surface: heights are in meters: the raster does not say (surface-unit overrules)")

	var table strings.Builder
	require.NoError(t, sheet.Table(&table, m))
	assert.Contains(t, table.String(), "\ngrowth     acres by least height: under 3 ft ")
}
