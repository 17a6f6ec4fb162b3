package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// Each figure of the ground is checked by itself, with all others in order, and told.
func TestEachFigureOfTheGroundIsChecked(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		spoil func(g *Ground)
		words string // none where the ground is in order
	}{
		"as it is":         {func(g *Ground) {}, ""},
		"a post":           {func(g *Ground) { g.Posts = []Post{{Cells: []int{0, 24}}} }, ""},
		"its weight":       {func(g *Ground) { g.Posts = []Post{{WeightKg: -1, WidthM: 2, HeightM: 3}} }, "posted -1 kg, 2 m wide, 3 m high"},
		"its width":        {func(g *Ground) { g.Posts = []Post{{WeightKg: 1, WidthM: -2, HeightM: 3}} }, "posted 1 kg, -2 m wide, 3 m high"},
		"its height":       {func(g *Ground) { g.Posts = []Post{{WeightKg: 1, WidthM: 2, HeightM: -3}} }, "posted 1 kg, 2 m wide, -3 m high"},
		"no weight":        {func(g *Ground) { g.Posts = []Post{{WeightKg: nan}} }, "posted NaN kg"},
		"no width":         {func(g *Ground) { g.Posts = []Post{{WidthM: nan}} }, "NaN m wide"},
		"no height":        {func(g *Ground) { g.Posts = []Post{{HeightM: nan}} }, "NaN m high"},
		"before the first": {func(g *Ground) { g.Posts = []Post{{Cells: []int{3, -1}}} }, "a gate or bridge lies on cell -1 of 25: off the window"},
		"beyond the last":  {func(g *Ground) { g.Posts = []Post{{Cells: []int{25}}} }, "a gate or bridge lies on cell 25 of 25: off the window"},
		"edges":            {func(g *Ground) { g.Edges = []Edge{{Cell: 0}, {Cell: 24, DropM: 2}} }, ""},
		"an edge before":   {func(g *Ground) { g.Edges = []Edge{{Cell: -1, DropM: 2}} }, "an edge of 2 m lies on cell -1 of 25: no drop-off of this window"},
		"an edge beyond":   {func(g *Ground) { g.Edges = []Edge{{Cell: 25, DropM: 2, LowM: 1}} }, "an edge of 2 m lies on cell 25 of 25: no drop-off of this window"},
		"an edge up":       {func(g *Ground) { g.Edges = []Edge{{Cell: 3, DropM: -1}} }, "an edge of -1 m lies on cell 3 of 25: no drop-off of this window"},
		"an endless edge":  {func(g *Ground) { g.Edges = []Edge{{Cell: 3, DropM: inf}} }, "an edge of +Inf m lies on cell 3 of 25: no drop-off of this window"},
		"staging":          {func(g *Ground) { g.Staging = [][]int{{0, 24}} }, ""},
		"staging before":   {func(g *Ground) { g.Staging = [][]int{{0}, {3, -1}} }, "staging 2 lies on cell -1 of 25: off the window"},
		"staging beyond":   {func(g *Ground) { g.Staging = [][]int{{25}} }, "staging 1 lies on cell 25 of 25: off the window"},
		"loads":            {func(g *Ground) { g.Staging, g.Unloads = [][]int{{0}}, []zoning.Mask{1} }, ""},
		"loads for none":   {func(g *Ground) { g.Unloads = []zoning.Mask{1, 1} }, "there are 2 Unloads for 0 places of staging; nil is all machines"},
		"other columns":    {func(g *Ground) { g.Field.Cols = 4 }, "the slopes are not those of the grid's 5 × 5 cells"},
		"other rows":       {func(g *Ground) { g.Field.Rows = 4 }, "the slopes are not those of the grid's 5 × 5 cells"},
		"another first":    {func(g *Ground) { g.Field.Row0 = 1 }, "the slopes are not those of the grid's 5 × 5 cells"},
		"too few slopes":   {func(g *Ground) { g.Field.Squared = g.Field.Squared[:24] }, "the slopes are not those of the grid's 5 × 5 cells"},
		"aspect":           {func(g *Ground) { g.Field.Aspect = g.Field.Aspect[:3] }, "Field.Aspect has 3 values for 25 cells; nil says nothing of any"},
		"setbacks":         {func(g *Ground) { g.Setback = make([]bool, 3) }, "Setback has 3 values for 25 cells; nil says nothing of any"},
		"soft ground":      {func(g *Ground) { g.BearsKPa = make([]float32, 3) }, "BearsKPa has 3 values for 25 cells; nil says nothing of any"},
		"leave trees":      {func(g *Ground) { g.Keep = make([]bool, 3) }, "Keep has 3 values for 25 cells; nil says nothing of any"},
		"stems":            {func(g *Ground) { g.StemsM = make([]float32, 3) }, "StemsM has 3 values for 25 cells; nil says nothing of any"},
		"nothing at all":   {func(g *Ground) { g.StepM, g.Keep, g.StemsM = nil, nil, nil }, ""},
	} {
		g := level(t, 5, 5, 1)
		c.spoil(g)
		if c.words == "" {
			assert.NoError(t, g.Check(), name)
		} else {
			assert.ErrorContains(t, g.Check(), c.words, name)
		}
	}
	for cellM, ok := range map[float64]bool{0.0402: true, 0.0398: false} {
		for _, side := range [][2]float64{{cellM, 1}, {1, cellM}} {
			g := on(must(terrain.NewGrid(make([]float32, 25), 5, 5, side[0], side[1])))
			if ok {
				assert.NoError(t, g.Check())
			} else {
				assert.ErrorIs(t, g.Check(), coverage.ErrCellSize)
			}
		}
	}
}

// A bank's height lies in a range of its own, its cells on the window.
func TestEachFigureOfABankIsChecked(t *testing.T) {
	g := level(t, 5, 5, 1).Grid
	for _, c := range []struct {
		b     bank.Bank
		words string
	}{
		{bank.Bank{Cell: 0, Upper: 24, Foot: 3, HeightM: 1, LowM: 1, HighM: 1}, ""},
		{bank.Bank{Cell: 24, Upper: 0, Foot: 24}, ""},
		{bank.Bank{Cell: 25}, "a bank lies on cell 25 of 25: it is none of this window"},
		{bank.Bank{Upper: 25}, "a bank lies on cell 25 of 25: it is none of this window"},
		{bank.Bank{Foot: -1}, "a bank lies on cell -1 of 25: it is none of this window"},
		{bank.Bank{Cell: 3, HeightM: 1, LowM: -0.1, HighM: 2}, "a bank of 1 m, -0.1 to 2 m, on cell 3: its height lies in no range of its own"},
		{bank.Bank{Cell: 3, HeightM: 1, LowM: 1.1, HighM: 2}, "a bank of 1 m, 1.1 to 2 m, on cell 3: its height lies in no range of its own"},
		{bank.Bank{Cell: 3, HeightM: 1, LowM: 0.5, HighM: 0.9}, "a bank of 1 m, 0.5 to 0.9 m, on cell 3: its height lies in no range of its own"},
		{bank.Bank{Cell: 3, HeightM: 1, LowM: 0.5, HighM: math.Inf(1)}, "a bank of 1 m, 0.5 to +Inf m, on cell 3: its height lies in no range of its own"},
	} {
		if err := checkBanks(g, []bank.Bank{{}, c.b}); c.words == "" {
			assert.NoError(t, err, "%+v", c.b)
		} else {
			assert.EqualError(t, err, c.words)
		}
	}
}

// What is posted holds the machine that is above it, by any one figure, and the one whose weight or
// height nobody knows; one of no width fits anywhere.
func TestEachFigureOfAPostHolds(t *testing.T) {
	m := zoning.Machine{WeightKg: 20000, WidthM: 3, HeightM: 4}
	for _, c := range []struct {
		p            Post
		m            zoning.Machine
		posted, bars bool
	}{
		{Post{}, m, false, false},
		{Post{WeightKg: 20000}, m, true, false},
		{Post{WeightKg: 19999}, m, true, true},
		{Post{WidthM: 3}, m, true, false},
		{Post{WidthM: 2.99}, m, true, true},
		{Post{HeightM: 4}, m, true, false},
		{Post{HeightM: 3.99}, m, true, true},
		{Post{WeightKg: 20000}, zoning.Machine{WidthM: 3, HeightM: 4}, true, true},
		{Post{HeightM: 4}, zoning.Machine{WeightKg: 1, WidthM: 3}, true, true},
		{Post{WidthM: 2}, zoning.Machine{WeightKg: 1, HeightM: 3}, true, false},
	} {
		assert.Equal(t, c.posted, c.p.Posted(), "%+v", c.p)
		assert.Equal(t, c.bars, c.p.Bars(c.m), "%+v, %+v", c.p, c.m)
	}
	assert.False(t, over(40000*(1+0.9e-9), 40000), "rounding is not weight")
	assert.True(t, over(40000*(1+1.05e-9), 40000))
}

// A bank above the machine's step holds it, and so does what step and roughness forbid; either may
// be known alone, and a machine without a step crosses every bank.
func TestWhatIsTooGreatAStep(t *testing.T) {
	steps, firm := []float32{0.4, 0.5, 0.6, 0.4}, []zoning.Mask{0b11, 0b11, 0b11, 0b01}
	for name, c := range map[string]struct {
		steps []float32
		firm  []zoning.Mask
		stepM float64
		held  []int // nil where nobody is asked
	}{
		"neither":              {nil, nil, 0.5, nil},
		"no step of its own":   {steps, nil, 0, nil},
		"banks alone":          {steps, nil, 0.5, []int{2}},
		"firm alone":           {nil, firm, 0.5, []int{3}},
		"both":                 {steps, firm, 0.5, []int{2, 3}},
		"firm, and no step":    {steps, firm, 0, []int{3}},
		"lower than all banks": {steps, firm, 0.3, []int{0, 1, 2, 3}},
	} {
		holds := tooGreatAStep(Asked{Ground: &Ground{StepM: c.steps, Firm: c.firm}, Machine: zoning.Machine{StepM: c.stepM}, Index: 1})
		if c.held == nil {
			assert.Nil(t, holds, name)
			continue
		}
		var held []int
		for i := range 4 {
			if holds(i) {
				held = append(held, i)
			}
		}
		assert.Equal(t, c.held, held, name)
	}
}
