package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// resampled is ground of 10 m cells sampled k times as finely: "nearest",
// "bilinear", or "cubic" (Keys 1981, a = -½, as GDAL's cubic).
func resampled(t testing.TB, how string, k float64) *terrain.Grid {
	coarse := steep(t, 160, 160, 10, 1)
	keys := func(t float64) [4]float64 {
		return [4]float64{
			-t/2 + t*t - t*t*t/2, 1 - 2.5*t*t + 1.5*t*t*t,
			t/2 + 2*t*t - 1.5*t*t*t, -t*t/2 + t*t*t/2,
		}
	}
	size := min(400, int(150*k))
	return gridOf(t, size, size, 10/k, func(c, r int) float64 {
		x, y := (float64(c)+0.5)/k+1.5, (float64(r)+0.5)/k+1.5
		i, j := int(x), int(y)
		u, v := x-float64(i), y-float64(j)
		switch how {
		case "nearest":
			return coarse.At(int(x+0.5), int(y+0.5))
		case "bilinear":
			return (coarse.At(i, j)*(1-u)+coarse.At(i+1, j)*u)*(1-v) + (coarse.At(i, j+1)*(1-u)+coarse.At(i+1, j+1)*u)*v
		}
		h := 0.0
		for b, wv := range keys(v) {
			for a, wu := range keys(u) {
				h += wu * wv * coarse.At(i+a-1, j+b-1)
			}
		}
		return h
	})
}

func TestResampledGridsTellTheirCoarseCell(t *testing.T) {
	for _, k := range []float64{2, 3, 3.4, 5, 10, 10.3, 30} {
		c, ok := findCoarser(resampled(t, "nearest", k), nil)
		require.True(t, ok, "nearest, %g", k)
		assert.Equal(t, DoubtBlocks, c.kind)
		assert.InEpsilon(t, 10, c.CellM[0], 0.06, "nearest, %g", k)
		assert.InEpsilon(t, 10, c.CellM[1], 0.06, "nearest, %g", k)
		if k < 3 {
			continue
		}
		c, ok = findCoarser(resampled(t, "bilinear", k), nil)
		require.True(t, ok, "bilinear, %g", k)
		assert.Equal(t, DoubtFacets, c.kind)
		assert.InEpsilon(t, 10, c.CellM[0], 0.06, "bilinear, %g", k)
	}
	for _, k := range []float64{8, 10, 10.3, 20} {
		c, ok := findCoarser(resampled(t, "cubic", k), nil)
		require.True(t, ok, "cubic, %g", k)
		assert.Equal(t, DoubtSmooth, c.kind)
		assert.InDelta(t, 0, math.Log2(c.CellM[0]/10), 1.01, "cubic, %g: %g m, within a factor of two", k, c.CellM[0])
	}
}

func TestAPartThatWasFilledFromACoarserRaster(t *testing.T) {
	fine := gentle(t, 512, 512, 1, nil)
	fill := resampled(t, "bilinear", 10)
	for r := range 256 {
		for c := range 256 {
			fine.Z[r*512+c] = fill.Z[r*fill.Stride+c]
		}
	}
	c, ok := findCoarser(fine, nil)
	require.True(t, ok)
	assert.Equal(t, 256*256, c.Cells)
	assert.InEpsilon(t, 10, c.CellM[0], 0.05)
}

func TestGroundAsItWasSurveyedIsNotResampled(t *testing.T) {
	for name, g := range map[string]*terrain.Grid{
		"gentle":             gentle(t, 400, 400, 1, nil),
		"steep":              steep(t, 400, 400, 1, 1),
		"10 m":               steep(t, 400, 400, 10, 1),
		"whole meters":       gentle(t, 400, 400, 2, func(h float64, _, _ int) float64 { return math.Round(h) }),
		"whole feet, 30 m":   steep(t, 400, 400, 30, 1),
		"a plane":            gridOf(t, 400, 400, 1, func(c, r int) float64 { return 200 + 0.1*float64(c) + 0.2*float64(r) }),
		"level":              gridOf(t, 400, 400, 1, func(c, r int) float64 { return 200 }),
		"terraces":           gridOf(t, 400, 400, 1, func(c, r int) float64 { return 200 + 2*float64(c/20) }),
		"a factor of two":    resampled(t, "bilinear", 2),
		"cubic, three times": resampled(t, "cubic", 3),
	} {
		c, ok := findCoarser(g, nil)
		assert.False(t, ok, "%s: %+v", name, c)
	}
}
