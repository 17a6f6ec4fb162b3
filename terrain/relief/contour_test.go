package relief

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

func contourGrid(t testing.TB, cols int, heights ...float32) *terrain.Grid {
	t.Helper()
	g, err := terrain.NewGrid(heights, cols, len(heights)/cols, 1, 1)
	require.NoError(t, err)
	return g
}

var nan32 = float32(math.NaN())

// A single high cell has a ring round it, cut where straight slopes to its
// neighbours have the height, and clockwise: the higher ground on its right.
func TestContourRoundASummit(t *testing.T) {
	g := contourGrid(t, 3,
		0, 0, 0,
		0, 8, 0,
		0, 0, 0)
	lines := must(Contours(g, []float64{2, 6}))
	require.Len(t, lines, 2)
	assert.Equal(t, Contour{Level: 0, Line: [][2]float64{{1.5, 0.75}, {2.25, 1.5}, {1.5, 2.25}, {0.75, 1.5}, {1.5, 0.75}}}, turned(lines[0]))
	assert.Equal(t, Contour{Level: 1, Line: [][2]float64{{1.5, 1.25}, {1.75, 1.5}, {1.5, 1.75}, {1.25, 1.5}, {1.5, 1.25}}}, turned(lines[1]))
}

// turned is a ring begun at its northernmost point.
func turned(c Contour) Contour {
	n, first := len(c.Line)-1, 0
	for i, p := range c.Line[:n] {
		if p[1] < c.Line[first][1] {
			first = i
		}
	}
	out := append(append([][2]float64{}, c.Line[first:n]...), c.Line[:first]...)
	return Contour{c.Level, append(out, out[0])}
}

// Windows speak in cells of the raster, and Z0 is taken off in float64.
func TestContourOfAWindow(t *testing.T) {
	g := &terrain.Grid{Z: []float32{0.25, 0.5, 9, 0.25, 0.5, 9}, Z0: 3300, Cols: 2, Rows: 2, Stride: 3, Col0: -7, Row0: 40, Frame: contourGrid(t, 1, 0).Frame}
	lines := must(Contours(g, []float64{3300.375}))
	require.Len(t, lines, 1)
	assert.False(t, lines[0].Closed())
	assert.Equal(t, [][2]float64{{-6, 41.5}, {-6, 40.5}}, lines[0].Line, "the higher ground is east, on the right of the way north")
}

func TestContourOfALevelThatCellsHave(t *testing.T) {
	flat := contourGrid(t, 4,
		1, 1, 1, 1,
		1, 5, 5, 1,
		1, 5, 5, 1,
		1, 1, 1, 1)
	lines := must(Contours(flat, []float64{5}))
	require.Len(t, lines, 1)
	assert.Equal(t, [][2]float64{{1.5, 1.5}, {2.5, 1.5}, {2.5, 2.5}, {1.5, 2.5}, {1.5, 1.5}}, turned(lines[0]).Line)

	peak := contourGrid(t, 3, 1, 1, 1, 1, 5, 1, 1, 1, 1)
	assert.Empty(t, must(Contours(peak, []float64{5})), "a point is no line")
	assert.Empty(t, must(Contours(contourGrid(t, 2, 5, 5, 5, 5), []float64{5})), "level ground has none")
	assert.Empty(t, must(Contours(contourGrid(t, 1, 1, 9), []float64{5})), "nor has a single column: it has no square")
}

// The bilinear surface through 10, 0 / 2, 10 is level at 100/18 = 5.56.
func TestContourAtASaddle(t *testing.T) {
	for _, c := range []struct {
		heights []float32
		level   float64
		joined  bool
	}{
		{[]float32{10, 0, 2, 10}, 5.5, true},
		{[]float32{10, 0, 2, 10}, 5.6, false},
		{[]float32{0, 10, 10, 2}, 5.5, true},
		{[]float32{0, 10, 10, 2}, 5.6, false},
		{[]float32{10, 0, 0, 10}, 5, true},
	} {
		g := contourGrid(t, 2, c.heights...)
		lines := must(Contours(g, []float64{c.level}))
		require.Len(t, lines, 2)
		for _, l := range lines {
			lows, highs := 0, 0 // corners that it cuts off, by which is nearest to its middle
			x, y := (l.Line[0][0]+l.Line[1][0])/2, (l.Line[0][1]+l.Line[1][1])/2
			if c.heights[2*int(y)+int(x)] < float32(c.level) {
				lows++
			} else {
				highs++
			}
			assert.Equal(t, c.joined, lows == 1 && highs == 0, "%v at %v", c.heights, c.level)
		}
	}
}

// A square with a void has no line, so a line ends there.
func TestVoidsBreakContours(t *testing.T) {
	g := contourGrid(t, 5,
		0, 0, 0, 0, 0,
		4, 4, nan32, 4, 4,
		4, 4, 4, 4, 4)
	lines := must(Contours(g, []float64{2}))
	require.Len(t, lines, 2)
	assert.Equal(t, [][2]float64{{0.5, 1}, {1.5, 1}}, lines[0].Line)
	assert.Equal(t, [][2]float64{{3.5, 1}, {4.5, 1}}, lines[1].Line)
}

// On rough ground with voids: every point has its height on the straight slope
// between two neighbours; the higher ground lies on the right; lines end at
// voids and rims only.
func TestContoursOfRoughGround(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 62))
	const cols, rows = 40, 30
	heights := make([]float32, cols*rows)
	for i := range heights {
		heights[i] = float32(rng.IntN(12))
		if rng.IntN(25) == 0 {
			heights[i] = nan32
		}
	}
	g := contourGrid(t, cols, heights...)
	g.Z0 = 200
	levels := []float64{203, 205.5, 208}
	lines := must(Contours(g, levels))
	require.NotEmpty(t, lines)
	open, closed := 0, 0
	for _, l := range lines {
		require.Greater(t, len(l.Line), 1)
		for i, p := range l.Line {
			z, onSide := along(g, p)
			require.True(t, onSide, "%v", p)
			require.InDelta(t, levels[l.Level], z, 1e-9)
			if i == 0 {
				continue
			}
			q := l.Line[i-1]
			require.LessOrEqual(t, math.Hypot(p[0]-q[0], p[1]-q[1]), math.Sqrt2)
			dx, dy := p[0]-q[0], p[1]-q[1]
			mid := [2]float64{(p[0]+q[0])/2 - 1e-3*dy, (p[1]+q[1])/2 + 1e-3*dx} // right of the way, rows running south
			if l.Level == 1 {                                                   // no cell has that height
				require.Greater(t, bilinear(g, mid), bilinear(g, [2]float64{p[0] + q[0] - mid[0], p[1] + q[1] - mid[1]}))
			}
		}
		if l.Closed() {
			closed++
			continue
		}
		open++
		for _, end := range [][2]float64{l.Line[0], l.Line[len(l.Line)-1]} {
			assert.True(t, besideNothing(g, end), "%v", end)
		}
	}
	assert.Greater(t, open, 50)
	assert.Greater(t, closed, 50)
	assert.Equal(t, lines, must(Contours(g, levels)))
}

// along interpolates between the two cells on whose side a point lies.
func along(g *terrain.Grid, p [2]float64) (heightM float64, onSide bool) {
	x, y := p[0]-0.5, p[1]-0.5
	c, r := int(x), int(y)
	switch {
	case x == float64(c) && y == float64(r):
		return g.At(c, r), true
	case y == float64(r):
		return g.At(c, r) + (x-float64(c))*(g.At(c+1, r)-g.At(c, r)), true
	case x == float64(c):
		return g.At(c, r) + (y-float64(r))*(g.At(c, r+1)-g.At(c, r)), true
	}
	return 0, false
}

func bilinear(g *terrain.Grid, p [2]float64) float64 {
	x, y := p[0]-0.5, p[1]-0.5
	c, r := min(int(x), g.Cols-2), min(int(y), g.Rows-2)
	u, v := x-float64(c), y-float64(r)
	return (g.At(c, r)*(1-u)+g.At(c+1, r)*u)*(1-v) + (g.At(c, r+1)*(1-u)+g.At(c+1, r+1)*u)*v
}

// besideNothing reports whether one of the squares around a point is void or off
// the grid.
func besideNothing(g *terrain.Grid, p [2]float64) bool {
	for _, dx := range []float64{-1e-9, 1e-9} {
		for _, dy := range []float64{-1e-9, 1e-9} {
			c, r := int(math.Floor(p[0]-0.5+dx)), int(math.Floor(p[1]-0.5+dy))
			if c < 0 || r < 0 || c >= g.Cols-1 || r >= g.Rows-1 ||
				math.IsNaN(g.At(c, r)+g.At(c+1, r)+g.At(c, r+1)+g.At(c+1, r+1)) {
				return true
			}
		}
	}
	return false
}

func TestChooseContourInterval(t *testing.T) {
	for _, c := range []struct {
		low, high, sigma float64
		most             int
		unit             string
		want             ContourInterval
	}{
		{100, 130, 0, 20, "m", ContourInterval{2, "m"}},       // 15 lines; of 1 m there would be 30
		{100, 130, 0, 20, "ft", ContourInterval{5, "ft"}},     // 98 ft: 20 lines at most
		{100, 130, 0.82, 20, "ft", ContourInterval{10, "ft"}}, // 3.2898 × 0.82 m = 8.9 ft
		{100, 130, 0.1, 60, "ft", ContourInterval{2, "ft"}},
		{100, 100, 0, 20, "ft", ContourInterval{1, "ft"}},
		{0, 9000, 0, 3, "m", ContourInterval{2000, "m"}}, // more than asked for: there is no coarser one
		{100, 130, 0, 20, "us-ft", ContourInterval{2, "m"}},
	} {
		assert.Equal(t, c.want, must(ChooseContourInterval(c.low, c.high, c.sigma, c.most, c.unit)), "%v", c)
	}
}

// NSSDA, appendix 3-D, by its factor of 3.2898: an interval of 1 ft takes heights
// good to 9.265 cm (9.25 cm in the guidelines of NDEP 2004, from memory), one of
// 1 m to 30.397 cm.
func TestContourIntervalsThatHeightsBearOut(t *testing.T) {
	assert.Equal(t, 1.0, must(ChooseContourInterval(0, 1, 0.0926, 99, "ft")).Step)
	assert.Equal(t, 2.0, must(ChooseContourInterval(0, 1, 0.0927, 99, "ft")).Step)
	assert.Equal(t, 1.0, must(ChooseContourInterval(0, 1, 0.3039, 99, "m")).Step)
	assert.Equal(t, 2.0, must(ChooseContourInterval(0, 1, 0.3040, 99, "m")).Step)
}

func TestContourLevels(t *testing.T) {
	assert.Equal(t, []ContourLevel{
		{241 * 5 * 0.3048, "1205 ft", false}, {242 * 5 * 0.3048, "1210 ft", false}, {243 * 5 * 0.3048, "1215 ft", false},
		{244 * 5 * 0.3048, "1220 ft", false}, {245 * 5 * 0.3048, "1225 ft", true},
	}, must(ContourInterval{5, "ft"}.Levels(240*5*0.3048, 246*5*0.3048-0.01)))
	assert.Equal(t, []ContourLevel{{-0.5, "-0.5 m", false}, {0, "0 m", true}, {0.5, "0.5 m", false}}, must(ContourInterval{0.5, "m"}.Levels(-1, 0.5)))
	assert.Empty(t, must(ContourInterval{1, "m"}.Levels(math.NaN(), math.NaN())))
}

func TestHeightsM(t *testing.T) {
	g := &terrain.Grid{Z: []float32{1, 2, 99, nan32, -0.5, 99}, Z0: 300, Cols: 2, Rows: 2, Stride: 3}
	low, high := g.HeightsM()
	assert.Equal(t, "299.5 302", fmt.Sprint(low, high))
	low, high = contourGrid(t, 1, nan32).HeightsM()
	assert.True(t, math.IsNaN(low) && math.IsNaN(high))
}
