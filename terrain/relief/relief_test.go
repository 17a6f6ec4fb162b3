package relief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// lambert is the brightness of a plane by Lambert's law as Horn 1981 writes it
// (Proc. IEEE 69:14, the reflectance map of an ideal diffuse surface): rises
// east and north, heights exaggerated k times, light 45° up in the north-west.
func lambert(east, north, k float64) float64 {
	normal := [3]float64{-k * east, -k * north, 1}
	light := [3]float64{-0.5, 0.5, math.Sqrt(0.5)}
	dot, long := 0.0, 0.0
	for i := range 3 {
		dot, long = dot+normal[i]*light[i], long+normal[i]*normal[i]
	}
	return max(0, dot/math.Sqrt(long))
}

// made samples heights given in metres east and north of the middle.
func made(t *testing.T, cols, rows int, cell float64, z func(x, y float64) float64) *terrain.Grid {
	h := make([]float32, cols*rows)
	for r := range rows {
		for c := range cols {
			h[r*cols+c] = float32(z((float64(c)+0.5-float64(cols)/2)*cell, (float64(rows)/2-float64(r)-0.5)*cell))
		}
	}
	g, err := terrain.NewGrid(h, cols, rows, cell, cell)
	require.NoError(t, err)
	return g
}

func TestReliefOfPlaneIsLambert(t *testing.T) {
	for az := 0.0; az < 360; az += 22.5 {
		for _, slope := range []float64{0.01, 0.1, 0.4, 1.5} {
			sin, cos := math.Sincos(az * math.Pi / 180)
			east, north := slope*sin, slope*cos
			plane := func(x, y float64) float64 { return east*x + north*y }
			for _, every := range []int{1, 3} {
				r := must(Shade(made(t, 81, 66, 2, plane), every))
				k := min(max(0.40/slope, 0.5), 8)
				require.InDelta(t, k, r.Exaggeration, 2e-3*k)
				want := lambert(east, north, r.Exaggeration)
				for i, lit := range r.Lit {
					require.InDelta(t, want, lit, 2e-4, "slope %g towards %g°, blocks of %d, cell %d", slope, az, every, i)
				}
			}
		}
	}
}

// A window published in textbook-style exercises on Horn's method: dz/dx is
// 0.3875 to the east and dz/dy 0.1625 to the south.
func TestReliefOfWorkedWindow(t *testing.T) {
	g, err := terrain.NewGrid([]float32{42, 45, 47, 40, 44, 49, 44, 48, 52}, 3, 3, 10, 10)
	require.NoError(t, err)
	r := must(Shade(g, 1))
	assert.InDelta(t, lambert(0.3875, -0.1625, r.Exaggeration), r.Lit[4], 1e-6)
}

// The light stands in the true north-west and the metric is that of the
// ground, however the raster lies.
func TestReliefOfTurnedRasters(t *testing.T) {
	for _, lat := range []float64{-50, 0, 36, 60} {
		for _, deg := range []float64{0, 9.5, 45, 160, 270} {
			for _, flip := range []float64{1, -1} {
				m, p := radii(lat)
				sin, cos := math.Sincos(deg * math.Pi / 180)
				ground := func(c, r float64) (x, y float64) {
					u, v := 3*(c-32), 2*flip*(32-r) // cells of 3 × 2 m
					return u*cos - v*sin, u*sin + v*cos
				}
				f, err := terrain.NewFrame(16, 0, 0, 64, 64, func(cells [][2]float64) ([][2]float64, error) {
					out := make([][2]float64, len(cells))
					for i, c := range cells {
						x, y := ground(c[0], c[1])
						out[i] = [2]float64{20 + x/p*180/math.Pi, lat + y/m*180/math.Pi}
					}
					return out, nil
				})
				require.NoError(t, err)
				g := &terrain.Grid{Z: make([]float32, 64*64), Cols: 64, Rows: 64, Stride: 64, Frame: f}
				for i := range g.Z {
					x, y := ground(float64(i%64)+0.5, float64(i/64)+0.5)
					g.Z[i] = float32(0.3*x - 0.1*y)
				}
				r := must(Shade(g, 1))
				want := lambert(0.3, -0.1, r.Exaggeration)
				for i, lit := range r.Lit {
					// 0.2° of the light's azimuth: see light.
					require.InDelta(t, want, lit, 3e-3, "latitude %g, turned %g°, flipped %g, cell %d", lat, deg, flip, i)
				}
			}
		}
	}
}

func TestReliefAtVoids(t *testing.T) {
	nan := math.NaN()
	plane := func(x, y float64) float64 {
		if math.Abs(x) < 3 && math.Abs(y) < 3 || x > 15 && y > 15 {
			return nan
		}
		return 0.3*x + 0.2*y
	}
	g := made(t, 41, 41, 1, plane)
	r := must(Shade(g, 1))
	want := lambert(0.3, 0.2, r.Exaggeration)
	for i, lit := range r.Lit {
		if z := g.Z[i]; z != z {
			assert.True(t, lit != lit, "a void is not lit")
			continue
		}
		assert.InDelta(t, want, lit, 1e-3, "ground beside a void is carried on, cell %d", i)
	}
	assert.True(t, math.IsNaN(r.At(20.5, 20.5)))
	assert.InDelta(t, want, r.At(17.1, 20.5), 1e-3, "beside the void its own brightness")
	for _, off := range [][2]float64{{-0.1, 3}, {3, -0.1}, {41, 3}, {3, 41}, {nan, 3}, {math.Inf(1), 3}} {
		assert.True(t, math.IsNaN(r.At(off[0], off[1])), "%v is off the grid", off)
	}
}

func TestReliefBetweenCells(t *testing.T) {
	g := made(t, 30, 20, 5, func(x, y float64) float64 {
		if x > 50 && y < -30 {
			return math.NaN()
		}
		return 10*math.Sin(x/20) + 6*math.Cos(y/15)
	})
	g.Col0, g.Row0 = 100, 200
	r := must(Shade(g, 1))
	at := func(c, r0 int) float64 { return float64(r.Lit[r0*30+c]) }
	assert.InDelta(t, at(4, 5), r.At(104.5, 205.5), 1e-7, "the middle of a cell")
	assert.InDelta(t, (at(4, 5)+at(5, 5)+at(4, 6)+at(5, 6))/4, r.At(105, 206), 1e-7)
	assert.InDelta(t, at(0, 0), r.At(100.1, 200.1), 1e-7, "the corner carries on")

	line := make([]float32, 400)
	r.Along(line, 98.3, 199.2, 0.085, 0.053)
	for i, lit := range line {
		want := r.At(98.3+0.085*float64(i), 199.2+0.053*float64(i))
		if want != want {
			assert.True(t, lit != lit, "spot %d", i)
			continue
		}
		assert.InDelta(t, want, lit, 1e-6, "spot %d", i)
	}
}

func TestReliefOfAlmostNothing(t *testing.T) {
	nan := float32(math.NaN())
	for _, c := range []struct {
		z          []float32
		cols, rows int
	}{{[]float32{7}, 1, 1}, {[]float32{nan}, 1, 1}, {[]float32{7, 7, 7}, 3, 1}, {[]float32{7, nan, 7}, 1, 3}, {make([]float32, 4), 2, 2}} {
		g, err := terrain.NewGrid(c.z, c.cols, c.rows, 10, 10)
		require.NoError(t, err)
		for _, every := range []int{0, 1, 5} {
			r := must(Shade(g, every))
			assert.Equal(t, 1.0, r.Exaggeration)
			for i, lit := range r.Lit {
				if z := c.z[min(i, len(c.z)-1)]; z != z && every < 2 {
					assert.True(t, lit != lit)
				} else if lit == lit {
					assert.InDelta(t, FlatLit, lit, 1e-6, "level ground")
				}
			}
		}
	}
}

// radii of curvature of WGS84, along the meridian and the parallel: Snyder 1987, equations 4-18 and 4-20.
func radii(lat float64) (meridian, parallel float64) {
	const a, f = 6378137, 1 / 298.257223563
	const e2 = f * (2 - f)
	s, c := math.Sincos(lat * math.Pi / 180)
	return a * (1 - e2) / math.Pow(1-e2*s*s, 1.5), a / math.Sqrt(1-e2*s*s) * c
}
