package raster

import (
	"fmt"
	"math"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
)

// patchOfEarth is a small raster somewhere, of n × n cells.
type patchOfEarth struct {
	name   string
	crs    string // of the raster, heights too
	grid   [6]float64
	unitM  float64 // metres in a unit of the stored heights
	unit   string  // as it should be found
	lonLat func(x, y float64) [2]float64
}

const patchCells = 41

// centred is a geotransform of cells w wide and h tall around (x, y).
func centred(x, y, w, h float64) [6]float64 {
	return [6]float64{x - patchCells*w/2, w, 0, y + patchCells*h/2, 0, -h}
}

// toDegrees asks PROJ for WGS84 longitude and latitude, point by point.
func toDegrees(t *testing.T, crs string) func(x, y float64) [2]float64 {
	t.Helper()
	require.NoError(t, registerFew())
	from, err := godal.NewSpatialRef(crs)
	require.NoError(t, err)
	to, err := godal.NewSpatialRef("EPSG:4326")
	require.NoError(t, err)
	tr, err := godal.NewTransform(from, to)
	require.NoError(t, err)
	t.Cleanup(func() { tr.Close(); from.Close(); to.Close() })
	return func(x, y float64) [2]float64 {
		xs, ys := []float64{x}, []float64{y}
		require.NoError(t, tr.TransformEx(xs, ys, nil, nil))
		return [2]float64{xs[0], ys[0]}
	}
}

func asDegrees(x, y float64) [2]float64 { return [2]float64{x, y} }

// fromWebMercator inverts EPSG:3857 (Snyder 1987, equations 7-4 and 7-5).
func fromWebMercator(x, y float64) [2]float64 {
	const a = 6378137
	return [2]float64{x / a * 180 / math.Pi, (2*math.Atan(math.Exp(y/a)) - math.Pi/2) * 180 / math.Pi}
}

func patchesOfEarth(t *testing.T) []patchOfEarth {
	const sec = 1.0 / 3600
	const surveyFoot = 1200.0 / 3937 // 85 FR 62698
	patches := []patchOfEarth{
		{"State Plane in US feet", "EPSG:2227+6360", centred(6_050_000, 2_120_000, 3, 3), surveyFoot, "us-ft", toDegrees(t, "EPSG:2227")},
		{"Web Mercator", "EPSG:3857", centred(-12_601_714, 4_344_069, 10, 10), 1, "m", fromWebMercator},
		{"Web Mercator at 65° north", "EPSG:3857", centred(-16_000_000, 9_600_000, 10, 10), 1, "m", fromWebMercator},
		{"UTM 8° out of its zone", "EPSG:26916", centred(-728_132, 4_573_553, 1, 1), 1, "m", toDegrees(t, "EPSG:26916")},
		{"an equal-area conic at its rim", "EPSG:5070", centred(-2_000_000, 3_000_000, 10, 10), 1, "m", toDegrees(t, "EPSG:5070")},
	}
	for _, lat := range []float64{30, 45, 60, 85} {
		patches = append(patches, patchOfEarth{
			fmt.Sprintf("degrees at %g° north", lat), "EPSG:4326", centred(-105.3, lat, sec/3, sec/3), 1, "m", asDegrees,
		})
	}
	return patches
}

// offsets are metres east and north of the middle, cell by cell, along
// geodesics of the WGS84 ellipsoid (Karney 2013).
func (p patchOfEarth) offsets() [][2]float64 {
	at := func(c, r float64) [2]float64 {
		g := p.grid
		return p.lonLat(g[0]+c*g[1]+r*g[2], g[3]+c*g[4]+r*g[5])
	}
	mid := at(patchCells/2.0, patchCells/2.0)
	out := make([][2]float64, 0, patchCells*patchCells)
	for r := range patchCells {
		for c := range patchCells {
			to := at(float64(c)+0.5, float64(r)+0.5)
			d := geodesic.WGS84.Inverse(mid[1], mid[0], to[1], to[0])
			sin, cos := math.Sincos(d.Azi1 * math.Pi / 180)
			out = append(out, [2]float64{d.S12 * sin, d.S12 * cos})
		}
	}
	return out
}

// A plane of 35% towards eight azimuths reads 35%, wherever on earth and in
// whatever grid: at its middle, and as far as one plane can fit a round earth,
// at every cell and on the rim too.
func TestPlaneReadsItsSlope(t *testing.T) {
	const pct = 35.0
	for _, p := range patchesOfEarth(t) {
		t.Run(p.name, func(t *testing.T) {
			offsets, worst := p.offsets(), 0.0
			for az := 0.0; az < 360; az += 45 {
				sin, cos := math.Sincos(az * math.Pi / 180)
				file := dem{
					cols: patchCells, rows: patchCells, grid: p.grid, crs: p.crs, kind: godal.Float64,
					stored: func(c, r int) float64 {
						o := offsets[r*patchCells+c]
						return (1000 + pct/100*(o[0]*sin+o[1]*cos)) / p.unitM
					},
				}.write(t, "plane.tif")
				r, e := readWhole(t, file, Options{})
				assert.Equal(t, p.unit, r.Source.Unit)
				f := must(slope.Of(e.Grid))
				assert.InEpsilon(t, pct, f.Pct(patchCells/2, patchCells/2), 1e-4, "azimuth %g", az)
				for i := range f.Squared {
					worst = max(worst, math.Abs(f.Pct(i%patchCells, i/patchCells)/pct-1))
				}
			}
			// Heights are float32 above the first: up to 2e-5 of the slope.
			assert.Less(t, worst, 2e-5, "at the worst cell, on the rim too")
			t.Logf("at most %.1e of the slope", worst)
		})
	}
}

// The metric where map units are far from ground metres. Expected values were
// computed with PROJ 9.1 from the places of points around the spot.
func TestMetricFarFromHome(t *testing.T) {
	for _, c := range []struct {
		crs         string
		x, y        float64
		wide, tall  float64 // ground metres in a map unit
		skewDegrees float64 // of the axes from square
	}{
		{"EPSG:26916", -728_132, 4_573_553, 0.982106, 0.982106, 0},
		{"EPSG:26916", -718_132, 4_573_553, 0.982398, 0.982398, 0},
		{"EPSG:5070", -2_000_000, 3_000_000, 0.994790, 1.005259, 0.378},
	} {
		file := dem{cols: patchCells, rows: patchCells, grid: centred(c.x, c.y, 1, 1), crs: c.crs, stored: hill}.write(t, "a.tif")
		r, e := readWhole(t, file, Options{})
		m := e.Grid.Frame.MetricAt(patchCells/2.0, patchCells/2.0)
		w, h := m.CellM()
		assert.InDelta(t, c.wide, w, 1e-6, c.crs)
		assert.InDelta(t, c.tall, h, 1e-6, c.crs)
		assert.InDelta(t, c.skewDegrees, math.Abs(math.Asin(m.B/math.Sqrt(m.A*m.C)))*180/math.Pi, 5e-4, c.crs)
		assert.InDelta(t, c.wide, r.Source.CellM[0], 1e-6, c.crs)
		assert.InDelta(t, c.tall, r.Source.CellM[1], 1e-6, c.crs)
	}
}

// Across one raster that is far out of its zone the metric changes along a row,
// and a row's pieces follow it.
func TestMetricChangesAlongARow(t *testing.T) {
	const cell = 10.0
	file := dem{
		cols: 1100, rows: 20, grid: northUp(-728_132-cell/2, 4_573_553+10*cell, cell), crs: "EPSG:26916",
		stored: func(c, r int) float64 { return 0 },
	}.write(t, "wide.tif")
	_, e := readWhole(t, file, Options{})
	seen := 0
	for _, m := range e.Grid.Frame.RowMetrics(nil, 10, 0, 1100) {
		for col, want := range map[int]float64{0: 0.982106, 1000: 0.982398} {
			if m.From <= col && col < m.To {
				w, _ := m.Start.Plus(m.PerCol, float64(col-m.From)).CellM()
				assert.InDelta(t, want, w/cell, 2e-6)
				seen++
			}
		}
	}
	assert.Equal(t, 2, seen)
}
