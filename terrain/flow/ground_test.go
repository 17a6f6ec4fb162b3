package flow

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
)

func TestOnAPlaneAreaGrowsWithTheWayDown(t *testing.T) {
	const cols, rows = 30, 20
	for name, c := range map[string]struct {
		east, south float64 // fall per cell
		want        func(c, r int) int
	}{
		"east":       {1, 0, func(c, r int) int { return c + 1 }},
		"west":       {-1, 0, func(c, r int) int { return cols - c }},
		"south":      {0, 1, func(c, r int) int { return r + 1 }},
		"south-east": {1, 1, func(c, r int) int { return min(c, r) + 1 }},
		"north-east": {1, -1, func(c, r int) int { return min(c, rows-1-r) + 1 }},
	} {
		_, _, upslope := routed(gridOf(t, cols, rows, 1, 1, func(x, y int) float64 {
			return 500 - c.east*float64(x) - c.south*float64(y)
		}), nil)
		for i, n := range upslope {
			require.EqualValues(t, c.want(i%cols, i/cols), n, "%s, cell %d", name, i)
		}
	}
}

// valley falls to the south along its middle column, between sides so steep that
// they drain straight into it.
func valley(t testing.TB, cols, rows int, dx, dy float64) *terrain.Grid {
	return gridOf(t, cols, rows, dx, dy, func(c, r int) float64 {
		return 100 + math.Abs(float64(c-cols/2))*dx - 0.1*float64(r)*dy
	})
}

func TestAValleyGathersWhatItsSidesShed(t *testing.T) {
	const cols, rows, dx, dy = 101, 120, 2, 3
	g := valley(t, cols, rows, dx, dy)
	d := must(Drain(context.Background(), g, Options{LineM2: cols * 50 * dx * dy}))
	require.Len(t, d.Lines, 1)
	l := d.Lines[0]
	assert.Equal(t, [][2]float64{{50.5, 49.5}, {50.5, 119.5}}, l.Path)
	assert.InDelta(t, 70*dy, l.LengthM, 1e-4)
	assert.InDelta(t, cols*50*dx*dy, l.HeadM2, 1e-6)
	assert.InDelta(t, cols*120*dx*dy, l.MouthM2, 1e-6)
	assert.Equal(t, -1, l.Next)
	assert.Empty(t, d.Hollows)
	assert.Equal(t, runs.Of(cols, rows, func(i int) bool { return i%cols == 50 && i/cols >= 49 }), d.Wet)
}

// A wall across the valley makes a hollow behind it, and the line runs over its
// lowest place.
func TestADamMakesAHollow(t *testing.T) {
	const cols, rows = 101, 120
	g := valley(t, cols, rows, 1, 1)
	wall := g.Z[80*cols:][:cols]
	for c, z := range wall {
		wall[c] = max(z, 97)
	}
	const rim, gap = 95, 52
	wall[gap] = rim
	cells := 0
	for i, z := range g.Z {
		if i/cols < 80 && z < rim {
			cells++
		}
	}
	d := must(Drain(context.Background(), g, Options{LineM2: cols * 40}))
	require.Len(t, d.Hollows, 1)
	h := d.Hollows[0]
	assert.Equal(t, [2]int{50, 79}, [2]int{h.Col, h.Row})
	assert.InDelta(t, rim-(100-0.1*79), h.DepthM, 1e-5)
	assert.EqualValues(t, rim, h.RimM)
	assert.Equal(t, cells, h.Cells)
	assert.InDelta(t, cells, h.AreaM2, 1e-6)
	marked := 0
	for _, run := range d.InHollow {
		for i := run.From; i < run.To; i++ {
			marked++
			assert.Less(t, g.Z[i], float32(rim))
		}
	}
	assert.Equal(t, cells, marked)
	assert.True(t, runs.Has(d.Wet, 80*cols+gap), "the line runs through the gap")
	assert.True(t, runs.Has(d.Wet, 79*cols+50), "and along the bed behind the wall")
	require.Len(t, d.Lines, 1)
	assert.InDelta(t, cols*rows, d.Lines[0].MouthM2, 1e-3)

	assert.Empty(t, must(Drain(context.Background(), g, Options{HollowDepthM: 2.95})).Hollows)
	assert.Empty(t, must(Drain(context.Background(), g, Options{HollowM2: float64(cells) + 1})).Hollows)
	assert.Len(t, must(Drain(context.Background(), g, Options{HollowM2: float64(cells) - 1})).Hollows, 1)
}

// A funnel in a plain is filled to the plain: its depth and area are known.
func TestAFunnelIsAsDeepAndWideAsItIs(t *testing.T) {
	const n, radius, depth = 81, 20.0, 5.0
	g := gridOf(t, n, n, 0.5, 0.5, func(c, r int) float64 {
		d := math.Hypot(float64(c-n/2), float64(r-n/2))
		return 50 - depth*math.Max(0, 1-d/radius)
	})
	g.Z0 = 300
	d := must(Drain(context.Background(), g, Options{}))
	require.Len(t, d.Hollows, 1)
	h := d.Hollows[0]
	assert.Equal(t, [2]int{n / 2, n / 2}, [2]int{h.Col, h.Row})
	assert.InDelta(t, depth, h.DepthM, 1e-5)
	assert.Equal(t, 350.0, h.RimM)
	assert.InDelta(t, math.Pi*radius*radius/4, h.AreaM2, 2*math.Pi*radius/4, "to half a cell around its rim")

	d = must(Drain(context.Background(), g, Options{HollowM2: h.AreaM2 + 1}))
	assert.Empty(t, d.Hollows)
	assert.Empty(t, d.InHollow)
}

// On coarse cells a pit of fewer than nine is no hollow, however large they are.
func TestAHollowIsNineCellsOrMore(t *testing.T) {
	for cells, want := range map[int]int{8: 0, 9: 1} {
		g := gridOf(t, 20, 9, 30, 30, func(c, r int) float64 {
			if r == 4 && c >= 5 && c < 5+cells {
				return 97
			}
			return 100
		})
		assert.Len(t, must(Drain(context.Background(), g, Options{})).Hollows, want, "%d cells", cells)
	}
}

// A cone sheds the same to all sides.
func TestAConeShedsToAllSidesAlike(t *testing.T) {
	const n = 61
	_, _, upslope := routed(gridOf(t, n, n, 1, 1, func(c, r int) float64 {
		return 99 - math.Hypot(float64(c-n/2), float64(r-n/2))
	}), nil)
	side := func(at func(k int) int) (sum int) {
		for k := 1; k < n-1; k++ { // the corners belong to two sides
			sum += int(upslope[at(k)])
		}
		return sum
	}
	corners := int(upslope[0] + upslope[n-1] + upslope[n*(n-1)] + upslope[n*n-1])
	up, down := side(func(k int) int { return k }), side(func(k int) int { return n*(n-1) + k })
	left, right := side(func(k int) int { return k * n }), side(func(k int) int { return k*n + n - 1 })
	assert.Equal(t, n*n, up+down+left+right+corners)
	// The peak's own cell and ties on the diagonals go one way.
	assert.InDelta(t, up, down, n)
	assert.InDelta(t, left, right, n)
	assert.InDelta(t, up, left, n)
}

func TestDistancesAreThoseOnTheGround(t *testing.T) {
	// Down by 1 m to the east and by 2.4 m to the south: nearer on cells 1 m wide
	// and 3 m tall, farther on cells 3 m wide and 1 m tall.
	for _, c := range []struct {
		dx, dy float64
		want   uint8
	}{{1, 3, east}, {1, 2, south}, {3, 1, south}} {
		r, _, _ := routed(gridOf(t, 3, 3, c.dx, c.dy, func(c, r int) float64 {
			return map[[2]int]float64{{1, 1}: 10, {2, 1}: 9, {1, 2}: 7.6}[[2]int{c, r}] + map[bool]float64{true: 20}[c != 1 && r != 1 || c < 1 || r < 1]
		}), nil)
		assert.Equal(t, c.want, r.dir[4], "%g × %g m", c.dx, c.dy)
	}

	// Skewed cells: a step along the row is (1, 0) m, down the column (0.5, 1) m.
	w := perMOf(metricOf(1, 0.5, 1.25))
	assert.InDelta(t, 1, w.of(west), 1e-6)
	assert.InDelta(t, 1/math.Sqrt(1.25), w.of(south), 1e-6)
	assert.InDelta(t, 1/math.Sqrt(1.5*1.5+1), w.of(northWest), 1e-6)
	assert.InDelta(t, 1/math.Sqrt(0.5*0.5+1), w.of(southWest), 1e-6)
}

// metricOf inverts a first fundamental form.
func metricOf(e, f, g float64) terrain.Metric {
	det := e*g - f*f
	return terrain.Metric{A: g / det, B: -f / det, C: e / det}
}

// On a grid in degrees the area upslope of a valley's mouth is that of its
// rectangle on the WGS84 ellipsoid (Snyder 1987, Map Projections, equation 3-12).
func TestAreaOnAGridInDegrees(t *testing.T) {
	const cols, rows, step, lon0, lat0 = 201, 300, 1e-4, 12, 60.0
	g := valley(t, cols, rows, 5, 11)
	var err error
	g.Frame, err = terrain.NewFrame(64, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		places := make([][2]float64, len(cells))
		for i, c := range cells {
			places[i] = [2]float64{lon0 + c[0]*step, lat0 - c[1]*step}
		}
		return places, nil
	})
	require.NoError(t, err)
	d := must(Drain(context.Background(), g, Options{LineM2: 1e5}))
	require.Len(t, d.Lines, 1)
	const a, f = 6378137.0, 1 / 298.257223563
	e := math.Sqrt(f * (2 - f))
	q := func(latDeg float64) float64 {
		s := math.Sin(latDeg * math.Pi / 180)
		return (1 - e*e) * (s/(1-e*e*s*s) + math.Atanh(e*s)/e)
	}
	area := a * a / 2 * (q(lat0) - q(lat0-rows*step)) * cols * step * math.Pi / 180
	assert.InEpsilon(t, area, d.Lines[0].MouthM2, 1e-3) // cells at the mouth are 0.05 % larger than the mean
}

func TestVoidsTakeWaterThatHasNoOtherWay(t *testing.T) {
	plane := func(c, r int) float64 { return 100 - float64(c) }
	hole := func(c, r int) float64 {
		if c == 10 && r >= 4 && r <= 8 {
			return math.NaN()
		}
		return plane(c, r)
	}
	const cols = 20
	r, _, upslope := routed(gridOf(t, cols, 13, 1, 1, hole), nil)
	assert.Equal(t, out, r.dir[6*cols+9])
	assert.EqualValues(t, 10, upslope[6*cols+9])
	assert.Equal(t, northEast, int(r.dir[4*cols+9]), "around the end of the void")
	assert.Zero(t, upslope[6*cols+10])
	assert.EqualValues(t, 1, upslope[6*cols+11])
}

// A stretch of a larger slice, somewhere in a raster, drains as it does alone.
func TestWindowsWithGapsBetweenRows(t *testing.T) {
	g := hills(t, 60, 50, 2)
	want := must(Drain(context.Background(), g, Options{LineM2: 400}))
	require.NotEmpty(t, want.Lines)
	wide := *g
	wide.Stride = 77
	wide.Z = make([]float32, 77*50)
	for r := range 50 {
		copy(wide.Z[r*77:], g.Z[r*60:][:60])
	}
	assert.Equal(t, want, must(Drain(context.Background(), &wide, Options{LineM2: 400})))

	wide.Col0, wide.Row0 = 1000, 2000
	moved := must(Drain(context.Background(), &wide, Options{LineM2: 400}))
	require.Len(t, moved.Lines, len(want.Lines))
	for n, l := range moved.Lines {
		at := want.Lines[n].Path[0]
		assert.Equal(t, [2]float64{at[0] + 1000, at[1] + 2000}, l.Path[0])
	}
}
