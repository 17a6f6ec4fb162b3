package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// rising is ground whose rows stand higher by given steps one after another, with a ripple
// of rows in turn up and down and one of columns, on cells wide by tall.
func rising(t *testing.T, cols int, steps []float64, rows, columns, w, h float64) *terrain.Grid {
	z := make([]float64, len(steps)+1)
	for i, s := range steps {
		z[i+1] = z[i] + s
	}
	ripple := func(i int, by float64) float64 { return by * float64(1-i%2*2) }
	heights := make([]float32, cols*len(z))
	for i := range heights {
		heights[i] = float32(z[i/cols] + ripple(i/cols, rows) + ripple(i%cols, columns))
	}
	g, err := terrain.NewGrid(heights, cols, len(z), w, h)
	require.NoError(t, err)
	return g
}

// level is n steps of none, but for some.
func level(n int, but map[int]float64) []float64 {
	out := make([]float64, n)
	for i, s := range but {
		out[i] = s
	}
	return out
}

// transposed is a grid with its rows for columns.
func transposed(t *testing.T, g *terrain.Grid) *terrain.Grid {
	w, h := g.MiddleCellM()
	z := make([]float32, len(g.Z))
	for i, v := range g.Z {
		z[i%g.Cols*g.Rows+i/g.Cols] = v
	}
	out, err := terrain.NewGrid(z, g.Rows, g.Cols, h, w)
	require.NoError(t, err)
	return out
}

// bothWays looks along the rows and, on the same ground turned, down the columns.
func bothWays(t *testing.T, g *terrain.Grid, see func(found []seam, along string)) {
	see(findSeams(g, nil), "rows")
	see(findSeams(transposed(t, g), nil), "columns")
}

// With steps d between lines the measure of FindSeams at one is d less half of those on
// either side. On level ground a step is one from 3 cm on; over a ripple of ±a, whose
// measure is 4a on all lines, from 6 × 1.4826 × 4a.
func TestASeamFromItsLeastStep(t *testing.T) {
	for _, c := range []struct {
		step, ripple float64
		seam         bool
	}{
		{0.0303, 0, true}, {0.0297, 0, false}, {-0.0303, 0, true}, {-0.0297, 0, false},
		// 35.58a = 0.1779 m; the ripple adds 0.02 to the step after an odd line.
		{0.160, 0.005, true}, {0.155, 0.005, false},
	} {
		bothWays(t, rising(t, 256, level(100, map[int]float64{49: c.step}), c.ripple, 0, 1, 1), func(found []seam, along string) {
			require.Len(t, found, int(over(c.seam)), "%+v", c)
			if c.seam {
				assert.Equal(t, seam{along, 49, 1, 256, found[0].StepM}, found[0])
				assert.InDelta(t, math.Abs(c.step)+4*c.ripple, found[0].StepM, 1e-4)
			}
		})
	}
}

// A step holds on 128 cells in a row, or on all of a grid of 64 or more.
func TestASeamFromItsLeastLength(t *testing.T) {
	const step = 0.0305 // less than 3 cm as the mean over 31 of 32 cells
	long := func(cols, from, to int) []seam {
		g := rising(t, cols, level(100, map[int]float64{49: 0}), 0, 0, 1, 1)
		for r := 50; r <= 100; r++ {
			for c := from; c < to; c++ {
				g.Z[r*cols+c] = step
			}
		}
		return findSeams(g, nil)
	}
	require.Len(t, long(256, 32, 160), 1)
	assert.Equal(t, 128, long(256, 32, 160)[0].Cells)
	assert.Empty(t, long(256, 32, 159))
	assert.Empty(t, long(256, 33, 160))
	assert.Len(t, long(64, 0, 64), 1)
	assert.Empty(t, long(63, 0, 63))
	// Two stretches up, two down, two up are no four of one seam.
	g := rising(t, 192, level(100, nil), 0, 0, 1, 1)
	for r := 50; r <= 100; r++ {
		for c := range 192 {
			g.Z[r*192+c] = float32(step * float64(1-c/64%2*2))
		}
	}
	assert.Empty(t, findSeams(g, nil))
	// A void breaks the row.
	g = rising(t, 256, level(100, map[int]float64{49: step}), 0, 0, 1, 1)
	g.Z[50*256+100] = float32(math.NaN())
	require.Len(t, findSeams(g, nil), 1, "four stretches are left on one side")
	assert.Equal(t, 128, findSeams(g, nil)[0].Cells)
	g.Z[50*256+140] = float32(math.NaN())
	assert.Empty(t, findSeams(g, nil))
}

// At a clean step the measure beside is -½ of that at it; from -¾ to -¼ it is taken for
// one. With a step e after the step s they are (e - s/2)/(s - e/2) and -s/2/(s - e/2).
func TestASeamGoesBackOnEitherSide(t *testing.T) {
	for _, c := range []struct {
		next float64 // of the step
		seam bool
	}{{0.28, true}, {0.30, false}, {-0.39, true}, {-0.41, false}} {
		for _, order := range [][2]int{{49, 50}, {50, 49}} {
			steps := level(100, map[int]float64{order[0]: 0.2, order[1]: 0.2 * c.next})
			bothWays(t, rising(t, 128, steps, 0, 0, 1, 1), func(found []seam, _ string) {
				assert.Len(t, found, int(over(c.seam)), "%+v, %v", c, order)
			})
		}
	}
}

// More lines than two and than a twentieth of all are stripes.
func TestManySeamsAreStripes(t *testing.T) {
	for _, c := range []struct{ lines, seams int }{{100, 5}, {100, 6}, {40, 2}, {40, 3}, {25, 2}, {60, 3}, {60, 4}} {
		but := map[int]float64{}
		for i := range c.seams {
			but[5+6*i] = 0.05 // half of it, beside, is no step
		}
		bothWays(t, rising(t, 128, level(c.lines, but), 0, 0, 1, 1), func(found []seam, along string) {
			if c.seams <= max(2, c.lines/20) {
				assert.Len(t, found, c.seams, "%+v", c)
				return
			}
			require.Len(t, found, 1, "%+v", c)
			assert.Equal(t, seam{along, 5, c.seams, 128 * c.seams, found[0].StepM}, found[0])
			assert.InDelta(t, 0.05, found[0].StepM, 1e-4)
		})
	}
}

// Lines uneven four times as much as those across, cell for cell, by 5 cm: 1.4826 × 4a
// for a ripple of ±a. Cells twice as tall as wide fall four times as far for one bend.
func TestUnevenLinesAreStripes(t *testing.T) {
	for _, c := range []struct {
		rows, columns, w, h float64
		stripes             bool
	}{
		{0.0085, 0, 1, 1, true}, {0.0083, 0, 1, 1, false},
		{0.1, 0.024, 1, 1, true}, {0.1, 0.026, 1, 1, false},
		{0.1, 0.006, 1, 2, true}, {0.1, 0.0065, 1, 2, false},
		{0.1, 0.095, 2, 1, true}, {0.1, 0.105, 2, 1, false},
	} {
		bothWays(t, rising(t, 128, level(100, nil), c.rows, c.columns, c.w, c.h), func(found []seam, along string) {
			require.Len(t, found, int(over(c.stripes)), "%+v: %v", c, found)
			if c.stripes {
				assert.Equal(t, seam{along, 0, 100, 100 * 128, found[0].StepM}, found[0], "%+v", c)
				assert.InDelta(t, 2*c.rows, found[0].StepM, 1e-4)
			}
		})
	}
}

// The first and the last place of a seam are those with two lines on either side.
func TestTheFirstAndLastPlaceOfASeam(t *testing.T) {
	for at, found := range map[int]bool{0: false, 1: true, 98: true, 99: false} {
		bothWays(t, rising(t, 128, level(100, map[int]float64{at: 0.05}), 0, 0, 1, 1), func(seams []seam, along string) {
			require.Len(t, seams, int(over(found)), "%s, %d", along, at)
			if found {
				assert.Equal(t, at, seams[0].At)
			}
		})
	}
}
