package canopy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// laid sets a surface over flat ground by the heights of its cells, in places n samples
// along and down.
func laid(t *testing.T, n, apart int, height func(i int) float64) *overlay {
	t.Helper()
	flat := gridOf(t, n*apart, n, 1, func(c, r int) float64 { return 300 })
	surface := gridOf(t, n*apart, n, 1, func(c, r int) float64 { return 300 + height(r*n+c/apart) })
	return newOverlay(flat, surface)
}

// faces are n × n samples, apart cells from one another along rows, whose slopes of 0.5 face
// four ways in turn.
func faces(n, apart int) []sample {
	var out []sample
	for i := range n * n {
		out = append(out, sample{col: i % n * apart, row: i / n, P: facing(i), Q: 0.5 * float64(1-i/2%2*2), Tan: 0.5})
	}
	return out
}

func facing(i int) float64 { return 0.5 * float64(1-i%2*2) }

// Slopes of ±½ each way, as often one as the other, and misses of -m, 0 and m: the standard
// error is 1.4826·m over ½·√N. A shift is known up to a tenth of a cell.
func TestAShiftIsKnownToATenthOfACell(t *testing.T) {
	const n = 24 // 576 samples, whole turns of 12
	for err, known := range map[float64]bool{0.095: true, 0.105: false} {
		m := err * 0.5 * n / 1.4826
		r := laid(t, n, 1, func(i int) float64 { return m * float64(i/4%3-1) }).register(faces(n, 1), 3)
		require.Equal(t, n*n, r.Cells)
		assert.InDelta(t, err, r.ErrorCells, 1e-5)
		assert.Equal(t, known, r.Known, "%g cells", err)
		assert.InDelta(t, 0, r.M, 1e-6)
		assert.InDelta(t, 1.4826*m, r.BeforeM, 1e-4)
		assert.InDelta(t, 1.4826*m, r.AfterM, 1e-4)
	}
}

// A shift is found from 200 open cells on: the others stand far apart from one another.
func TestAShiftIsFoundFromTwoHundredCells(t *testing.T) {
	const n = 20
	for open, found := range map[int]bool{199: false, 200: true} {
		r := laid(t, n, 1, func(i int) float64 {
			if i < open {
				return 0
			}
			return 10 * float64(i)
		}).register(faces(n, 1), 0.1)
		assert.Equal(t, found, r.Known, "%d cells", open)
		assert.Equal(t, open*int(over(found)), r.Cells)
	}
}

// On a surface of level treads, each as much higher or lower as its face's slope says, no
// moving back helps: a fit goes on by the same step until that is less than a hundredth of
// a cell, or for twenty rounds.
func TestAFitSettlesOrIsLeftAfterTwentyRounds(t *testing.T) {
	const n, apart = 24, 30
	for step, cols := range map[float64]float64{0.0095: 0.0095, 0.0105: 20 * 0.0105, 0.5: 10} {
		all := faces(n, apart)
		for i := range all {
			all[i].col++
		}
		r := laid(t, n, apart, func(i int) float64 { return -step * facing(i) }).register(all, 3)
		assert.InDelta(t, cols, r.Cols, 1e-3*cols+1e-5, "%g cells a round", step)
		assert.InDelta(t, 0, r.Rows, 1e-3*cols+1e-5)
	}
}

// Open ground is judged with the surface moved back: a slope of 9% that lies two cells off
// looks 0.18 m lower. What lies beyond the surface then is left out.
func TestOpenGroundIsJudgedMovedBack(t *testing.T) {
	plane := func(off float64) *terrain.Grid {
		return gridOf(t, 40, 40, 1, func(c, r int) float64 { return 300 + 0.07*(float64(c)-off) + 0.05*(float64(r)+off) })
	}
	ground, surface := plane(0), plane(2)
	for i := range surface.Z {
		surface.Z[i] += 1.5
	}
	o := newOverlay(ground, surface)
	all := o.samples(nil)
	for name, c := range map[string]struct {
		shift  Registration
		offset float64
	}{
		"moved back":     {Registration{Known: true, Cols: 2, Rows: -2, BeforeM: 1}, 1.5},
		"no shift known": {Registration{Cols: 2, Rows: -2, BeforeM: 1}, 1.5 - 2*0.07 + 2*0.05},
	} {
		r := GrowthReport{Registration: c.shift}
		r.findOpen(o, all, 0.1)
		assert.InDelta(t, c.offset, r.OffsetM, 1e-4, name)
		assert.Equal(t, 1.0, r.OpenShare, name)
		assert.False(t, math.IsNaN(r.SpreadM), name)
	}
}

// The same cells lie within a hundredth of one another along the rows and down the columns:
// one of the two is not enough.
func TestTheSameCellsLieTogetherBothWays(t *testing.T) {
	on := func(cols, rows float64) *terrain.Grid {
		f, err := terrain.NewFrame(16, 0, 0, 32, 32, func(cells [][2]float64) ([][2]float64, error) {
			out := make([][2]float64, len(cells))
			for i, c := range cells {
				out[i] = [2]float64{1e-5 * (c[0] + cols), -1e-5 * (c[1] + rows)}
			}
			return out, nil
		})
		require.NoError(t, err)
		g, err := terrain.NewGridOn(f, make([]float64, 32*32), 32, 32)
		require.NoError(t, err)
		return g
	}
	for shift, want := range map[[2]float64]Laying{{3, 0}: CellByCell, {0, -2}: CellByCell, {0.02, 0}: Between, {-0.02, 0}: Between, {0, 0.02}: Between, {0, -0.02}: Between, {0.3, 1}: Between, {1, 0.3}: Between} {
		o := newOverlay(on(0, 0), on(shift[0], shift[1]))
		require.Equal(t, want, o.laying, shift)
		if want == CellByCell {
			assert.Equal(t, [2]float64{-shift[0], -shift[1]}, [2]float64{float64(o.dCol), float64(o.dRow)})
		}
	}
}
