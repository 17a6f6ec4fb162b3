package coverage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// laid is a frame around 45° N, 100° W whose columns and rows go by metres east and
// north of its middle, by geodesics: the port of GeographicLib is no part of this
// project.
func laid(t testing.TB, cols, rows int, perCol, perRow [2]float64) *terrain.Frame {
	t.Helper()
	frame, err := terrain.NewFrame(16, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			u, v := c[0]-float64(cols)/2, c[1]-float64(rows)/2
			east, north := u*perCol[0]+v*perRow[0], u*perCol[1]+v*perRow[1]
			to := geodesic.WGS84.Direct(45, -100, math.Atan2(east, north)*180/math.Pi, math.Hypot(east, north))
			out[i] = [2]float64{to.Lon2, to.Lat2}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// jagged is a ring around a spot, in cells of the frame, that is not convex.
func jagged(f *terrain.Frame, rnd *rand.Rand, col, row, radius float64) orb.Ring {
	var ring orb.Ring
	n := 5 + rnd.IntN(12)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		d := radius * (0.3 + 0.7*rnd.Float64())
		lon, lat := f.LonLat(col+d*cos, row+d*sin)
		ring = append(ring, orb.Point{lon, lat})
	}
	return append(ring, ring[0])
}

// A cell is inside where orb's planar geometry finds its middle, in longitude and
// latitude, inside.
func TestEachInsideAgainstPointInPolygon(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 5))
	for name, axes := range map[string][2][2]float64{
		"north up": {{1, 0}, {0, -1}},
		"rotated":  {{0.9, 0.5}, {0.4, -0.8}},
		"coarse":   {{30, 0}, {0, -40}},
	} {
		const cols, rows = 150, 110
		frame := laid(t, cols+10, rows+10, axes[0], axes[1])
		for range 12 {
			window := &Window{Cols: cols, Rows: rows, Col0: 4, Row0: 3, Frame: frame}
			var ground orb.MultiPolygon
			for _, at := range [][2]float64{{30, 30}, {120, 75}} {
				col, row := at[0]+10*rnd.Float64(), at[1]+10*rnd.Float64()
				ground = append(ground, orb.Polygon{jagged(frame, rnd, col, row, 25), jagged(frame, rnd, col, row, 7)})
			}
			got := make([]bool, cols*rows)
			window.EachInside(ground, func(row, from, to int) {
				for c := from; c < to; c++ {
					require.False(t, got[row*cols+c], "told once")
					got[row*cols+c] = true
				}
			})
			inside := 0
			for i := range got {
				want := 0
				for _, ring := range append(ground[0], ground[1]...) {
					if planar.RingContains(ring, window.Middle([2]int{i % cols, i / cols})) {
						want++ // even-odd: holes may reach over their shell
					}
				}
				assert.Equal(t, want%2 == 1, got[i], "%s, cell %d", name, i)
				inside += want % 2
			}
			require.Greater(t, inside, 200, name)
		}
	}
}

// Long edges are straight in longitude and latitude, not in the grid.
func TestEachInsideLongEdges(t *testing.T) {
	const cols, rows = 900, 400
	frame := laid(t, cols, rows, [2]float64{90, 0}, [2]float64{0, -90})
	window := &Window{Cols: cols, Rows: rows, Frame: frame}
	at := func(c, r float64) orb.Point { lon, lat := frame.LonLat(c, r); return orb.Point{lon, lat} }
	ring := orb.Ring{at(-30, 50), at(950, 70), at(880, 350), at(20, 500), at(-30, 50)}
	got := make([]bool, cols*rows)
	window.EachInside(orb.MultiPolygon{{ring}}, func(row, from, to int) {
		for c := from; c < to; c++ {
			got[row*cols+c] = true
		}
	})
	for i := range got {
		if c, r := i%cols, i/cols; c%7 == 0 || r%50 == 0 {
			assert.Equal(t, planar.RingContains(ring, window.Middle([2]int{c, r})), got[i], "column %d, row %d", c, r)
		}
	}
}

func TestEachInsideOfNothing(t *testing.T) {
	frame := laid(t, 20, 20, [2]float64{1, 0}, [2]float64{0, -1})
	window := &Window{Cols: 20, Rows: 20, Frame: frame}
	at := func(c, r float64) orb.Point { lon, lat := frame.LonLat(c, r); return orb.Point{lon, lat} }
	for name, ground := range map[string]orb.MultiPolygon{
		"none":    nil,
		"no ring": {{}},
		"a spot":  {{{at(5.5, 5.5), at(5.5, 5.5)}}},
		"beside":  {{{at(25, 5), at(30, 5), at(30, 9), at(25, 5)}}},
		"a line":  {{{at(2, 5.5), at(15, 5.5), at(2, 5.5)}}},
	} {
		window.EachInside(ground, func(row, from, to int) { t.Errorf("%s: row %d, %d to %d", name, row, from, to) })
	}
	cells := 0
	window.EachInside(orb.MultiPolygon{{{at(-9, -9), at(29, -9), at(29, 29), at(-9, 29), at(-9, -9)}}}, func(_, from, to int) { cells += to - from })
	assert.Equal(t, 400, cells, "all round it")
}
