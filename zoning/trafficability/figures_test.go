package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// moverOn is a machine on some ground before any rule is asked.
func moverOn(g *Ground, m zoning.Machine) *mover {
	l := lieOf(g.Grid)
	p := newMover(g, l, windowOf(g, l, nil), scratchFor(l), m, 0)
	p.ask(0)
	return p
}

// By hand, on cells of 2 m east and 1.5 m south: half the machine's width, a foot, and half
// the shorter side of a cell; turning, half its diagonal; half again as far for a pinch.
func TestClearances(t *testing.T) {
	p := moverOn(made(t, 9, 9, 2, 1.5, func(_, _ float64) float64 { return 0 }), zoning.Machine{WidthM: 2.4, FootprintM: 3.2})
	assert.InDelta(t, 1.5, p.lie.shortM, 1e-9)
	assert.InDelta(t, 3, p.lie.areaM2, 1e-9)
	assert.InDelta(t, 1.2+0.3048+0.75, p.clearM(), 1e-9)
	assert.InDelta(t, 2+0.75, p.turnM(), 1e-9, "2.4 by 3.2 m: 4 m from corner to corner")
	assert.InDelta(t, 1.5*(1.2+0.3048)+0.75, p.wideM(), 1e-9)
	assert.Equal(t, 3.2, p.footprintM())
	p.machine.FootprintM = 0
	assert.Equal(t, 3.0, p.footprintM())
	assert.InDelta(t, math.Hypot(2.4, 3)/2+0.75, p.turnM(), 1e-9)
	p.machine.WidthM = 0
	assert.Zero(t, p.clearM(), "without a width it fits anywhere")
	assert.Zero(t, p.turnM())
	assert.InDelta(t, 5, p.lie.distM(1, 2)*p.lie.distM(1, 2)/(4+9)*5, 1e-9)
	assert.InDelta(t, math.Sqrt(4*4+9*2.25), p.lie.distM(-2, 3), 1e-9)
}

// Planning values, by hand: 100% and 3 ft = 0.9144 m for a drop-off, a foot beside a way,
// 5 m to unload, half again for a pinch, 0.05 acres for a pocket.
func TestPlanningValuesOfWork(t *testing.T) {
	assert.EqualValues(t, 100, dropOffPct)
	assert.InDelta(t, 0.9144, leastDropM, 1e-12)
	assert.InDelta(t, 0.3048, wayMarginM, 1e-12)
	assert.EqualValues(t, 5, UnloadM)
	assert.Equal(t, 1.5, spareTimes)
	assert.Equal(t, 0.05, leastPocketAcres)
	assert.EqualValues(t, 255, Unreached)
}

// A limit as a square, 0.02 points on the steeper side; 0 is none. A boom works no face
// where no limit of faces is given.
func TestLimitsAsSquares(t *testing.T) {
	assert.InDelta(t, 0.3498*0.3498, riseSquared(35), 1e-8)
	assert.Zero(t, riseSquared(0.01), "a limit within a tie of none")
	assert.True(t, math.IsInf(float64(riseSquared(0)), 1))
	var p mover
	assert.Zero(t, p.faceSquared(0))
	assert.InDelta(t, 0.6498*0.6498, p.faceSquared(65), 1e-8)
}

// What a machine is held to where a tether may hang, and where none may.
func TestSteepestGroundDrivenOn(t *testing.T) {
	p := mover{machine: tethered()}
	assert.Equal(t, 60.0, p.alongPct(), "nothing to hang on")
	p.anchors = make([]bool, 1)
	assert.Equal(t, 100.0, p.alongPct())
	assert.Equal(t, zoning.DefaultEdgePct, p.edgePct())
	p.machine.TetherAbovePct = 80
	assert.Equal(t, 80.0, p.edgePct(), "what it drives on off the tether is no edge")
	p.machine.EdgePct = 25
	assert.Equal(t, 25.0, p.edgePct())
}

// An angle off a heading of more than half a step of aspect is told: on square cells, a
// fall along the row is 0° off heading 0 and 45° off heading 2. The sine is taken at the
// far side of the step, and the heading most across is none at all.
func TestHeadingsAcross(t *testing.T) {
	l := lieOf(level(t, 9, 9, 1).Grid)
	half := math.Pi / slope.AspectTurn
	sin2 := func(rad float64) float64 { return math.Sin(rad) * math.Sin(rad) }
	for heading, off := range map[int]float64{0: 0, 1: math.Atan2(1, 2), 2: math.Pi / 4, 3: math.Atan2(2, 1), 6: math.Pi / 4, 7: math.Atan2(1, 2)} {
		assert.InDelta(t, sin2(off+half), l.crossSquared[0][heading], 1e-6, "heading %d, east", heading)
		assert.InDelta(t, sin2(off+half), l.crossSquared[128][heading], 1e-6, "heading %d, west", heading)
	}
	assert.True(t, math.IsInf(float64(l.crossSquared[0][4]), 1), "straight across")
	assert.InDelta(t, sin2(half), l.crossSquared[64][4], 1e-6, "south")
	assert.True(t, math.IsInf(float64(l.crossSquared[64][0]), 1))
	assert.InDelta(t, sin2(half), l.crossSquared[32][2], 1e-6, "south-east")

	// 25% eastwards, 15% across: sin of 36.9° at most, so the row and 26.6° to either side.
	assert.Equal(t, uint8(1|1<<1|1<<7), l.headings(0.0625, 0, 0.0225))
	assert.Equal(t, uint8(255), l.headings(0.0224, 0, 0.0225))
	assert.Equal(t, uint8(255)&^(1<<4), l.headings(0.0225, 0, 0.0225), "at the limit all but straight across")
	// Just within and just over: sin² of heading 1 is 0.2099 with its half step.
	at := float32(sin2(math.Atan2(1, 2) + half))
	assert.Equal(t, uint8(1|1<<1|1<<7), l.headings(0.0225/at*0.9999, 0, 0.0225))
	assert.Equal(t, uint8(1), l.headings(0.0225/at*1.0001, 0, 0.0225))
}

// Discs, by hand: all cells nearer than the radius are kept from, those at the very radius
// too where it is reached for.
func TestDiscsAtTheVeryRadius(t *testing.T) {
	l := lieOf(level(t, 9, 9, 1).Grid)
	assert.Equal(t, []int{2, 2, 1}, l.disc(2.5, atLeast).half)
	assert.Equal(t, []int{2, 2, 1}, l.disc(2.5, atMost).half)
	assert.Equal(t, []int{4, 4, 4, 3}, l.disc(5, atLeast).half[:4], "5 m is not nearer than 5 m")
	assert.Equal(t, []int{5, 4, 4, 4, 3, 0}, l.disc(5, atMost).half, "3, 4 and 5 m")
	oblong := lieOf(made(t, 9, 9, 2, 0.5, func(_, _ float64) float64 { return 0 }).Grid)
	assert.Equal(t, []int{1, 1, 1, 1, 1, 0}, oblong.disc(2.9, atMost).half)

	// On axes that are not square a distance errs to the safe side either way: nothing
	// nearer is left out, nothing farther taken in.
	skew := lieOf(skewed(t, 30, 30, [2]float64{0.9, 0.3}, [2]float64{0.4, -1}, func(_, _ float64) float64 { return 0 }).Grid)
	for name, c := range map[string]struct {
		d    disc
		safe func(in bool, distM float64) bool
	}{
		"kept from":   {skew.disc(4, atLeast), func(in bool, d float64) bool { return in || d >= 4-1e-6 }},
		"reached for": {skew.disc(4, atMost), func(in bool, d float64) bool { return !in || d <= 4+1e-6 }},
	} {
		for v := -8; v <= 8; v++ {
			for u := -8; u <= 8; u++ {
				in := max(v, -v) < len(c.d.half) && max(u, -u) <= c.d.half[max(v, -v)]
				assert.True(t, c.safe(in, skew.distM(u, v)), "%s: %d, %d", name, u, v)
			}
		}
	}
	assert.InDelta(t, math.Abs(0.9*0.4-0.3)/math.Sqrt((0.81+0.09)*(0.16+1)), skew.skew(), 1e-3)
}

// On axes that are not square distances are those of the frame: 0.9 m east and 0.3 m north
// a column, 0.4 m east and 1 m south a row. The longest way is a knight's move.
func TestDistancesOnSkewedAxes(t *testing.T) {
	l := lieOf(skewed(t, 30, 30, [2]float64{0.9, 0.3}, [2]float64{0.4, -1}, func(_, _ float64) float64 { return 0 }).Grid)
	for _, d := range [][2]int{{1, 0}, {0, 1}, {1, 1}, {1, -1}, {2, 1}, {-2, 1}, {-3, -5}} {
		u, v := float64(d[0]), float64(d[1])
		assert.InDelta(t, math.Hypot(0.9*u+0.4*v, 0.3*u-v), l.distM(d[0], d[1]), 1e-5, "%v", d)
	}
	for i, w := range ways {
		assert.Equal(t, l.distM(w.dc, w.dr), l.lengthM[i])
	}
	assert.InDelta(t, math.Hypot(0.9, 0.3), l.shortM, 1e-5)
	assert.InDelta(t, 0.9+0.12, l.areaM2, 1e-5, "0.9 · 1 + 0.3 · 0.4")
}

// Sixteen ways, each there and back by the same heading, over the two cells between; their
// headings run through half a turn.
func TestWaysAndTheCellsBetween(t *testing.T) {
	for k := range headings {
		a, b := ways[2*k], ways[2*k+1]
		assert.Equal(t, []int{-a.dc, -a.dr, k, k}, []int{b.dc, b.dr, int(a.heading), int(b.heading)})
		assert.Equal(t, uint8(k), a.heading)
		for _, w := range []way{a, b} {
			for _, o := range w.over {
				if min(abs(w.dc), abs(w.dr)) == 0 {
					assert.Zero(t, o)
					continue
				}
				// The line from middle to middle touches the cell: it passes its middle by
				// no more than half its diagonal across, and lies between the ends.
				off := math.Abs(float64(w.dc*o[1]-w.dr*o[0])) / math.Hypot(float64(w.dc), float64(w.dr))
				assert.LessOrEqual(t, off, math.Sqrt2/2+1e-9, "%v", w)
				along := w.dc*o[0] + w.dr*o[1]
				assert.Positive(t, along)
				assert.Less(t, along, w.dc*w.dc+w.dr*w.dr)
			}
			if w.over != [2][2]int{} {
				assert.NotEqual(t, w.over[0], w.over[1])
			}
		}
	}
}

// One metric serves a window, that of its middle. On a grid of half degrees, rows 6 to 26
// from 60° north have theirs at row 16, which is 52° north: a degree of longitude there is
// 68.68 km, one of latitude 111.27 km (WGS84, any table).
func TestMetricOfTheMiddle(t *testing.T) {
	turned, err := terrain.NewFrame(1, 0, 0, 60, 40, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{c[1] / 2, 60 - c[0]/2}
		}
		return out, nil
	})
	require.NoError(t, err)
	south := lieOf(&terrain.Grid{Z: make([]float32, 200), Cols: 20, Rows: 10, Stride: 20, Col0: 6, Row0: 4, Frame: turned})
	assert.InDelta(t, 68680/2, south.distM(0, 1), 60, "columns go south")
	assert.InDelta(t, 111270/2, south.distM(1, 0), 60)
	frame, err := terrain.NewFrame(1, 0, 0, 40, 60, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{c[0] / 2, 60 - c[1]/2}
		}
		return out, nil
	})
	require.NoError(t, err)
	l := lieOf(&terrain.Grid{Z: make([]float32, 200), Cols: 10, Rows: 20, Stride: 10, Col0: 4, Row0: 6, Frame: frame})
	assert.InDelta(t, 68680/2, l.distM(1, 0), 60)
	assert.InDelta(t, 111270/2, l.distM(0, 1), 60)
	assert.InDelta(t, 68680/2, l.shortM, 60)
	assert.InEpsilon(t, 68680./2*111270/2, l.areaM2, 2e-3)
	assert.Less(t, l.skew(), 1e-3)
}

// On skewed axes a heading is what it is on the ground: its angle to the fall is taken
// between the ways in metres east and north.
func TestHeadingsOnSkewedAxes(t *testing.T) {
	perCol, perRow := [2]float64{0.9, 0.3}, [2]float64{0.4, -1}
	l := lieOf(skewed(t, 30, 30, perCol, perRow, func(_, _ float64) float64 { return 0 }).Grid)
	east := math.Atan2(-perCol[1], perCol[0]) // turning towards south, as aspects do
	for k := range headings {
		w := ways[2*k]
		x := float64(w.dc)*perCol[0] + float64(w.dr)*perRow[0]
		y := float64(w.dc)*perCol[1] + float64(w.dr)*perRow[1]
		heading := math.Atan2(-y, x) - east
		for a := 0; a < 256; a += 5 {
			off := math.Abs(math.Remainder(2*math.Pi*float64(a)/256-heading, math.Pi))
			sin := math.Sin(min(off+math.Pi/256, math.Pi/2))
			if got := l.crossSquared[a][k]; !math.IsInf(float64(got), 1) {
				assert.InDelta(t, sin*sin, got, 1e-4, "heading %d, aspect %d", k, a)
			}
		}
	}
}

// The fall lines of one grid are not those of a grid whose cells are longer one way.
func TestFallLinesAreThoseOfTheGrid(t *testing.T) {
	flat := func(_, _ float64) float64 { return 0 }
	square, oblong := level(t, 9, 9, 1).Grid, made(t, 9, 9, 2, 0.5, flat).Grid
	for range 2 {
		assert.Equal(t, newFallLines(metricOf(square)), lieOf(square).fallLines)
		assert.Equal(t, newFallLines(metricOf(oblong)), lieOf(oblong).fallLines)
	}
	assert.NotEqual(t, lieOf(square).downhill, lieOf(oblong).downhill)
	assert.Same(t, lieOf(square).fallLines, lieOf(square).fallLines, "made once")
}
