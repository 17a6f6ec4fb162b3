package site_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/site"
)

// Random shapes, each distance against every edge of it one by one.
func TestNearAgainstBruteForce(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 6))
	g := field(t, 90, 70, 2, 0)
	for trial := range 40 {
		n, reach := 3+rnd.IntN(40), 5+60*rnd.Float64()
		var xy [][2]float64
		var line orb.LineString
		for range n {
			p := [2]float64{-30 + 150*rnd.Float64(), -30 + 130*rnd.Float64()}
			xy, line = append(xy, p), append(line, at(g, p[0], p[1]))
		}
		var geometry orb.Geometry = line
		isArea := trial%2 == 1
		if isArea {
			xy, line = append(xy, xy[0]), append(line, line[0])
			geometry = orb.Polygon{orb.Ring(line)}
		}
		want := map[int]float64{}
		for cell := range g.Cols * g.Rows {
			x, y := float64(cell%g.Cols)+0.5, float64(cell/g.Cols)+0.5
			d, in := brute(xy, x, y)
			if isArea && in {
				d = 0
			}
			if 2*d <= reach {
				want[cell] = 2 * d
			}
		}
		got := map[int]float64{}
		require.NoError(t, site.Near(g, geometry, reach, func(cell int, d float64) {
			if _, twice := got[cell]; twice {
				t.Fatalf("cell %d twice", cell)
			}
			got[cell] = d
		}))
		require.Len(t, got, len(want), "shape %d", trial)
		for cell, d := range want {
			require.InDelta(t, d, got[cell], 0.003, "shape %d, cell %d", trial, cell)
		}
	}
}

// brute is the distance to a path in cells, and whether a ray meets it an odd
// number of times.
func brute(xy [][2]float64, x, y float64) (d float64, odd bool) {
	d = math.Inf(1)
	for i := 1; i < len(xy); i++ {
		a, b := xy[i-1], xy[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		t := min(max(((x-a[0])*dx+(y-a[1])*dy)/(dx*dx+dy*dy), 0), 1)
		d = min(d, math.Hypot(a[0]+t*dx-x, a[1]+t*dy-y))
		if (a[1] <= y) != (b[1] <= y) && a[0]+(y-a[1])/dy*dx > x {
			odd = !odd
		}
	}
	return d, odd
}

// The same ground beside the antimeridian and at home, the shape cut in two there
// as RFC 7946 has it.
func TestAcrossTheAntimeridian(t *testing.T) {
	degrees := func(lon float64) *terrain.Grid {
		const n, cell = 60, 1.0 / 108000
		frame, err := terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
			out := make([][2]float64, len(cells))
			for i, c := range cells {
				out[i] = [2]float64{math.Remainder(lon+(c[0]-30)*cell, 360), 50 - (c[1]-30)*cell}
			}
			return out, nil
		})
		require.NoError(t, err)
		return &terrain.Grid{Z: make([]float32, n*n), Cols: n, Rows: n, Stride: n, Frame: frame}
	}
	const e, n = 1e-4, 5e-5
	box := func(west, east float64) orb.Polygon {
		return orb.Polygon{{{west, 50 - n}, {east, 50 - n}, {east, 50 + n}, {west, 50 + n}, {west, 50 - n}}}
	}
	lay := func(lon float64, g orb.Geometry) string {
		grid := degrees(lon)
		laid := must(site.Lay([]site.Feature{{Kind: site.Building, Geometry: g, Setback: site.Setback{WidthM: 10}}}, grid))
		require.Zero(t, laid.Away)
		return drawn(grid, of(laid.Closed)) + drawn(grid, of(laid.Setback))
	}
	home := lay(20, box(20-e, 20+e))
	assert.Equal(t, home, lay(180, orb.MultiPolygon{box(180-e, 180), box(-180, -180+e)}))
	assert.Contains(t, home, "#")
	assert.Contains(t, home, ".")
	// A point or a line drawn on the other side of it, by either way of counting on.
	assert.Equal(t, lay(20, orb.Point{20 + e, 50}), lay(180, orb.Point{-180 + e, 50}))
	assert.Equal(t, lay(20, orb.Point{20 - e, 50}), lay(180, orb.Point{180 - e, 50}))
	assert.Equal(t, lay(20, orb.LineString{{20 - e, 50}, {20 + e, 50}}), lay(180, orb.LineString{{180 - e, 50}, {180 + e, 50}}))
}

// A window of a raster and the whole raster see a cell alike.
func TestAWindowSeesWhatTheWholeSees(t *testing.T) {
	whole := field(t, 120, 100, 2, 0.2)
	part := *whole
	part.Col0, part.Row0, part.Cols, part.Rows = 31, 17, 50, 40
	part.Z = whole.Z[17*120+31:]
	features := []site.Feature{
		{Kind: site.NoGo, Geometry: orb.LineString{at(whole, 10, 3), at(whole, 70, 40), at(whole, 20, 90)}, Setback: site.Setback{WidthM: 17}},
		{Kind: site.NoGo, Geometry: orb.Polygon{ring(whole, 60, 20, 110, 30, 75, 80)}, Setback: site.Setback{Rule: rule(t, "filter-strip")}},
	}
	a, b := must(site.Lay(features, whole)), must(site.Lay(features, &part))
	for r := range part.Rows {
		for c := range part.Cols {
			i, j := (r+17)*120+c+31, r*50+c
			require.Equal(t, a.Closed[i], b.Closed[j], "%d, %d", c, r)
			require.Equal(t, a.Setback[i], b.Setback[j], "%d, %d", c, r)
		}
	}
}
