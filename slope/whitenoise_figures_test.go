package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// tiled is a grid of tiles of 16 × 16 cells, each of heights of its own, row after row.
func tiled(t *testing.T, across int, tiles []func(c, r int) float64) *terrain.Grid {
	t.Helper()
	return surfaceOf(t, 16*across, 16*len(tiles)/across, 1, func(x, y float64) float64 {
		c, r := int(x), int(y)
		return tiles[r/16*across+c/16](c%16, r%16)
	})
}

// upAndDown are columns of height a and -a by turns. Each bends by 4·a to its neighbors and not
// at all to those beyond: by hand a mean square near of 16·a²/12 and far of 0, which makes a
// noise of (3·16·a²/12)/2 = 2·a².
func upAndDown(a float64) func(c, r int) float64 {
	return func(c, _ int) float64 { return a - 2*a*float64(c%2) }
}

// One cell that stands out by s: where it is in the middle, the bends of its own two lines, twice s, and
// of four more, s, near and far alike; of noise that is a mean square of 12·s²/(12·144).
func stone(col, row int, s float64) func(c, r int) float64 {
	return func(c, r int) float64 {
		if c == col && r == row {
			return s
		}
		return 0
	}
}

// The noise is the median of the smoother half of the tiles, by how they bend, four at least.
func TestWhiteNoiseIsThatOfTheSmootherHalf(t *testing.T) {
	type tile = func(c, r int) float64
	of := func(a ...float64) (tiles []tile) {
		for _, a := range a {
			tiles = append(tiles, upAndDown(a))
		}
		return tiles
	}
	bowl := func(c, _ int) float64 { return 0.0625 * float64(c*c) } // bends less than 0.2 does and grows
	void := func(_, _ int) float64 { return math.NaN() }
	for name, c := range map[string]struct {
		across int
		tiles  []tile
		want   float64
	}{
		"three say nothing":           {1, of(0.1, 0.1, 0.1), 0},
		"four, the second":            {2, of(0.4, 0.1, 0.3, 0.2), 0.2},
		"in one column":               {1, of(0.4, 0.1, 0.3, 0.2), 0.2},
		"in one row":                  {4, of(0.4, 0.1, 0.3, 0.2), 0.2},
		"six, the second":             {3, of(0.6, 0.5, 0.4, 0.3, 0.2, 0.1), 0.2},
		"seven, the third":            {7, of(0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1), 0.3},
		"of three, by noise":          {5, append(of(0.4, 0.2, 0.3, 0.1), bowl), 0.1},
		"four and some without floor": {3, append(of(0.4, 0.1, 0.3, 0.2), void, void), 0.2},
		"three, and the rest void":    {3, append(of(0.4, 0.1, 0.3), void, void, void), 0},
	} {
		assert.InDelta(t, math.Sqrt2*c.want, WhiteNoiseM(tiled(t, c.across, c.tiles)), 1e-6, name)
	}
}

// By hand: a stone in the middle of each tile is noise of s²/144, and one at the side of what
// is looked at, the second row or column, of two bends only: s²/(12·144).
func TestWhiteNoiseOfAStone(t *testing.T) {
	for at, want := range map[[2]int]float64{
		{8, 8}: 1. / 12, {8, 1}: 1 / math.Sqrt(1728), {8, 14}: 1 / math.Sqrt(1728), {1, 8}: 1 / math.Sqrt(1728), {14, 8}: 1 / math.Sqrt(1728), {1, 1}: 0,
	} {
		s := stone(at[0], at[1], 3)
		assert.InDelta(t, 3*want, WhiteNoiseM(tiled(t, 2, []func(c, r int) float64{s, s, s, s})), 1e-6, "%v", at)
	}
}

// A tile of which most is known counts by what is known, one of which less is known does not.
func TestTilesWithVoids(t *testing.T) {
	for column, counts := range map[int]bool{0: true, 1: false, 2: false} { // 132, 120 and 108 bends are known, of 256 cells
		part := func(c, r int) float64 {
			if c == column {
				return math.NaN()
			}
			return upAndDown(0.25)(c, r)
		}
		want := 0.0
		if counts {
			want = math.Sqrt2 * 0.25
		}
		assert.InDelta(t, want, WhiteNoiseM(tiled(t, 2, []func(c, r int) float64{part, part, part, part})), 1e-6, "column %d", column)
	}
}

// About 256 tiles are looked at: of 32 × 32 each second one either way, of 31 × 31 all. Here
// those of even rows and columns are noisier, a quarter of all.
func TestSoManyTilesAreLookedAt(t *testing.T) {
	for side, want := range map[int]float64{32: 0.1, 31: 0.05} {
		var tiles []func(c, r int) float64
		for i := range side * side {
			a := 0.05
			if i%side%2 == 0 && i/side%2 == 0 {
				a = 0.1
			}
			tiles = append(tiles, upAndDown(a))
		}
		assert.InDelta(t, math.Sqrt2*want, WhiteNoiseM(tiled(t, side, tiles)), 1e-6, "%d tiles a side", side)
	}
}

// By hand: a bell's weights fall by exp(-d²/2σ²), reach to three σ and sum to 1.
func TestWeightsOfABell(t *testing.T) {
	for sigma, half := range map[float64]int{0.5: 2, 0.66: 2, 0.7: 3, 1: 3, 1.01: 4, 2: 6} {
		w, sum := bell(sigma), 0.0
		assert.Len(t, w, 2*half+1, "%g cells", sigma)
		for i, v := range w {
			sum += v
			d := float64(i - half)
			assert.InDelta(t, w[half]*math.Exp(-d*d/(2*sigma*sigma)), v, 1e-12)
		}
		assert.InDelta(t, 1, sum, 1e-12)
	}
	s := GaussianOf(grid(t, make([]float32, 6), 3, 2, 2, 0.5), 1)
	assert.Equal(t, [2][]float64{bell(0.5), bell(2)}, [2][]float64{s.cols, s.rows})
	assert.Equal(t, []float64{3, 10, 8}, convolved([]float64{1, 2}, []float64{3, 4}))
}

// By hand: of two neighbors at the rim both count, and pairs that are not whole give way to
// the cell itself. A line of 8, 0, 8 with weights of 1 to 2 to 4 to 2 to 1 of ten.
func TestSmoothingOfThreeCells(t *testing.T) {
	s := Gaussian{cols: []float64{0.1, 0.2, 0.4, 0.2, 0.1}, rows: []float64{1}}
	for _, c := range []struct {
		cols, rows int
		s          Gaussian
	}{{3, 1, s}, {1, 3, Gaussian{cols: s.rows, rows: s.cols}}} {
		out := c.s.Smooth(grid(t, []float32{8, 0, 8}, c.cols, c.rows, 1, 1))
		assert.InDeltaSlice(t, []float64{8, 3.2, 8}, []float64{float64(out.Z[0]), float64(out.Z[1]), float64(out.Z[2])}, 1e-6)
	}
}
