package site

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// inDegrees is a window of a raster in degrees: cells of 1e-4° from 12° E and a latitude on.
func inDegrees(t *testing.T, lat float64, col0, row0, cols, rows int) *terrain.Grid {
	t.Helper()
	frame, err := terrain.NewFrame(64, 0, 0, 4000, 4000, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{12 + c[0]*1e-4, lat - c[1]*1e-4}
		}
		return out, nil
	})
	require.NoError(t, err)
	return &terrain.Grid{Z: make([]float32, cols*rows), Cols: cols, Rows: rows, Stride: cols, Col0: col0, Row0: row0, Frame: frame}
}

// The box within reach of a window holds all that is within reach, and little more: by
// hand 2000 m are 0.017966° of latitude at the equator's 111.32 km, or a little less.
func TestTheBoxWithinReach(t *testing.T) {
	g := inDegrees(t, 60, 100, 200, 300, 400)
	b := boxAround(g, 2000)
	west, north := g.Frame.LonLat(100, 200)
	east, south := g.Frame.LonLat(400, 600)
	dLat, dLon := 2000/111412.0, 2000/55800.0 // metres in a degree at 60° (WGS84 tables, from memory)
	for _, c := range []struct{ got, want, reach float64 }{
		{b.Min[0], west - dLon, dLon}, {b.Min[1], south - dLat, dLat}, {b.Max[0], east + dLon, dLon}, {b.Max[1], north + dLat, dLat},
	} {
		assert.InDelta(t, c.want, c.got, 0.15*c.reach)
	}
	assert.Less(t, b.Min[0], west-dLon)
	assert.Less(t, b.Min[1], south-dLat)
	assert.Greater(t, b.Max[0], east+dLon)
	assert.Greater(t, b.Max[1], north+dLat)
	cols, rows := reachCells(g, 2000)
	assert.InEpsilon(t, 1.05*2000/(55800e-4)+1, cols, 0.02)
	assert.InEpsilon(t, 1.05*2000/(111412e-4)+1, rows, 0.002)
}

// What is beyond the box is not laid, on each of its sides; what touches it is, also whole
// turns of longitude away.
func TestWhatIsOnTheBox(t *testing.T) {
	p := &plot{box: orb.Bound{Min: orb.Point{170, 10}, Max: orb.Point{190, 20}}}
	turns := func(w, s, e, n float64) (out []float64) {
		p.onEachTurn(orb.Bound{Min: orb.Point{w, s}, Max: orb.Point{e, n}}, func(turn float64) { out = append(out, turn) })
		return out
	}
	assert.Equal(t, []float64{0}, turns(175, 12, 176, 13))
	assert.Equal(t, []float64{360}, turns(-175, 12, -174, 13))
	assert.Equal(t, []float64{-360}, turns(535, 12, 536, 13))
	assert.Equal(t, []float64{0}, turns(160, 20, 170, 30), "a corner touches")
	assert.Equal(t, []float64{0}, turns(190, 0, 200, 10))
	assert.Equal(t, []float64{0, 360}, turns(-180, 12, 180, 13))
	assert.Nil(t, turns(160, 12, 169.9, 13))
	assert.Nil(t, turns(-169.9, 12, -160, 13))
	assert.Nil(t, turns(175, 20.1, 176, 21))
	assert.Nil(t, turns(175, 9, 176, 9.9))
	p.onEachTurn(orb.Bound{Min: orb.Point{175, 15}, Max: orb.Point{174, 14}}, func(float64) { t.Error("empty") })
}

// A line that is straight in longitude and latitude is laid to 2 mm though it bends in cells:
// on a grid of azimuthal rows bent by a parabola.
func TestLinesAreBentWithTheGrid(t *testing.T) {
	const n = 600
	frame, err := terrain.NewFrame(4, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{c[0] * 1e-5, -(c[1] + 3e-4*(c[0]-300)*(c[0]-300)/2) * 1e-5}
		}
		return out, nil
	})
	require.NoError(t, err)
	g := &terrain.Grid{Z: make([]float32, n*n), Cols: n, Rows: n, Stride: n, Frame: frame}
	p := newPlot(g, orb.LineString{{0, -300e-5}, {n * 1e-5, -300e-5}}, 0)
	require.Greater(t, len(p.edges), 8)
	for i, e := range p.edges {
		if i > 0 {
			require.Equal(t, p.edges[i-1].b, e.a, "one way without gaps")
		}
		for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
			at := e.at(share)
			want := 300 - 3e-4*(at[0]-300)*(at[0]-300)/2
			require.InDelta(t, want, at[1], 0.004, "a cell is 1.1 m")
		}
	}
	// No more pieces than the bend asks for: a chord of l cells is off by 3e-4·l²/8 at its
	// middle, 0.0018 cells at 6.9; halving 600 gives 9.4 and 4.7.
	assert.LessOrEqual(t, len(p.edges), 128)
}

// Lengths on skewed axes: a step along the row is 3 m east, one down the column 1 m east and
// 2 m south.
func TestFlatOnSkewedAxes(t *testing.T) {
	// Inverse of the first fundamental form 3·3, 3·1, 1·1 + 2·2, its determinant 36.
	m := flatOf(terrain.Metric{A: 5. / 36, B: -3. / 36, C: 9. / 36})
	for _, d := range []orb.Point{{1, 0}, {0, 1}, {2, -3}, {-1.5, 0.5}} {
		want := math.Hypot(3*d[0]+d[1], 2*d[1])
		x, y := m.point(d)
		assert.InDelta(t, want, math.Hypot(x, y), 1e-12, "%v", d)
	}
	e := m.edge(edge{orb.Point{0, 0}, orb.Point{4, 0}})
	assert.InDelta(t, 0.25, e.share(3, 7), 1e-12)
	assert.Equal(t, []float64{0, 1}, []float64{e.share(-3, 7), e.share(30, 7)})
	e = m.edge(edge{orb.Point{1, 1}, orb.Point{1, 1}})
	assert.Zero(t, e.share(9, 9), "a point")
	assert.Equal(t, orb.Point{2.5, 6}, edge{orb.Point{1, 3}, orb.Point{4, 9}}.at(0.5))
	assert.Equal(t, orb.Point{2.5, 4.5}, block{1, 2, 4, 7}.middle())
}

// Cells of a line of n: middles from one place to before another, squares that a stretch
// touches.
func TestCellsOfALine(t *testing.T) {
	type two [2]int
	at := func(first, end int) two { return two{first, end} }
	assert.Equal(t, two{2, 5}, at(between(2, 5, 10)))
	assert.Equal(t, two{3, 6}, at(between(2.1, 5.1, 10)))
	assert.Equal(t, two{0, 10}, at(between(-7, 70, 10)))
	assert.Equal(t, two{0, 0}, at(between(-7, -1, 10)))
	assert.Equal(t, two{2, 6}, at(meets(2.1, 5.1, 10)))
	assert.Equal(t, two{1, 6}, at(meets(2, 5, 10)), "the lines of the grid touch both sides")
	assert.Equal(t, two{2, 5}, at(meets(2.00001, 4.99999, 10)))
	assert.Equal(t, two{0, 10}, at(meets(-7, 70, 10)))
	assert.Equal(t, two{10, 10}, at(meets(10.1, 12, 10)))
	assert.Equal(t, two{9, 10}, at(meets(10, 12, 10)))
}

// On skewed axes, where the diagonals of a block differ, the nearest edge is found as one by
// one.
func TestNearOnSkewedAxes(t *testing.T) {
	const n, w, h, skew = 64, 1.0, 1.0, 1.7
	frame, err := terrain.NewFrame(64, 0, 0, n, n, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(w*c[0] + skew*c[1]) / 111319.4908, -h * c[1] / 110574.2727} // metres in a degree at the equator, WGS84
		}
		return out, nil
	})
	require.NoError(t, err)
	g := &terrain.Grid{Z: make([]float32, n*n), Cols: n, Rows: n, Stride: n, Frame: frame}
	rnd := rand.New(rand.NewPCG(8, 8))
	for range 20 {
		var line orb.LineString
		var way [][2]float64
		for range 25 {
			c, r := n*rnd.Float64(), n*rnd.Float64()
			line, way = append(line, placed(g, c, r)), append(way, [2]float64{w*c + skew*r, h * r})
		}
		got := map[int]float64{}
		Near(g, line, 40, func(cell int, d float64) { got[cell] = d })
		for cell := range n * n {
			c, r := float64(cell%n)+0.5, float64(cell/n)+0.5
			x, y, least := w*c+skew*r, h*r, math.Inf(1)
			for i := 1; i < len(way); i++ {
				dx, dy := way[i][0]-way[i-1][0], way[i][1]-way[i-1][1]
				s := min(max(((x-way[i-1][0])*dx+(y-way[i-1][1])*dy)/(dx*dx+dy*dy), 0), 1)
				least = min(least, math.Hypot(way[i-1][0]+s*dx-x, way[i-1][1]+s*dy-y))
			}
			if d, in := got[cell]; math.Abs(least-40) > 0.01 {
				require.Equal(t, least < 40, in)
				require.InDelta(t, min(least, 40), d+40*float64(1-b2i(in)), 0.005)
			}
		}
	}
}

func b2i(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// What has no shape is near nothing, and what lies elsewhere leaves no marks behind.
func TestNothingIsNearNothing(t *testing.T) {
	g := heightsOf(t, 5, 5, 1, 1, func(_, _ int) float64 { return 0 })
	for _, shape := range []orb.Geometry{orb.LineString{}, orb.MultiPoint{}, orb.Polygon{}} {
		Near(g, shape, 5, func(int, float64) { t.Error("nothing is there") })
	}
	far := orb.Point{50, 50}
	got := must(Lay([]Feature{{Kind: NoGo, Geometry: far}, {Kind: LeaveTree, Geometry: far}, {Kind: OverheadLine, Geometry: far}, {Kind: Travel, Geometry: far}, {Kind: Staging, Geometry: far}}, g))
	assert.Equal(t, &Ground{Away: 5}, got)
}
