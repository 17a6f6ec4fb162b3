package zoning

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/coverage"
)

// patchOn is the one patch of a rectangle in the middle of ground whose heights are a
// function of metres east and north of its middle.
func patchOn(t *testing.T, perCol, perRow [2]float64, height func(east, north float64) float64) Patch {
	t.Helper()
	const size = 80
	frame := laid(t, size, size, perCol, perRow)
	z := make([]float32, size*size)
	for i := range z {
		u, v := float64(i%size)+0.5-size/2, float64(i/size)+0.5-size/2
		z[i] = float32(height(u*perCol[0]+v*perRow[0], u*perCol[1]+v*perRow[1]))
	}
	grid := &terrain.Grid{Z: z, Cols: size, Rows: size, Stride: size, Frame: frame}
	field := slope.NewField(grid)
	field.AddAspect()
	slope.Rows(grid, 0, size, field)
	at := func(c, r float64) orb.Point { lon, lat := frame.LonLat(c, r); return orb.Point{lon, lat} }
	ground := orb.MultiPolygon{{{at(10, 70), at(70, 70), at(70, 10), at(10, 10), at(10, 70)}}}
	patches := patchesOf(&coverage.Window{Cols: size, Rows: size, Frame: frame}, field, ground)
	require.Len(t, patches, 1)
	return patches[0]
}

var axes = map[string][2][2]float64{
	"north up": {{1, 0}, {0, -1}},
	"oblong":   {{1.5, 0}, {0, -0.8}},
	"rotated":  {{0.8, 0.6}, {0.6, -0.8}},
	"skewed":   {{1, 0.1}, {0.4, -1.1}},
}

// A plane's direction of work is the azimuth it falls to, on any frame, to the half of a
// step of aspect: 360°/256/2 = 0.7°.
func TestAzimuthOfAPlane(t *testing.T) {
	for name, a := range axes {
		for azimuth := 3.0; azimuth < 360; azimuth += 29 {
			sin, cos := math.Sincos(azimuth * math.Pi / 180)
			p := patchOn(t, a[0], a[1], func(east, north float64) float64 { return -0.2 * (east*sin + north*cos) })
			off := math.Remainder(p.AzimuthDeg-azimuth, 360)
			assert.InDelta(t, 0, off, 0.75, "%s, %g°: %g°", name, azimuth, p.AzimuthDeg)
			assert.InDelta(t, -100, p.At[0], 1e-4)
			assert.InDelta(t, 45, p.At[1], 1e-4)
		}
	}
}

// Both sides of a ridge are worked along one line (Mardia 1972: the mean of axes is half
// the mean of doubled angles); of its two ways, the one to which more ground falls.
func TestAzimuthOfARidge(t *testing.T) {
	for _, azimuth := range []float64{10, 75, 160, 200, 290} {
		sin, cos := math.Sincos(azimuth * math.Pi / 180)
		ridge := func(crest float64) Patch {
			return patchOn(t, axes["rotated"][0], axes["rotated"][1], func(east, north float64) float64 {
				return -0.2 * math.Abs(east*sin+north*cos-crest)
			})
		}
		assert.InDelta(t, 0, math.Remainder(ridge(0).AzimuthDeg-azimuth, 180), 1, "%g°", azimuth)
		assert.InDelta(t, 0, math.Remainder(ridge(-10).AzimuthDeg-azimuth, 360), 1, "%g°: more falls that way", azimuth)
		assert.InDelta(t, 180, math.Abs(math.Remainder(ridge(10).AzimuthDeg-azimuth, 360)), 1, "%g°: more falls the other way", azimuth)
	}
}

// Directions weigh by slope: gentle ground beside a steep face turns it little. Expected
// is the mean of doubled angles with rises as weights, areas being equal.
func TestAzimuthWeighsBySlope(t *testing.T) {
	p := patchOn(t, axes["north up"][0], axes["north up"][1], func(east, north float64) float64 {
		if east < 0 {
			return -0.3*north + 0
		}
		return -0.3*north - 0.1*east // falls to 18.4° by 31.6%
	})
	tilt := math.Atan2(0.1, 0.3)
	steep := math.Hypot(0.3, 0.1)
	want := math.Atan2(steep*math.Sin(2*tilt), 0.3+steep*math.Cos(2*tilt)) / 2 * 180 / math.Pi
	assert.InDelta(t, want, p.AzimuthDeg, 1)
}

// Pieces smaller than a twentieth of an acre have no direction of work; others each have
// their own.
func TestPatchesOfPieces(t *testing.T) {
	const size = 80
	frame := laid(t, size, size, [2]float64{1, 0}, [2]float64{0, -1})
	z := make([]float32, size*size)
	for i := range z {
		z[i] = -float32(math.Abs(float64(i%size)-size/2)) * 0.2
	}
	grid := &terrain.Grid{Z: z, Cols: size, Rows: size, Stride: size, Frame: frame}
	field := slope.NewField(grid)
	field.AddAspect()
	slope.Rows(grid, 0, size, field)
	square := func(c, r, side float64) orb.Polygon {
		at := func(c, r float64) orb.Point { lon, lat := frame.LonLat(c, r); return orb.Point{lon, lat} }
		return orb.Polygon{{at(c, r+side), at(c+side, r+side), at(c+side, r), at(c, r), at(c, r+side)}}
	}
	patches := patchesOf(&coverage.Window{Cols: size, Rows: size, Frame: frame}, field,
		orb.MultiPolygon{square(5, 5, 20), square(50, 30, 25), square(5, 60, 14)}) // 196 m², 0.048 acres
	require.Len(t, patches, 2, fmt.Sprint(patches))
	assert.InDelta(t, 270, patches[0].AzimuthDeg, 0.75)
	assert.InDelta(t, 90, patches[1].AzimuthDeg, 0.75)
	assert.InDelta(t, 400/terrain.SquareMetresPerAcre, patches[0].Acres, 1e-4)
	assert.InDelta(t, 625/terrain.SquareMetresPerAcre, patches[1].Acres, 1e-4)
}
