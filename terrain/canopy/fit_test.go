package canopy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Slopes of ±p and ±q, each as often, make the normal equations diagonal: of N cells the
// shift's variance is that of the misses over N·p² and N·q². Misses of -0.1, 0 and 0.1 m
// have a median deviation of 0.1 m.
func TestFitShiftByHand(t *testing.T) {
	for _, slopes := range [][2]float64{{0.5, 2}, {2, 0.5}} {
		var open []sample
		for i := range 60 {
			p, q := slopes[0]*float64(1-i%2*2), slopes[1]*float64(1-i/2%2*2)
			miss := 0.1 * float64(i/4%3-1)
			open = append(open, sample{P: p, Q: q, Dh: 7 - 0.3*p + 0.4*q + miss})
		}
		cols, rows, errorCells, ok := fitShift(open)
		require.True(t, ok)
		assert.InDelta(t, 0.3, cols, 1e-9)
		assert.InDelta(t, -0.4, rows, 1e-9)
		assert.InDelta(t, 1.4826*0.1/(0.5*math.Sqrt(60)), errorCells, 1e-9)
	}
	_, _, _, ok := fitShift([]sample{{P: 1, Q: 2}, {P: 1, Q: 2}, {P: 1, Q: 2}})
	assert.False(t, ok, "one slope alone tells no shift")
}

func TestSpreadByHand(t *testing.T) {
	assert.InDelta(t, 1.4826, spread([]float64{1, 4, 2}), 1e-12)
	assert.Zero(t, spread([]float64{3}))
	assert.True(t, math.IsNaN(spread(nil)))
}

// bent is a frame whose cells grow along its rows and down its columns.
func bent(t testing.TB, cols, rows int) *terrain.Frame {
	frame, err := terrain.NewFrame(1, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{1e-5 * (2*c[0] + 0.01*c[0]*c[0]), 10 - 1e-5*(2*c[1]+0.01*c[1]*c[1]+0.002*c[0]*c[1])}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// Slopes are those by the metric in the middle of each row of the window.
func TestSamplesByTheMetricOfTheirRow(t *testing.T) {
	g := gridOf(t, 10, 8, 1, func(c, r int) float64 { return 300 + 0.3*float64(c) - 0.2*float64(r) })
	g.Frame, g.Col0, g.Row0 = bent(t, 30, 30), 7, 11
	all := newOverlay(g, g).samples(nil)
	require.Len(t, all, 8*6)
	for _, s := range all {
		m := g.Frame.MetricAt(7+5, 11+float64(s.row)+0.5)
		want := math.Sqrt(m.A*s.P*s.P + 2*m.B*s.P*s.Q + m.C*s.Q*s.Q)
		require.InEpsilon(t, want, s.Tan, 1e-12)
	}
}

// Water, and cells without a height or beside a void, are no samples.
func TestSamplesLeaveOut(t *testing.T) {
	ground := gridOf(t, 10, 8, 1, func(c, r int) float64 { return 300 })
	surface := gridOf(t, 10, 8, 1, func(c, r int) float64 { return 301 })
	missing := func(water []bool) (out [][2]int) {
		seen := map[[2]int]bool{}
		for _, s := range newOverlay(ground, surface).samples(water) {
			seen[[2]int{s.col, s.row}] = true
		}
		for r := 1; r < 7; r++ {
			for c := 1; c < 9; c++ {
				if !seen[[2]int{c, r}] {
					out = append(out, [2]int{c, r})
				}
			}
		}
		return out
	}
	water := make([]bool, 80)
	water[3*10+6] = true
	assert.Equal(t, [][2]int{{6, 3}}, missing(water))
	surface.Z[2*10+4] = float32(math.NaN())
	assert.Equal(t, [][2]int{{4, 2}}, missing(nil))
	ground.Z[5*10+5] = float32(math.NaN())
	assert.Equal(t, [][2]int{{4, 2}, {5, 4}, {4, 5}, {5, 5}, {6, 5}, {5, 6}}, missing(nil))
}

// Some 32,768 cells are looked at: of 400 × 400 every other one, along and down.
func TestSamplesAreSpread(t *testing.T) {
	g := gridOf(t, 400, 400, 1, func(c, r int) float64 { return 300 })
	assert.Len(t, newOverlay(g, g).samples(nil), 199*199)
}

// A shift shows on slopes from 5% to 150%, the ties among them.
func TestRegisterBySlope(t *testing.T) {
	p := newPair(11)
	o := newOverlay(p.Ground(t), p.Surface(t, 0.9, 0.6, 0))
	all := o.samples(nil)
	for tan, known := range map[float64]bool{0.0499: false, 0.05: true, 1.5: true, 1.501: false} {
		for i := range all {
			all[i].Tan = tan
		}
		assert.Equal(t, known, o.register(all, 0.1).Known, tan)
	}
}

// A shift's length is by the metric in the middle of the window.
func TestShiftByTheMetricOfTheMiddle(t *testing.T) {
	p := newPair(11)
	ground, surface := p.Ground(t), p.Surface(t, 0.9, 0.6, 0)
	ground.Frame = bent(t, p.Cols+9, p.Rows+9)
	ground.Col0, ground.Row0 = 5, 9
	surface.Frame, surface.Col0, surface.Row0 = ground.Frame, 5, 9
	o := newOverlay(ground, surface)
	r := o.register(o.samples(nil), 0.1)
	require.True(t, r.Known)
	m := ground.Frame.MetricAt(5+80, 9+75)
	assert.InEpsilon(t, m.LengthM(r.Cols, r.Rows), r.M, 1e-12)
}

// Grids whose corners lie within a hundredth of a cell have the same cells; a cell of less
// than 95% of the area is finer.
func TestLayingFromItsLimits(t *testing.T) {
	on := func(shift, size float64) *terrain.Grid {
		f, err := terrain.NewFrame(16, 0, 0, 32, 32, func(cells [][2]float64) ([][2]float64, error) {
			out := make([][2]float64, len(cells))
			for i, c := range cells {
				out[i] = [2]float64{1e-5 * (c[0]*size + shift), -1e-5 * (c[1]*size + shift)}
			}
			return out, nil
		})
		require.NoError(t, err)
		g, err := terrain.NewGridOn(f, make([]float64, 32*32), 32, 32)
		require.NoError(t, err)
		return g
	}
	for _, c := range []struct {
		shift, size float64
		want        Laying
	}{
		{0, 1, CellByCell}, {0.0095, 1, CellByCell}, {-0.0095, 1, CellByCell}, {0.0105, 1, Between}, {-0.0105, 1, Between},
		{3.005, 1, CellByCell}, {0.5, 1, Between}, {0, 0.9, GreatestInCell}, {0, 0.974, GreatestInCell}, {0, 0.9755, Between}, {0, 1.1, Between},
	} {
		o := newOverlay(on(0, 1), on(c.shift, c.size))
		assert.Equal(t, c.want, o.laying, "%+v", c)
		if c.want == CellByCell {
			assert.Equal(t, -int(math.Round(c.shift)), o.dCol)
			assert.Equal(t, -int(math.Round(c.shift)), o.dRow)
		}
	}
}
