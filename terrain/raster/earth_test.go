package raster

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

func box(west, south, east, north float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}}}
}

// Rasters that cross the antimeridian or count longitude from 0 to 360, and
// places whose longitudes are written the other way.
func TestLongitudesWrittenTheOtherWay(t *testing.T) {
	const cell = 1.0 / 3600
	for _, crs := range []string{"EPSG:4326", "EPSG:4269"} {
		for name, c := range map[string]struct {
			west  float64 // of the raster
			place orb.MultiPolygon
			col   int // of the place's western edge
		}{
			"across 180, place in the east":        {180 - 100*cell, box(180-20.5*cell, 52, 180-10.5*cell, 52+5*cell), 79},
			"across 180, place in the west":        {180 - 100*cell, box(-180+20.5*cell, 52, -180+30.5*cell, 52+5*cell), 120},
			"across 180, place across it":          {180 - 100*cell, box(180-10.5*cell, 52, 180+10.5*cell, 52+5*cell), 89},
			"across -180, place in the east":       {-180 - 100*cell, box(180-20.5*cell, 52, 180-10.5*cell, 52+5*cell), 79},
			"0 to 360, place at -169":              {190.9, box(-169.1+20.5*cell, 52, -169.1+30.5*cell, 52+5*cell), 20},
			"-180 to 180, place at 191":            {-169.1, box(190.9+20.5*cell, 52, 190.9+30.5*cell, 52+5*cell), 20},
			"across 180, place in two, as GeoJSON": {180 - 100*cell, append(box(180-10.5*cell, 52, 180, 52+5*cell), box(-180, 52, -180+10.5*cell, 52+5*cell)...), 89},
		} {
			t.Run(crs+" "+name, func(t *testing.T) {
				file := dem{cols: 200, rows: 60, grid: northUp(c.west, 52.01, cell), crs: crs, stored: hill}.write(t, "a.tif")
				r := opened(t, file, Options{})
				on, err := r.Touches(c.place)
				require.NoError(t, err)
				require.True(t, on)
				e, err := Read(t.Context(), []*Raster{r}, c.place)
				require.NoError(t, err)
				assert.Equal(t, c.col-halo, e.Grid.Col0)
				assert.Less(t, e.Grid.Cols, 40)
				mustHoldHill(t, e)
				corner := c.place[0][0][0]
				col, _ := e.Grid.Frame.Cell(corner[0], corner[1])
				assert.InDelta(t, float64(c.col)+0.5, col, 1e-3)
				assert.Zero(t, r.DistanceKM(corner))
				assert.LessOrEqual(t, math.Abs(r.Middle()[0]), 180.0)
			})
		}
	}
}

// UTM zone 1 across the antimeridian, which is at 294 254.8 m east at 52.04°
// north (PROJ 9.1): PROJ turns its longitudes.
func TestProjectedAcrossTheAntimeridian(t *testing.T) {
	d := hillDEM()
	d.crs, d.grid = "EPSG:32601", northUp(294_000, 5_769_900, 10)
	lonLat := toDegrees(t, d.crs)
	west, east := lonLat(294_000, 5_769_700), lonLat(294_480, 5_769_700)
	require.Positive(t, west[0])
	require.Negative(t, east[0])
	r, e := readWhole(t, d.write(t, "a.tif"), Options{})
	mustHoldHill(t, e)
	for _, p := range [][2]float64{west, east} {
		_, row := e.Grid.Frame.Cell(p[0], p[1])
		assert.InDelta(t, 20, row, 1e-2)
	}
	w, h := e.Grid.Frame.MetricAt(24, 20).CellM()
	k := 0.9996 * math.Cosh((500_000-294_240)/(0.9996*6_384_000))
	assert.InDelta(t, 10/k, w, 1e-4)
	assert.InDelta(t, 10/k, h, 1e-4)
	assert.Zero(t, r.DistanceKM(orb.Point(west)))
}

// poleScale is how many map metres make a ground metre at the pole of a polar
// stereographic map of WGS84 that is true at a latitude (Snyder 1987, equations
// 14-15, 15-9 and 21-35).
func poleScale(trueAt float64) float64 {
	const f = 1 / 298.257223563
	e := math.Sqrt(f * (2 - f))
	sin, cos := math.Sincos(trueAt * math.Pi / 180)
	m := cos / math.Sqrt(1-e*e*sin*sin)
	t := math.Tan(math.Pi/4-trueAt*math.Pi/360) / math.Pow((1-e*sin)/(1+e*sin), e/2)
	return m * math.Sqrt(math.Pow(1+e, 1+e)*math.Pow(1-e, 1-e)) / (2 * t)
}

func TestNearAPole(t *testing.T) {
	for name, c := range map[string]struct {
		crs  string
		x, y float64
		k    float64
	}{
		"north, 1 km from it":     {"EPSG:3413", 1000, 600, poleScale(70)},
		"north, across the 180th": {"EPSG:3413", -600, 600, poleScale(70)},
		"north, 60 m from it":     {"EPSG:3413", 50, 30, poleScale(70)},
		"south, 2 km from it":     {"EPSG:3031", -2000, -600, poleScale(71)},
		"south, across the 180th": {"EPSG:3031", -40, -600, poleScale(71)},
	} {
		t.Run(name, func(t *testing.T) {
			d := hillDEM()
			d.crs, d.grid = c.crs, northUp(c.x, c.y, 2)
			d.stored = func(c, r int) float64 { return 100 + 0.5*float64(c) - 0.25*float64(r) }
			_, e := readWhole(t, d.write(t, "pole.tif"), Options{})
			m := e.Grid.Frame.MetricAt(hillCols/2, hillRows/2)
			w, h := m.CellM()
			assert.InEpsilon(t, 2/c.k, w, 3e-6)
			assert.InEpsilon(t, 2/c.k, h, 3e-6)
			f := must(slope.Of(e.Grid))
			for i := range f.Squared {
				require.InEpsilon(t, 100*math.Hypot(0.25, 0.125)*c.k, f.Pct(i%hillCols, i/hillCols), 1e-5)
			}
		})
	}
}

// A raster that holds a pole opens; ground away from the pole reads, ground over
// it is refused in so many words.
func TestOverAPole(t *testing.T) {
	for _, crs := range []string{"EPSG:3413", "EPSG:3031"} {
		for _, shift := range []float64{0, 5, 733} {
			d := hillDEM()
			d.cols, d.rows = 400, 400
			d.crs, d.grid = crs, northUp(-2000+shift, 2000-shift, 10)
			r := opened(t, d.write(t, "pole.tif"), Options{})
			assert.False(t, r.flip, "%s shifted by %g", crs, shift)
			e, err := Read(t.Context(), []*Raster{r}, patch(t, r, 8.5, 8.5, 20.5, 20.5))
			require.NoError(t, err, "%s shifted by %g", crs, shift)
			mustHoldHill(t, e)
			_, err = Read(t.Context(), []*Raster{r}, patch(t, r, 100.5, 100.5, 280.5, 280.5))
			assert.ErrorIs(t, err, terrain.ErrPole)
			assert.ErrorContains(t, err, "pole.tif: the window holds a pole")
		}
	}
}

// Coarse rasters of the whole earth, whose lattice would reach beyond it.
func TestWholeEarth(t *testing.T) {
	for _, cell := range []float64{1, 0.5, 1.0 / 6} {
		d := dem{cols: int(math.Round(360 / cell)), rows: int(math.Round(180 / cell)), grid: northUp(-180, 90, cell), crs: "EPSG:4326", stored: hill}
		r, err := Open(t.Context(), d.write(t, "earth.tif"), Options{})
		require.NoError(t, err, "cells of %g°", cell)
		defer r.Close()
		e, err := Read(t.Context(), []*Raster{r}, box(-85.1, 35.2, -83.3, 36.6))
		require.NoError(t, err)
		mustHoldHill(t, e)
		_, h := e.Grid.Frame.MetricAt(float64(e.Grid.Col0+3), float64(e.Grid.Row0+3)).CellM()
		// A degree of latitude at 36° is 110.95 km (from memory).
		assert.InEpsilon(t, 110_950*cell, h, 3e-3)
	}
}
