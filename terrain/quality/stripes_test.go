package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestASeamIsFoundWhereItLies(t *testing.T) {
	for _, step := range []float64{-0.3, 0.3, 2} {
		g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + step*over(r > 120) })
		found := findSeams(g, nil)
		require.Len(t, found, 1, "%g m", step)
		assert.Equal(t, "rows", found[0].Along)
		assert.Equal(t, 120, found[0].At)
		assert.InDelta(t, math.Abs(step), found[0].StepM, 0.1)
		assert.Equal(t, 384, found[0].Cells, "all 12 stretches of 32")

		g.Row0, g.Col0 = 1000, 2000
		assert.Equal(t, 1120, findSeams(g, nil)[0].At, "counted in the raster")
	}
	g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + 0.5*over(c > 77 && r < 200) })
	found := findSeams(g, nil)
	require.Len(t, found, 2, "a patch of another survey has two edges here")
	assert.Equal(t, seam{"rows", 199, 1, 320, found[0].StepM}, found[0])
	assert.Equal(t, seam{"columns", 77, 1, 224, found[1].StepM}, found[1])
	assert.Contains(t, kinds(must(Doubts(g, true))), DoubtSeam)
}

func over(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

func TestWhatIsNoSeam(t *testing.T) {
	for name, change := range map[string]func(c, r int) float64{
		"a wall one cell wide":  func(c, r int) float64 { return 2 * over(r == 100) },
		"a bank of three cells": func(c, r int) float64 { return min(max(float64(r-100), 0), 3) },
		"a step at an angle":    func(c, r int) float64 { return 0.5 * over(r > 100+c/3) },
		"a short step":          func(c, r int) float64 { return 0.8 * max(0, 1-float64(c)/90) * over(r > 100) },
	} {
		g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + change(c, r) })
		assert.Empty(t, findSeams(g, nil), name)
	}
	assert.Empty(t, findSeams(gridOf(t, 400, 300, 1, func(c, r int) float64 { return 300 + 0.3*float64(r) }), nil), "a plane")
}

func TestStripesAreFoundWithTheirDirection(t *testing.T) {
	for name, c := range map[string]struct {
		along  string
		change func(c, r int) float64
	}{
		"every other row":    {"rows", func(c, r int) float64 { return 0.2 * float64(r%2) }},
		"every other column": {"columns", func(c, r int) float64 { return 0.2 * float64(c%2) }},
		"every ninth row":    {"rows", func(c, r int) float64 { return 0.4 * over(r%9 == 0) }},
		"swaths of 12 rows":  {"rows", func(c, r int) float64 { return 0.3 * float64(r/12%2) }},
	} {
		g := gentle(t, 400, 300, 1, func(h float64, col, r int) float64 { return h + c.change(col, r) })
		found := findSeams(g, nil)
		require.Len(t, found, 1, name)
		assert.Equal(t, c.along, found[0].Along, name)
		assert.Greater(t, found[0].Lines, 20, name)
		assert.Contains(t, kinds(must(Doubts(g, true))), DoubtStripes, name)
	}
}
