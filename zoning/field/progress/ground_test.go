package progress

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// windowOf is ground of 150 × 120 m in cells of a size.
func windowOf(t testing.TB, cellM float64) window {
	t.Helper()
	cols, rows := int(150/cellM), int(120/cellM)
	g, err := terrain.NewGrid(make([]float32, cols*rows), cols, rows, cellM, cellM)
	require.NoError(t, err)
	return window{&zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, cols*rows), Cols: cols, Rows: rows, Frame: g.Frame}}}
}

// at is a place metres east and south of the window's corner.
func at(w window, x, y float64) orb.Point {
	lon, lat := w.Frame.LonLat(x*float64(w.Cols)/150, y*float64(w.Rows)/120)
	return orb.Point{lon, lat}
}

func places(w window, metres ...[2]float64) (out []orb.Point) {
	for _, m := range metres {
		out = append(out, at(w, m[0], m[1]))
	}
	return out
}

// m2Marked counts cells once each, by the area of a cell.
func m2Marked(w window, mark func(visit func(i int))) float64 {
	seen := map[int]bool{}
	mark(func(i int) { seen[i] = true })
	return float64(len(seen)) * 150 * 120 / float64(w.Cols*w.Rows)
}

// A straight track clears a rectangle and two half discs.
func TestTrackIsACapsule(t *testing.T) {
	for _, c := range []struct{ x, y, widthM float64 }{{100, 0, 4}, {0, 80, 3}, {70, 55, 2.4}, {0, 0, 6}} {
		w := windowOf(t, 0.1)
		track := orb.LineString(places(w, [2]float64{20, 20}, [2]float64{20 + c.x, 20 + c.y}))
		got := m2Marked(w, func(visit func(int)) { w.alongTrack(track, c.widthM, visit) })
		want := math.Hypot(c.x, c.y)*c.widthM + math.Pi*c.widthM*c.widthM/4
		assert.InEpsilon(t, want, got, 0.01, "%v", c)
	}
}

// A middle is in a polygon for orb just when it is here; holes and stars too.
func TestInPolygonAsInOrb(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	w := windowOf(t, 1)
	ring := func(x, y, least, most float64) (r orb.Ring) {
		for k := range 12 {
			s, c := math.Sincos(2 * math.Pi * float64(k) / 12)
			d := least + (most-least)*rng.Float64()
			r = append(r, at(w, x+d*c, y+d*s))
		}
		return append(r, r[0])
	}
	for range 30 {
		x, y := 160*rng.Float64()-5, 130*rng.Float64()-5 // some reach out of the window
		poly := orb.Polygon{ring(x, y, 20, 45), ring(x, y, 3, 15)}
		in := map[int]bool{}
		w.inPolygon(poly, func(i int) {
			assert.False(t, in[i], "visited twice")
			in[i] = true
		})
		for i := range w.Masks {
			lon, lat := w.Frame.LonLat(float64(i%w.Cols)+0.5, float64(i/w.Cols)+0.5)
			require.Equal(t, planar.PolygonContains(poly, orb.Point{lon, lat}), in[i], "cell %d", i)
		}
	}
}

// A stretch without a fix for long is not taken for work.
func TestGapsAreNotCounted(t *testing.T) {
	w := windowOf(t, 1)
	track := orb.LineString(places(w, [2]float64{0, 10}, [2]float64{20, 10}, [2]float64{20, 200}, [2]float64{40, 200}))
	gaps, gapM := w.alongTrack(track, 2, func(i int) {
		assert.Less(t, i/w.Cols, 12, "only the first stretch lies on the window")
	})
	assert.Equal(t, 1, gaps)
	assert.InEpsilon(t, 190, gapM, 0.007)
}
