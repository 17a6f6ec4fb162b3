package terrain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const wgs84A, wgs84F = 6378137.0, 1 / 298.257223563

// degrees is a geographic raster whose north-west corner is (lon, lat).
func degrees(lon, lat, cell float64) Locate {
	return func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{math.Remainder(lon+c[0]*cell, 360), lat - c[1]*cell}
		}
		return out, nil
	}
}

// mercator is a Web Mercator raster (EPSG:3857, method 1024) with its origin
// at (x, y).
func mercator(x, y, cell float64) Locate {
	return func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{
				(x + c[0]*cell) / wgs84A * 180 / math.Pi,
				math.Atan(math.Sinh((y-c[1]*cell)/wgs84A)) * 180 / math.Pi,
			}
		}
		return out, nil
	}
}

// Radii of curvature of the ellipsoid: Snyder 1987, equations 4-18 and 4-20.
func radii(lat float64) (meridian, parallel float64) {
	e2 := wgs84F * (2 - wgs84F)
	s, c := math.Sincos(lat * math.Pi / 180)
	return wgs84A * (1 - e2) / math.Pow(1-e2*s*s, 1.5), wgs84A / math.Sqrt(1-e2*s*s) * c
}

func TestMetricOfDegreesMatchesRadiiOfCurvature(t *testing.T) {
	for _, lat := range []float64{-60, 0, 30, 45, 60, 85} {
		cell := 1.0 / 10800
		locate := degrees(-111, lat+50*cell, cell)
		step, err := ChooseStep(1000, 1000, locate)
		require.NoError(t, err)
		f, err := NewFrame(step, 0, 0, 100, 100, locate)
		require.NoError(t, err)
		w, h := f.MetricAt(50, 50).CellM()
		m, p := radii(lat)
		assert.InEpsilon(t, p*cell*math.Pi/180, w, 4e-6, "latitude %g", lat)
		assert.InEpsilon(t, m*cell*math.Pi/180, h, 4e-6, "latitude %g", lat)
		assert.InDelta(t, 0, f.MetricAt(50, 50).B*w*h, 1e-6)
	}
}

func TestWebMercatorIsStretchedByItsLatitude(t *testing.T) {
	x, y, cell := -12601714.231207296, 4344069.191503135, 76.437028285
	locate := mercator(x, y, cell)
	step, err := ChooseStep(512, 512, locate)
	require.NoError(t, err)
	f, err := NewFrame(step, 0, 0, 512, 512, locate)
	require.NoError(t, err)
	_, lat := f.LonLat(256, 256)
	w, _ := f.MetricAt(256, 256).CellM()
	m, p := radii(lat)
	// One metre of map along a parallel is N·cos φ / a metres of ground.
	assert.InEpsilon(t, cell*p/wgs84A, w, 4e-6)
	assert.Less(t, m, wgs84A*1.01)
}

func TestCellInvertsLonLat(t *testing.T) {
	for name, locate := range map[string]Locate{
		"degrees": degrees(-111.54, 36.8, 1.0/10800), "mercator": mercator(-1.26e7, 4.3e6, 76),
		"antimeridian": degrees(179.99, 50, 1.0/10800),
	} {
		f, err := NewFrame(64, 0, 0, 700, 600, locate)
		require.NoError(t, err, name)
		for _, c := range [][2]float64{{0, 0}, {0.5, 0.5}, {699.25, 3}, {311.125, 599.5}, {700, 600}} {
			lon, lat := f.LonLat(c[0], c[1])
			col, row := f.Cell(lon, lat)
			assert.InDelta(t, c[0], col, 1e-8, name)
			assert.InDelta(t, c[1], row, 1e-8, name)
			col, _ = f.Cell(lon-360, lat)
			assert.InDelta(t, c[0], col, 1e-8, "%s: a whole turn away", name)
		}
	}
}

func TestLongitudeRunsOnAcrossTheAntimeridian(t *testing.T) {
	f, err := NewFrame(64, 0, 0, 640, 64, degrees(179.99, 50, 1.0/10800))
	require.NoError(t, err)
	west, _ := f.LonLat(0, 0)
	east, _ := f.LonLat(640, 0)
	assert.InDelta(t, 640.0/10800, east-west, 1e-12)
}

func TestFrameRefusesAPole(t *testing.T) {
	// A polar stereographic plane on a sphere, its pole in the window's middle.
	polar := func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			x, y := c[0]-100.3, c[1]-100.3
			out[i] = [2]float64{math.Atan2(x, y) * 180 / math.Pi, 90 - math.Hypot(x, y)*1e-5}
		}
		return out, nil
	}
	_, err := NewFrame(8, 0, 0, 200, 200, polar)
	assert.ErrorIs(t, err, ErrPole)
	_, err = NewFrame(8, 0, 0, 64, 64, polar)
	assert.NoError(t, err)
}

func TestFrameRefusesWhatTheCRSCannotPlace(t *testing.T) {
	nowhere := func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i := range out {
			out[i] = [2]float64{math.Inf(1), math.Inf(1)}
		}
		return out, nil
	}
	_, err := NewFrame(8, 0, 0, 64, 64, nowhere)
	assert.ErrorIs(t, err, ErrNoPlace)
	_, err = ChooseStep(64, 64, nowhere)
	assert.ErrorIs(t, err, ErrNoPlace)
}

// The same cell has the same place and metric, to the bit, whatever the window.
func TestFrameDoesNotDependOnTheWindow(t *testing.T) {
	locate := mercator(-1.26e7, 4.3e6, 10)
	whole, err := NewFrame(16, 0, 0, 512, 512, locate)
	require.NoError(t, err)
	part, err := NewFrame(16, 130, 77, 300, 290, locate)
	require.NoError(t, err)
	for _, c := range [][2]float64{{130, 77}, {200.5, 100.5}, {299.5, 289.5}} {
		lon, lat := whole.LonLat(c[0], c[1])
		lon2, lat2 := part.LonLat(c[0], c[1])
		assert.Equal(t, [2]float64{lon, lat}, [2]float64{lon2, lat2})
		assert.Equal(t, whole.MetricAt(c[0], c[1]), part.MetricAt(c[0], c[1]))
	}
	all := whole.RowMetrics(nil, 100, 0, 512)
	for _, m := range part.RowMetrics(nil, 100, 131, 299) {
		assert.Contains(t, all, m)
	}
}

func TestRowMetricsFollowMetricAt(t *testing.T) {
	f, err := NewFrame(16, 0, 0, 100, 100, mercator(-1.26e7, 4.3e6, 1000))
	require.NoError(t, err)
	seen := 0
	for _, m := range f.RowMetrics(nil, 37, 3, 97) {
		for c := max(m.From, 3); c < min(m.To, 97); c++ {
			want := f.MetricAt(float64(c)+0.5, 37.5)
			t := float64(c - m.From)
			if math.Abs(m.Start.A+t*m.PerCol.A-want.A) < 1e-12*want.A && math.Abs(m.Start.C+t*m.PerCol.C-want.C) < 1e-12*want.C {
				seen++
			}
		}
	}
	assert.Equal(t, 94, seen)
}

func TestNewGridChecksItsInput(t *testing.T) {
	_, err := NewGrid(make([]float32, 5), 2, 3, 1, 1)
	assert.EqualError(t, err, "5 heights do not fill 2 columns × 3 rows")
	_, err = NewGrid(make([]float32, 6), 2, 3, 0, 1)
	assert.EqualError(t, err, "cells of 0 × 1 m; both must be positive meters")
	g, err := NewGrid([]float32{1, 2, 3, 4, float32(math.NaN()), 6}, 2, 3, 10, 5)
	require.NoError(t, err)
	assert.Equal(t, 1, g.Voids())
	assert.Equal(t, 4.0, g.At(1, 1))
	w, h := g.Frame.MetricAt(1, 1).CellM()
	assert.InDelta(t, 10, w, 1e-12)
	assert.InDelta(t, 5, h, 1e-12)
}

func TestMeasureTellsASouthUpGrid(t *testing.T) {
	northUp := degrees(-111, 36.8, 1.0/10800)
	southUp := func(cells [][2]float64) ([][2]float64, error) {
		turned := make([][2]float64, len(cells))
		for i, c := range cells {
			turned[i] = [2]float64{c[0], -c[1]}
		}
		return northUp(turned)
	}
	m, fromAbove, err := Measure(10, 10, northUp)
	require.NoError(t, err)
	assert.True(t, fromAbove)
	_, h := m.CellM()
	meridian, _ := radii(36.8 - 10.0/10800)
	assert.InEpsilon(t, meridian/10800*math.Pi/180, h, 1e-6)
	_, fromAbove, err = Measure(10, 10, southUp)
	require.NoError(t, err)
	assert.False(t, fromAbove)
}
