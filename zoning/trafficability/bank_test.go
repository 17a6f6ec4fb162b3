package trafficability

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/bank"
	"github.com/acreband/acreband/zoning"
)

// banked is level ground that falls by a height between two rows of cells, each the mean of its
// square, with what was found of the bank.
func banked(t *testing.T, cellM, heightM float64) *Ground {
	t.Helper()
	g := made(t, 60, 60, cellM, cellM, func(x, y float64) float64 {
		// The line runs through the middle of row 29.
		return heightM*max(0, min(1, 30-y/cellM)) + 0.02*x
	})
	banks := must(bank.Find(context.Background(), g.Grid, bank.Options{}))
	require.NotEmpty(t, banks)
	g.Edges, g.StepM = must(DropOffs(context.Background(), g.Grid, banks)), StepsOf(g.Grid, banks)
	return g
}

// A vertical bank of 3 ft on cells of 2 and 3 m is a slope that no limit stops: no machine was
// held to its step, and none kept back.
func TestBanksHoldMachines(t *testing.T) {
	for _, cellM := range []float64{2, 3} {
		g := banked(t, cellM, 3*foot)
		low := zoning.Machine{Key: "low", LimitPct: 60, StepM: 18 * 0.0254, WidthM: 2, FootprintM: 3}
		any := zoning.Machine{Key: "any", LimitPct: 60, WidthM: 2, FootprintM: 3}
		w := find(g, low, any)
		for c := 6; c < 54; c++ {
			low, any := w.reasons(g, 0, c), w.reasons(g, 1, c)
			assert.Contains(t, low, zoning.TooGreatAStep, "%g m, column %d", cellM, c)
			assert.NotContains(t, any, zoning.TooGreatAStep, "a machine without a limit")
			assert.Contains(t, any, zoning.NearDropOff, "%g m, column %d", cellM, c)
			for r, why := range any {
				if why == zoning.NearDropOff {
					assert.InDelta(t, 28, r, 2.5, "%g m: only what is near, and above", cellM)
				}
			}
		}
		for _, e := range g.Edges {
			assert.InDelta(t, 3*foot, e.DropM, 0.6*foot)
			assert.LessOrEqual(t, e.LowM, e.DropM)
			assert.GreaterOrEqual(t, e.HighM, 3*foot)
		}
	}
}

// The face closes a line that no way leads through, be it aslant.
func TestBanksPartTheGround(t *testing.T) {
	g := made(t, 60, 60, 2, 2, func(x, y float64) float64 {
		return 4 * foot * max(0, min(1, (60-(0.6*x+0.8*y-20))/2+0.5))
	})
	banks := must(bank.Find(context.Background(), g.Grid, bank.Options{}))
	steps := StepsOf(g.Grid, banks)
	// From the north-west, as water runs, over what is closed to no one, away from the sides.
	seen, queue := make([]bool, 3600), []int{20*60 + 20}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		if c, r := i%60, i/60; c < 5 || r < 5 || c > 54 || r > 54 || seen[i] || steps[i] > 0 {
			continue
		}
		seen[i] = true
		queue = append(queue, i-1, i+1, i-60, i+60)
	}
	assert.True(t, seen[10*60+10])
	assert.False(t, seen[50*60+50], "beyond the bank")
}

// What is hidden holds no machine, and makes no edge.
func TestHiddenBanksHoldNobody(t *testing.T) {
	g := level(t, 20, 20, 2)
	hidden := []bank.Bank{{Cell: 210, Upper: 190, Foot: 230, HeightM: 1, LowM: 0.6, HighM: 1.4, Hidden: true}}
	assert.Nil(t, StepsOf(g.Grid, hidden))
	assert.Nil(t, StepsOf(g.Grid, nil))
	assert.Empty(t, must(DropOffs(context.Background(), g.Grid, hidden)))
}

// A bank is a drop-off where it may be 3 ft high; a ditch has an edge on either side.
func TestBanksThatAreDropOffs(t *testing.T) {
	g := level(t, 20, 20, 2)
	edges := func(b bank.Bank) []Edge { return must(DropOffs(context.Background(), g.Grid, []bank.Bank{b})) }
	b := bank.Bank{Cell: 210, Upper: 190, Foot: 230, HeightM: 0.8, LowM: 0.7, HighM: 0.9143}
	assert.Empty(t, edges(b))
	b.HighM = 0.92
	assert.Equal(t, []Edge{{Cell: 190, Foot: 230, DropM: 0.8, LowM: 0.7, HighM: 0.92}}, edges(b))
	b.Kind = bank.Ditch
	assert.Equal(t, []Edge{{Cell: 190, Foot: 210, DropM: 0.8, LowM: 0.7, HighM: 0.92}, {Cell: 230, Foot: 210, DropM: 0.8, LowM: 0.7, HighM: 0.92}}, edges(b))
	steps := StepsOf(g.Grid, []bank.Bank{b})
	for i, s := range steps {
		want := float32(0)
		if i == 190 || i == 210 || i == 230 {
			want = 0.8
		}
		assert.Equal(t, want, s, i)
	}
}

// Where the fall from cell to cell tells of an edge, that stands, with the range of the bank.
func TestRangeOfASteepDrop(t *testing.T) {
	g := step(t, 6*foot)
	without := must(DropOffs(context.Background(), g.Grid, nil))
	with := must(DropOffs(context.Background(), g.Grid, must(bank.Find(context.Background(), g.Grid, bank.Options{}))))
	require.Len(t, with, len(without))
	ranges := 0
	for i, e := range with {
		assert.Equal(t, without[i].Cell, e.Cell)
		assert.Equal(t, without[i].DropM, e.DropM)
		if e.HighM > 0 {
			ranges++
			assert.InDelta(t, e.DropM, (e.LowM+e.HighM)/2, 1e-9)
		}
	}
	assert.GreaterOrEqual(t, ranges, 10)
}

func TestBanksOfAnotherGridAreRefused(t *testing.T) {
	g := level(t, 5, 5, 1)
	for want, b := range map[string]bank.Bank{
		"a bank lies on cell 25 of 25": {Foot: 25, HeightM: 1, HighM: 1},
		"a bank lies on cell -1 of 25": {Upper: -1, HeightM: 1, HighM: 1},
		"in no range of its own":       {HeightM: 1, LowM: 1.1, HighM: 2},
		"a bank of NaN m":              {HeightM: math.NaN()},
	} {
		_, err := DropOffs(context.Background(), g.Grid, []bank.Bank{b})
		assert.ErrorContains(t, err, want)
	}
	g.StepM = make([]float32, 3)
	assert.ErrorContains(t, g.Check(), "StepM has 3 values for 25 cells")
}
