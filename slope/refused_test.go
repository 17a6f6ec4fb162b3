package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// What a field must be, at each of its bounds: slices are nil or one value a cell, Squared
// is never nil, Step goes with RoughSquared. A column and no row are the least.
func TestFieldsAtTheirBounds(t *testing.T) {
	six, five := make([]float32, 6), make([]float32, 5)
	half := math.MaxInt32 / 2 // rows of two columns
	for name, c := range map[string]struct {
		f    *Field
		want string
	}{
		"none":             {nil, "there are no slopes"},
		"no column":        {&Field{Cols: 0, Rows: 0}, "slopes of 0 columns × 0 rows"},
		"a column":         {&Field{Cols: 1, Rows: 6, Squared: six}, ""},
		"no row":           {&Field{Cols: 6, Rows: 0}, ""},
		"less than no row": {&Field{Cols: 6, Rows: -1}, "slopes of 6 columns × -1 rows"},
		"as many as count": {&Field{Cols: 2, Rows: half}, "of Squared there are 0 values, of Step 0 and of RoughSquared 0, for 2147483646 cells"},
		"more than count":  {&Field{Cols: 2, Rows: half + 1}, "slopes of 2 columns × 1073741824 rows"},
		"all of it":        {&Field{Cols: 3, Rows: 2, Squared: six, Aspect: make([]uint8, 6), UpperSquared: six, RoughSquared: six, Step: six}, ""},
		"no slopes":        {&Field{Cols: 3, Rows: 2}, "of Squared there are 0 values, of Step 0 and of RoughSquared 0, for 6 cells"},
		"too few slopes":   {&Field{Cols: 3, Rows: 2, Squared: five}, "of Squared there are 5 values, of Step 0 and of RoughSquared 0, for 6 cells"},
		"aspects":          {&Field{Cols: 3, Rows: 2, Squared: six, Aspect: make([]uint8, 5)}, "Aspect has 5 values for 6 cells"},
		"upper slopes":     {&Field{Cols: 3, Rows: 2, Squared: six, UpperSquared: five}, "UpperSquared has 5 values for 6 cells"},
		"roughness":        {&Field{Cols: 3, Rows: 2, Squared: six, RoughSquared: five, Step: five}, "RoughSquared has 5 values for 6 cells"},
		"steps":            {&Field{Cols: 3, Rows: 2, Squared: six, RoughSquared: six, Step: five}, "Step has 5 values for 6 cells"},
		"roughness alone":  {&Field{Cols: 3, Rows: 2, Squared: six, RoughSquared: six}, "of Squared there are 6 values, of Step 0 and of RoughSquared 6, for 6 cells"},
	} {
		if err := c.f.Check(); c.want == "" {
			assert.NoError(t, err, name)
		} else {
			assert.EqualError(t, err, c.want, name)
		}
	}
}

// Rows and Planes take the rows that both the grid and the field have, and say which they
// lack; no row at all is nothing to do.
func TestRowsThatAFieldCannotTake(t *testing.T) {
	g := surface(t, 5, 6, 1, func(x, y float64) float64 { return 0.1 * x * y })
	field := func(cols, rows, row0 int) *Field {
		f := &Field{Cols: cols, Rows: rows, Row0: row0, Squared: make([]float32, cols*rows)}
		f.AddRelief()
		return f
	}
	for name, c := range map[string]struct {
		r0, r1 int
		f      *Field
		want   string
	}{
		"all":                   {0, 6, field(5, 6, 0), ""},
		"none":                  {3, 3, field(5, 6, 0), ""},
		"before the grid":       {-1, 6, field(5, 8, -1), "rows -1 to 6 of a grid of 6"},
		"past the grid":         {0, 7, field(5, 8, 0), "rows 0 to 7 of a grid of 6"},
		"backward":              {4, 3, field(5, 6, 0), "rows 4 to 3 of a grid of 6"},
		"those of a part":       {2, 5, field(5, 3, 2), ""},
		"before the part":       {1, 5, field(5, 3, 2), "the field has no room for rows 1 to 5 of 5 cells"},
		"past the part":         {2, 6, field(5, 3, 2), "the field has no room for rows 2 to 6 of 5 cells"},
		"a narrower field":      {0, 6, field(4, 6, 0), "the field has no room for rows 0 to 6 of 5 cells"},
		"a wider field":         {0, 6, field(6, 6, 0), "the field has no room for rows 0 to 6 of 5 cells"},
		"no field":              {0, 6, nil, "the field has no room for rows 0 to 6 of 5 cells"},
		"a field of no slopes":  {0, 6, &Field{Cols: 5, Rows: 6}, "of Squared there are 0 values, of Step 0 and of RoughSquared 0, for 30 cells"},
		"a field without steps": {0, 6, &Field{Cols: 5, Rows: 6, Squared: make([]float32, 30), RoughSquared: make([]float32, 30)}, "of Squared there are 30 values, of Step 0 and of RoughSquared 30, for 30 cells"},
	} {
		for _, err := range []error{Rows(g, c.r0, c.r1, c.f), Planes(g, Footprint{1, 1}, 0, c.r0, c.r1, c.f)} {
			if c.want == "" {
				assert.NoError(t, err, name)
			} else {
				assert.EqualError(t, err, c.want, name)
			}
		}
	}
	short := *g
	short.Z = short.Z[:29]
	const unfilled = "29 heights do not fill 5 columns × 6 rows, 5 apart"
	assert.EqualError(t, Rows(&short, 0, 6, field(5, 6, 0)), unfilled)
	assert.EqualError(t, Planes(&short, Footprint{1, 1}, 0, 0, 6, field(5, 6, 0)), unfilled)
	f, err := Of(&short)
	assert.Nil(t, f)
	assert.EqualError(t, err, unfilled)
}

// A footprint is 3 to 33 cells each way, steps are told apart from 0 m on, and relief needs room.
func TestWhatPlanesRefuse(t *testing.T) {
	g := surface(t, 40, 40, 1, func(x, y float64) float64 { return 0.25*x + 0.5*y })
	for _, c := range []struct {
		f    Footprint
		want string
	}{
		{Footprint{1, 2}, ""}, {Footprint{2, 1}, ""}, {Footprint{16, 1}, ""}, {Footprint{1, 16}, ""},
		{Footprint{0, 3}, "a footprint of 1 × 7 cells; write 3 to 33 each way"},
		{Footprint{2, 0}, "a footprint of 5 × 1 cells; write 3 to 33 each way"},
		{Footprint{17, 2}, "a footprint of 35 × 5 cells; write 3 to 33 each way"},
		{Footprint{3, 17}, "a footprint of 7 × 35 cells; write 3 to 33 each way"},
	} {
		f := reliefField(g)
		err := Planes(g, c.f, 0.5, 0, 40, f)
		if c.want != "" {
			assert.EqualError(t, err, c.want)
			continue
		}
		assert.NoError(t, err)
		assert.InDelta(t, 0.3125, f.Squared[20*40+20], 1e-6)
	}
	assert.EqualError(t, Planes(g, Footprint{1, 1}, 0, 0, 40, NewField(g)), "the field has no room for relief: see AddRelief")
	assert.EqualError(t, Planes(g, Footprint{1, 1}, -0.5, 0, 40, reliefField(g)), "steps of -0.5 m to be told apart; write 0 m or more")
	assert.EqualError(t, Planes(g, Footprint{1, 1}, math.NaN(), 0, 40, reliefField(g)), "steps of NaN m to be told apart; write 0 m or more")
}

// An error of heights is 0 m or more, or nobody knows it; a range is a number, below 0 where
// nobody knows it.
func TestNoiseAtItsBounds(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	const sigma, reach = "; an error of heights is 0 m or more, or NaN where nobody knows it", "; write meters on the ground, or RangeUnknown"
	for _, c := range []struct {
		n    Noise
		want string
	}{
		{Noise{SigmaM: 0, RangeM: RangeUnknown}, ""}, {Noise{SigmaM: nan, RangeM: 0}, ""}, {Noise{SigmaM: 0.1, RangeM: 7}, ""},
		{Noise{SigmaM: -0.1, RangeM: 2}, "SigmaM is -0.1" + sigma}, {Noise{SigmaM: inf, RangeM: 2}, "SigmaM is +Inf" + sigma}, {Noise{SigmaM: -inf, RangeM: 2}, "SigmaM is -Inf" + sigma},
		{Noise{SigmaM: 0.1, RangeM: nan}, "RangeM is NaN" + reach}, {Noise{SigmaM: 0.1, RangeM: inf}, "RangeM is +Inf" + reach}, {Noise{SigmaM: 0.1, RangeM: -inf}, "RangeM is -Inf" + reach},
	} {
		if err := c.n.Check(); c.want == "" {
			assert.NoError(t, err)
		} else {
			assert.EqualError(t, err, c.want)
		}
	}
}

// Certainty is below 1, and ground on its limit is not below it, however good its heights.
func TestCertaintyAtItsBounds(t *testing.T) {
	exact := Cov{Metric: terrain.Metric{A: 1, C: 1}}
	assert.True(t, exact.SurelyBelow(0.25, 0.26, 0.9))
	assert.False(t, exact.SurelyBelow(0.25, 0.25, 0.9))
	for _, certainty := range []float64{1, 1.05, 0.49, math.NaN()} {
		z, k := quantiles(certainty)
		assert.True(t, math.IsNaN(z) && math.IsNaN(k), "%g", certainty)
	}
	z, k := quantiles(0.5)
	assert.Zero(t, z)
	assert.InDelta(t, 2*math.Ln2, k, 1e-12, "the median of a Rayleigh distribution, squared")
}
