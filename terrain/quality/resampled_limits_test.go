package quality

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// peaks is a profile that is 0 but for cells at some distances from one another.
func peaks(from int, gaps ...int) []float64 {
	p := make([]float64, from+1)
	p[from] = 1
	for _, g := range gaps {
		p = append(p, make([]float64, g)...)
		p[len(p)-1] = 1
	}
	return p
}

// A pattern is six peaks or more, evenly spaced to within 1.6 times the mean, so far apart
// as asked for, with three tenths of the profile quiet: below a share of its mean.
func TestSpacingFromItsLimits(t *testing.T) {
	for name, c := range map[string]struct {
		profile      []float64
		quiet, least float64
		want         float64 // 0 for none
	}{
		"six peaks":            {peaks(2, 5, 5, 5, 5, 5), 0.1, 2.6, 5},
		"five peaks":           {peaks(2, 5, 5, 5, 5), 0.1, 2.6, 0},
		"a gap of 1.6":         {peaks(2, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 8), 0.1, 2.6, 68.0 / 13}, // 1.53
		"a longer gap":         {peaks(2, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 9), 0.1, 2.6, 0},         // 1.69
		"a short gap":          {peaks(2, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 4), 0.1, 2.6, 64.0 / 11},
		"a shorter gap":        {peaks(2, 6, 6, 6, 6, 6, 6, 6, 6, 6, 6, 3), 0.1, 2.6, 0}, // 5.73/1.6 = 3.58
		"as near as asked for": {peaks(2, 3, 3, 3, 3, 3), 0.1, 3, 3},
		"nearer":               {peaks(2, 3, 3, 3, 3, 3), 0.1, 3.1, 0},
		"nothing":              {make([]float64, 30), 0.1, 2.6, 0},
		"no profile":           {nil, 0.1, 2.6, 0},
	} {
		k, ok := spacing(c.profile, c.quiet, c.least)
		require.Equal(t, c.want > 0, ok, name)
		if ok {
			assert.InDelta(t, c.want, k, 1e-9, name)
		}
	}
	// Wide peaks count from their middles; three tenths of the profile are quiet.
	wide := func(quiet, loud int) (float64, bool) {
		var p []float64
		for range 10 {
			p = append(p, slices.Repeat([]float64{0}, quiet)...)
			p = append(p, slices.Repeat([]float64{1}, loud)...)
		}
		return spacing(p, 0.1, 2)
	}
	k, ok := wide(3, 7)
	assert.True(t, ok)
	assert.Equal(t, 10.0, k)
	_, ok = wide(2, 5)
	assert.False(t, ok, "two sevenths")
	// What is below the share of the mean is quiet: peaks of 10 over 1 every five cells,
	// mean 2.8.
	p := peaks(2, 5, 5, 5, 5, 5, 5)
	for i := range p {
		p[i] = 1 + 9*p[i]
	}
	_, ok = spacing(p, 0.37, 2)
	assert.True(t, ok)
	_, ok = spacing(p, 0.33, 2)
	assert.False(t, ok)
}

// waved rolls along rows and down columns alike, k radians a cell. Second differences of a
// wave over a span s are 4 sin²(ks/2) of it, so their mean square grows by 16 cos⁴(ks/2) as
// the span doubles.
func waved(t *testing.T, cellM, k float64) *terrain.Grid {
	return gridOf(t, 300, 300, cellM, func(c, r int) float64 { return 100 + math.Sin(k*float64(c)) + math.Sin(k*float64(r)) })
}

// bowled bends evenly, by 2a a cell both ways, under a ripple of ±n: mean squares are
// 4a² + 16n², then 64a², and 16 times as much for every span more.
func bowled(t *testing.T, along, down float64) *terrain.Grid {
	const a = 1.0 / 64
	ripple := func(i int, by float64) float64 { return a * by * float64(1-i%2*2) }
	return gridOf(t, 160, 160, 2, func(c, r int) float64 {
		return 100 + a*float64(c*c+r*r) + ripple(c, along) + ripple(r, down)
	})
}

// From one cell to two the bend grows 13 times, from two to four 9 times, on ground that
// was resampled smoothly; the cell is the span at which it falls below 8.
func TestSmoothnessFromItsLimits(t *testing.T) {
	// 64/(4 + 16n²/a²): 13.4 at 0.22, 12.8 at 0.25.
	for _, c := range []struct {
		along, down float64
		smooth      bool
	}{{0, 0, true}, {0.22, 0.22, true}, {0.25, 0, false}, {0, 0.25, false}} {
		got, smooth := bySmoothness(bowled(t, c.along, c.down))
		assert.Equal(t, c.smooth, smooth, "%+v", c)
		if smooth {
			assert.Equal(t, resampling{CellM: [2]float64{32, 32}, Cells: 160 * 160, kind: DoubtSmooth}, got, "16 cells of 2 m, the longest looked at")
		}
	}
	// 16 cos⁴ k: 9.3 at 0.51, 8.7 at 0.54; 16 cos⁴ 2k: 8.2 at 0.28, 7.8 at 0.29.
	for k, cells := range map[float64]float64{0.51: 4, 0.54: 0, 0.28: 8, 0.29: 4, 0.14: 16} {
		got, smooth := bySmoothness(waved(t, 3, k))
		require.Equal(t, cells > 0, smooth, "%g", k)
		if smooth {
			assert.InDelta(t, 3*cells, got.CellM[0], 1e-9, "%g", k)
			assert.InDelta(t, 3*cells, got.CellM[1], 1e-9, "%g", k)
		}
	}
	_, smooth := bySmoothness(gridOf(t, 160, 160, 2, func(c, r int) float64 { return 100 + float64(c) }))
	assert.False(t, smooth, "a plane does not bend")
}

// A span is looked at where the grid is eight times as long, voids passed over.
func TestBendsOfAParabola(t *testing.T) {
	g := gridOf(t, 64, 40, 1, func(c, r int) float64 { return 100 + float64(c*c)/16 })
	assert.Equal(t, []float64{1.0 / 64, 0.25, 4, 64}, bends(g, false, longestBend), "(2/16)², 16 times as much each span; 64 cells hold a span of 8")
	assert.Equal(t, []float64{0, 0, 0}, bends(g, true, longestBend), "40 rows hold a span of 4")
	for i := range g.Z[:64*20] {
		g.Z[i] = float32(math.NaN())
	}
	assert.Equal(t, []float64{1.0 / 64, 0.25}, bends(g, false, 2))
}

// Three quarters of a tile's bands must show the pattern: blocks of five cells on three or
// on two of four.
func TestThreeQuartersOfTheBandsAgree(t *testing.T) {
	for bands, found := range map[int]bool{4: true, 3: true, 2: false} {
		g := gridOf(t, 256, 256, 2, func(c, r int) float64 {
			if r/64 < bands {
				return 100 + 3*float64(c/5%7)
			}
			return 100 + 0.01*float64(c*c%31)
		})
		k, ok := period(g, 0, 0, 256, 256, 1, false, quietBlocks, leastBlock)
		require.Equal(t, found, ok, "%d bands", bands)
		if found {
			assert.Equal(t, 5.0, k)
		}
	}
}
