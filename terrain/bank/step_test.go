package bank_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/bank"
)

// A vertical bank is found on all of its length whichever way it runs, with its height, its
// upper edge on the side that is higher.
func TestBanksWhicheverWayTheyRun(t *testing.T) {
	for _, cellM := range []float64{1, 2, 3} {
		const side = 80
		for degrees := 0.0; degrees < 360; degrees += 25 {
			sideM := side * cellM
			g := made(t, side, cellM, func(x, y float64) float64 {
				if across(x, y, sideM, degrees) < 0 {
					return rolling(x, y) + 3*foot
				}
				return rolling(x, y)
			})
			cells, sum := 0, 0.0
			for _, b := range find(t, g, bank.Options{}) {
				at := func(cell int) float64 {
					return across((float64(cell%side)+0.5)*cellM, (float64(cell/side)+0.5)*cellM, sideM, degrees)
				}
				if math.Abs(at(b.Cell)) > 2*cellM {
					continue
				}
				cells, sum = cells+1, sum+b.HeightM
				assert.Equal(t, bank.Step, b.Kind)
				assert.Less(t, at(b.Upper), at(b.Foot), "%g m, %g°: the upper edge", cellM, degrees)
				assert.InDelta(t, 0, at(b.Upper)+at(b.Foot), 4*cellM, "either side of the line")
				assert.LessOrEqual(t, b.LowM, b.HeightM)
				assert.GreaterOrEqual(t, b.HighM, b.HeightM)
				assert.False(t, b.Hidden)
			}
			// The line is 80 cells long, or more aslant; 4 at either end have no whole disc.
			assert.GreaterOrEqual(t, cells, 66, "%g m, %g°", cellM, degrees)
			assert.InDelta(t, 3*foot, sum/float64(cells), 0.3*foot, "%g m, %g°", cellM, degrees)
		}
	}
}

// What slope shows in full is no bank: a rounded slope leaves a quadratic surface as a step does.
func TestSlopesAreNoBanks(t *testing.T) {
	for name, height := range map[string]func(x, y float64) float64{
		"rolling ground":              rolling,
		"a plane of 120%":             func(x, y float64) float64 { return 1.2 * x },
		"a rounded slope over 12 m":   func(x, _ float64) float64 { return 1.5 * math.Tanh((x-40)/5) },
		"6 ft over 6 m":               func(x, _ float64) float64 { return 6 * foot * max(0, min(1, (x-37)/6)) },
		"the crest of a slope of 60%": func(x, _ float64) float64 { return -0.6 * max(0, x-40) },
		"13 in":                       func(x, _ float64) float64 { return 13 * 0.0254 * min(1, max(0, math.Ceil(x-40))) },
	} {
		assert.Empty(t, find(t, made(t, 80, 1, height), bank.Options{}), name)
	}
}

// A ditch is told with its depth; its walls are no banks beside it, and the foot of a bank is
// no ditch.
func TestDitches(t *testing.T) {
	banks := find(t, made(t, 80, 1, func(x, y float64) float64 {
		if math.Abs(across(x, y, 80, 20)) < 1 {
			return rolling(x, y) - 3*foot
		}
		return rolling(x, y)
	}), bank.Options{})
	ditches, depth := 0, 0.0
	for _, b := range banks {
		if b.Kind == bank.Ditch {
			ditches, depth = ditches+1, depth+b.HeightM
		}
	}
	require.GreaterOrEqual(t, ditches, 66)
	assert.LessOrEqual(t, len(banks)-ditches, ditches/4)
	assert.InDelta(t, 3*foot, depth/float64(ditches), 0.5*foot)

	// A draw that a machine drives through: 3 ft over 4 m on either side.
	assert.Empty(t, find(t, made(t, 80, 1, func(x, _ float64) float64 { return -max(0, 3*foot-0.23*math.Abs(x-40)) }), bank.Options{}))
}

// Coarse cells draw a low face out into a slope: a bank is likely there, and holds nobody.
func TestBanksThatCoarseCellsHide(t *testing.T) {
	step := func(ft, sideM float64) func(x, y float64) float64 {
		return func(x, y float64) float64 {
			if across(x, y, sideM, 20) < 0 {
				return rolling(x, y) + ft*foot
			}
			return rolling(x, y)
		}
	}
	for _, c := range []struct {
		cellM, ft float64
		hidden    bool
	}{{1, 2, false}, {2, 2, true}, {2, 4, false}, {3, 2, true}, {3, 4, false}, {10, 5, true}, {10, 9, false}} {
		flat := step(c.ft, 80*c.cellM)
		if c.cellM == 10 { // waves shorter than the disc would hide it
			flat = func(x, y float64) float64 { return step(c.ft, 800)(x, y) - rolling(x, y) + 0.1*x }
		}
		banks := find(t, made(t, 80, c.cellM, flat), bank.Options{})
		require.NotEmpty(t, banks, "%g ft at %g m", c.ft, c.cellM)
		for _, b := range banks {
			require.Equal(t, c.hidden, b.Hidden, "%g ft at %g m: %.2f to %.2f m", c.ft, c.cellM, b.LowM, b.HighM)
		}
	}
}

// A gap of 25 ft in a bank, ramped down, where machines get through, stays one.
func TestGapsInBanksStayOpen(t *testing.T) {
	banks := find(t, made(t, 80, 1, func(x, y float64) float64 {
		if math.Abs(x-40) < 12.5*foot {
			return 4 * foot * max(0, min(1, (60-y)/40))
		}
		if y < 40 {
			return 4 * foot
		}
		return 0
	}), bank.Options{})
	require.Greater(t, len(banks), 50)
	for _, b := range banks {
		if r := b.Cell / 80; r > 36 && r < 44 {
			assert.Greater(t, math.Abs(float64(b.Cell%80)+0.5-40), 1.5, "column %d, row %d", b.Cell%80, r)
		}
	}
}
