package terrain

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Cause: a frame of no place, of too few places or of more than memory panicked or took all
// of it.
func TestBrokenFramesAreErrors(t *testing.T) {
	sound := degrees(-111, 36, 1e-4)
	few := func(cells [][2]float64) ([][2]float64, error) { return make([][2]float64, len(cells)-1), nil }
	none := func([][2]float64) ([][2]float64, error) { return nil, nil }
	lost := errors.New("lost")
	for name, c := range map[string]struct {
		step, c0, r0, c1, r1 int
		locate               Locate
		says                 string
	}{
		"no locate":        {16, 0, 0, 9, 9, nil, "there is no Locate"},
		"too few places":   {16, 0, 0, 9, 9, few, "19 places for 20 cells"},
		"no places":        {16, 0, 0, 9, 9, none, "0 places for 20 cells"},
		"no step":          {0, 0, 0, 9, 9, sound, "no frame of step 0"},
		"a step back":      {-1, 0, 0, 9, 9, sound, "no frame of step -1"},
		"a huge step":      {math.MaxInt, 0, 0, 9, 9, sound, "no frame of step"},
		"the wrong way":    {16, 9, 0, 0, 9, sound, "no frame of step"},
		"beyond counting":  {16, 0, 0, math.MaxInt, 9, sound, "no frame of step"},
		"before counting":  {16, math.MinInt, 0, 0, 9, sound, "no frame of step"},
		"more than memory": {1, 0, 0, 1 << 20, 1 << 20, sound, "more than 4194304 places"},
	} {
		_, err := NewFrame(c.step, c.c0, c.r0, c.c1, c.r1, c.locate)
		assert.ErrorContains(t, err, c.says, name)
	}
	_, err := NewFrame(16, 0, 0, 9, 9, func([][2]float64) ([][2]float64, error) { return nil, lost })
	assert.ErrorIs(t, err, lost)
	for _, locate := range []Locate{nil, few, none} {
		_, err = ChooseStep(100, 100, locate)
		assert.Error(t, err)
		_, _, err = Measure(0, 0, locate)
		assert.Error(t, err)
	}
	_, _, err = Measure(math.NaN(), math.Inf(1), sound)
	assert.ErrorIs(t, err, ErrNoPlace)
	for _, size := range [][2]int{{0, 1}, {1, -1}, {math.MinInt, 1}} {
		_, err = ChooseStep(size[0], size[1], sound)
		assert.ErrorContains(t, err, "has no frame", size)
	}
}

// Cause: sizes whose product overflows passed for those of no heights at all.
func TestBrokenGridsAreErrors(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		heights    []float32
		cols, rows int
		dx, dy     float64
		says       string
	}{
		"no heights":      {nil, 2, 2, 1, 1, "0 heights do not fill 2 columns × 2 rows"},
		"ragged":          {make([]float32, 5), 2, 2, 1, 1, "5 heights do not fill"},
		"no size":         {nil, 0, 0, 1, 1, "0 heights do not fill"},
		"overflowing":     {nil, 1 << 32, 1 << 32, 1, 1, "0 heights do not fill"},
		"below nothing":   {make([]float32, 4), -2, -2, 1, 1, "4 heights do not fill"},
		"cells of NaN":    {make([]float32, 4), 2, 2, nan, 1, "cells of NaN × 1 m"},
		"endless cells":   {make([]float32, 4), 2, 2, 1, inf, "cells of 1 × +Inf m"},
		"cells of no use": {make([]float32, 4), 2, 2, 1, -1, "cells of 1 × -1 m"},
		"cells past all":  {make([]float32, 4), 2, 2, 1e300, 1e300, "cells of 1e+300"},
	} {
		_, err := NewGrid(c.heights, c.cols, c.rows, c.dx, c.dy)
		assert.ErrorContains(t, err, c.says, name)
	}
	g, err := NewGrid([]float32{1, 2, 3, 4}, 2, 2, 1, 1)
	require.NoError(t, err)
	for name, change := range map[string]func(g *Grid){
		"col": func(g *Grid) { g.Col0 = 1<<31 + 1 }, "row": func(g *Grid) { g.Row0 = -1<<31 - 1 },
		"stride": func(g *Grid) { g.Stride = 1 }, "rows": func(g *Grid) { g.Rows = 3 }, "frame": func(g *Grid) { g.Frame = new(Frame) },
	} {
		broken := *g
		change(&broken)
		assert.Error(t, broken.Check(), name)
		_, err := NewGridOn(broken.Frame, make([]float64, 3), 2, 2)
		assert.Error(t, err, name)
	}
	require.NoError(t, g.Check())
	assert.Error(t, (*Grid)(nil).Check())
	assert.Equal(t, 64, WideCells([2]float64{nan, nan}))
	assert.Equal(t, 8, WideCells([2]float64{inf, inf}))
}
