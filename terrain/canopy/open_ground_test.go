package canopy

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
)

// samplesOf are n samples each of a slope and a difference, on the cell (1, 1).
func samplesOf(n int, tan, dh float64) []sample {
	out := make([]sample, n)
	for i := range out {
		out[i] = sample{col: 1, row: 1, Tan: tan, Dh: dh}
	}
	return out
}

// Open ground is looked for on ground gentler than 10%; on all of it where that is less than
// 400 cells.
func TestOpenGroundIsGentle(t *testing.T) {
	o := newOverlay(gridOf(t, 3, 3, 1, func(c, r int) float64 { return 300 }), gridOf(t, 3, 3, 1, func(c, r int) float64 { return 300 }))
	for few, offset := range map[int]float64{400: 1, 399: 0} {
		var r GrowthReport
		r.findOpen(o, append(samplesOf(few, 0.0999, 1), samplesOf(800, 0.1, 0)...), 0.1)
		assert.Equal(t, offset, r.OffsetM, few)
	}
}

// Heights over heights are told from 5 m above or below the sea on, and lie together within
// a hundredth.
func TestRatioOfHeights(t *testing.T) {
	ratio := func(groundM float64, all []sample) float64 {
		flat := gridOf(t, 3, 3, 1, func(c, r int) float64 { return groundM })
		flat.Z0 = 0
		for i := range flat.Z {
			flat.Z[i] = float32(groundM)
		}
		var r GrowthReport
		r.findOpen(newOverlay(flat, flat), all, 0.1)
		return r.Ratio
	}
	one := samplesOf(400, 0.01, 1)
	assert.InDelta(t, 1.2, ratio(5, one), 1e-12)
	assert.InDelta(t, 0.8, ratio(-5, one), 1e-12)
	assert.True(t, math.IsNaN(ratio(4.9, one)))
	assert.True(t, math.IsNaN(ratio(-4.9, one)))
	assert.InDelta(t, 1, ratio(100, append(samplesOf(600, 0.01, 0), samplesOf(600, 0.01, 1.05)...)), 1e-12)
	assert.InDelta(t, 1.0095, ratio(100, append(samplesOf(600, 0.01, 0), samplesOf(600, 0.01, 0.95)...)), 1e-12)
}

// Open are the cells within three times the spread around the crowd, and within 3 cm at
// least, the tie among them.
func TestOpenOf(t *testing.T) {
	open := func(all []sample) int { return len(openOf(all, nil, 0.1)) }
	with := func(n int, dh float64, others ...float64) []sample {
		all := samplesOf(n, 0.1, dh)
		for _, d := range others {
			all = append(all, sample{Dh: d})
		}
		return all
	}
	assert.Equal(t, 402, open(with(400, 5, 5.029, 4.971, 5.032, 4.968, math.NaN(), -5)))
	assert.Equal(t, 401, open(with(400, 0, 0.03)))
	assert.Zero(t, open(with(399, 0)), "too few for a crowd")
	var even []sample
	for i := range 1001 {
		even = append(even, sample{Dh: float64(i) / 1000})
	}
	c, ok := lowestCrowd([]float64{}, 2)
	require.False(t, ok)
	assert.Zero(t, c)
	assert.Len(t, openOf(append(even, sample{Dh: 1.6}, sample{Dh: 1.64}), nil, 2), 1002, "0.5 and 3 × 1.4826 × 0.25 m")
}

// What is swapped, on both sides of each limit: a twentieth more than 2 m below, five times
// what stands 2 m above, a twentieth within 1 m, of 30 cells at least.
func TestSwappedFromItsLimits(t *testing.T) {
	for name, c := range map[string]struct {
		sunk, risen, level, between int
		swapped                     bool
	}{
		"at its limits":       {5, 1, 5, 89, true},
		"less sunk":           {4, 0, 5, 91, false},
		"more risen":          {5, 2, 5, 88, false},
		"ten and two":         {10, 2, 5, 83, true},
		"less level":          {5, 1, 4, 90, false},
		"of 30 cells":         {2, 0, 2, 26, true},
		"of 29":               {2, 0, 2, 25, false},
		"nothing":             {0, 0, 0, 0, false},
		"nothing sunk at all": {0, 0, 50, 50, false},
	} {
		all := append(samplesOf(c.sunk, 0, -2.01), samplesOf(c.risen, 0, 2.01)...)
		all = append(append(all, samplesOf(c.level, 0, -0.99)...), samplesOf(c.between, 0, -2)...)
		var r GrowthReport
		r.findSunk(all)
		assert.Equal(t, c.swapped, r.Swapped, name)
		n := float64(max(len(all), 1))
		assert.Equal(t, []float64{float64(c.sunk) / n, float64(c.risen) / n}, []float64{r.Sunk, r.Risen}, name)
	}
	var r GrowthReport
	r.findSunk(append(samplesOf(10, 0, -3), append(samplesOf(5, 0, 1), samplesOf(25, 0, 2)...)...))
	assert.False(t, r.Swapped, "1 m is not level, 2 m not risen")
	r.findSunk(append(samplesOf(10, 0, -3), append(samplesOf(5, 0, 0.99), samplesOf(25, 0, 2)...)...))
	assert.True(t, r.Swapped)
	assert.Zero(t, r.Risen)
	r.findSunk(append(samplesOf(10, 0, -3), append(samplesOf(5, 0, -1), samplesOf(25, 0, 2)...)...))
	assert.False(t, r.Swapped)
}

// Of one cell: below by more than the error, level within a foot, the ties among those that
// are not told and those that are.
func TestCountOfACell(t *testing.T) {
	r := GrowthReport{BelowM: 0.5}
	for _, d := range []float64{-0.5, -0.51, 0.3048, -0.3048, 0.305, 0, math.NaN()} {
		r.count(d)
	}
	assert.Equal(t, []int{7, 1, 1, 3, 1}, []int{r.Cells, r.Void, r.Below, r.Level, r.Equal})
}

func TestWordsOfAReport(t *testing.T) {
	swapped := sound(func(r *GrowthReport) { r.Swapped, r.Sunk, r.Risen = true, 0.25, 0.05 })
	assert.Contains(t, swapped.Refusal(), "on 25% of the cells, and above it on 5%")
	off := sound(func(r *GrowthReport) {
		r.Registration = Registration{Known: true, Cols: 0.6, M: 1.2, Cells: 300, ErrorCells: 0.01, BeforeM: 2, AfterM: 0.5}
	})
	assert.Contains(t, off.Warnings(measure.US)[0], "agrees to 0.5 m instead of 2 m")
	assert.Equal(t, "cell by cell", GrowthReport{Laying: CellByCell}.LayingWords())
	assert.Equal(t, "the greatest in each cell of its cells of 1 × 2 m", GrowthReport{Laying: GreatestInCell, CellM: [2]float64{1, 2}}.LayingWords())
	assert.Empty(t, GrowthReport{OffsetM: 0, Registration: Registration{Known: true}}.Warnings(measure.US), "no cells, no share of them")
	assert.False(t, Registration{Known: true, Cols: 0.6, BeforeM: 2, AfterM: 1.9}.Off())
	assert.True(t, Registration{Known: true, Cols: 0.6, BeforeM: 2, AfterM: 1.7}.Off())
	ground := gridOf(t, 60, 60, 2, func(c, r int) float64 { return 300 })
	_, r := measured(t, ground, gridOf(t, 30, 30, 4, func(c, r int) float64 { return 300 }), nil)
	assert.False(t, r.Coarse, "twice the cell is not coarse yet")
}
