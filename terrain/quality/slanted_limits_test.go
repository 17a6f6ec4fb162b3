package quality

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// stepped is level ground that is higher by a step east of a column that moves by half a cell from
// row to row, on rows from ≤ r < to.
func stepped(t *testing.T, cols, rows, first int, stepM float64, from, to int, more func(c, r int) float64) *terrain.Grid {
	t.Helper()
	return gridOf(t, cols, rows, 1, func(c, r int) float64 {
		z := 100 + stepM*over(c >= first+r/2 && r >= from && r < to)
		if more != nil {
			z += more(c, r)
		}
		return z
	})
}

// alongRows are the slanted steps that are found from row to row.
func alongRows(t *testing.T, g *terrain.Grid) []slant {
	t.Helper()
	found, ok := newSlanter(g, false).find(nil)
	require.True(t, ok)
	return found
}

// A clean step has its own height as its measure and less half of that on either side; the first
// and the last two have none. A slope and voids have none either.
func TestTheMeasureOfASlantedStep(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct{ z, want []float64 }{
		{[]float64{0, 0, 0, 4, 4, 4, 4}, []float64{nan, -2, 4, -2, 0, nan, nan}},
		{[]float64{0, 4, 4, 4, 4, 4, 0}, []float64{nan, -2, 0, 0, 2, nan, nan}},
		{[]float64{0, 3, 6, 9, 12, 15, 18}, []float64{nan, 0, 0, 0, 0, nan, nan}},
		{[]float64{0, 0, nan, 4, 4, 4, 4}, []float64{nan, nan, nan, nan, 0, nan, nan}},
	} {
		for _, down := range []bool{false, true} {
			cols, rows := len(c.z), 3
			if down {
				cols, rows = 3, len(c.z)
			}
			g := gridOf(t, cols, rows, 1, func(col, row int) float64 {
				if down {
					col, row = row, col
				}
				return 100 + c.z[col] + 50*float64(row%2)
			})
			got := newSlanter(g, down).measure(1)
			for i, want := range c.want {
				assert.True(t, want == got[i] || want != want && got[i] != got[i], "%v: %g at %d", c.z, got[i], i)
			}
		}
	}
}

// A step counts from 0.1 m on, and from five robust standard deviations: over a ripple of 1 cm,
// whose measure is 4 cm on most of the ground, from 29.7 cm.
func TestASlantedStepFromItsLeastHeight(t *testing.T) {
	ripple := func(c, _ int) float64 { return 0.01 * float64(1-c%2*2) * over(c > 120) }
	for stepM, is := range map[float64]bool{0.101: true, 0.099: false, -0.101: true, -0.099: false} {
		found := alongRows(t, stepped(t, 400, 160, 20, stepM, 0, 160, nil))
		require.Len(t, found, int(over(is)), "%g m", stepM)
		if is {
			assert.InDelta(t, 0.101, found[0].stepM, 1e-4)
			assert.Equal(t, 160, found[0].cells)
		}
	}
	for stepM, is := range map[float64]bool{0.3: true, 0.293: false} {
		assert.Len(t, alongRows(t, stepped(t, 400, 160, 20, stepM, 0, 160, ripple)), int(over(is)), "%g m", stepM)
	}
	// From 128 lines on every second one says how uneven the ground is: of those half lie still.
	most := func(c, r int) float64 { return 0.02 * float64(1-c%2*2) * over(c > 120 && r%4 != 2) }
	assert.Len(t, alongRows(t, stepped(t, 800, 128, 20, 0.3, 0, 128, most)), 1)
	assert.Empty(t, alongRows(t, stepped(t, 800, 127, 20, 0.3, 0, 127, most)), "of all a quarter does")
}

// It runs over 128 lines, or four fifths of fewer, and two in a row may miss it.
func TestASlantedStepFromItsLeastLength(t *testing.T) {
	for _, c := range []struct {
		rows, from, to, missed int
		is                     bool
	}{
		{300, 100, 228, 0, true}, {300, 100, 227, 0, false}, {300, 172, 300, 0, true},
		{100, 10, 90, 0, true}, {100, 10, 89, 0, false},
		{200, 0, 200, 2, true}, {200, 0, 200, 3, false},
	} {
		g := stepped(t, 300, c.rows, 20, 0.5, c.from, c.to, func(col, r int) float64 {
			return -0.5 * over(r >= 100 && r < 100+c.missed && col >= 20+r/2)
		})
		found := alongRows(t, g)
		require.Len(t, found, int(over(c.is)), "%+v", c)
		if c.is {
			assert.Equal(t, c.to-c.from-c.missed, found[0].cells, "%+v", c)
		}
	}
}

// More steps than 1% of the cells and two a line are rough ground or terraces, in either
// direction; and so are three of them.
func TestTooManyStepsAreNoSeam(t *testing.T) {
	for last, ok := range map[int]bool{100: true, 99: false} {
		g := gridOf(t, 200, 100, 1, func(c, r int) float64 {
			return 100 + 0.3*float64(min(c/40, 4)) + 0.3*over(c >= 180 && r >= last)
		})
		found, is := newSlanter(g, false).find(nil)
		assert.Equal(t, ok, is, "4 steps on 100 lines, and %d more", 100-last)
		assert.Empty(t, found, "along the grid")
	}
	for rows, n := range map[int]int{2: 1, 3: 0} { // 2 or 3 × 200 down the columns, and 50 of the slanted one, of 600
		g := stepped(t, 200, 100, 40, 0.5, 0, 100, func(_, r int) float64 { return 0.3 * float64(min(r/25, rows)) })
		assert.Len(t, findSlanted(g, nil), n)
	}
	for steps, n := range map[int]int{1: 1, 2: 2, 3: 0} {
		g := gridOf(t, 300, 100, 1, func(c, r int) float64 {
			z := 100.0
			for k := range steps {
				z += 0.5 * over(c >= 40+60*k+r/2)
			}
			return z
		})
		found := findSlanted(g, nil)
		require.Len(t, found, n)
		for k, s := range found {
			assert.InDelta(t, 39+60*float64(k), s.from[0], 0.5)
			assert.InDelta(t, 39+60*float64(k)+49.5, s.to[0], 0.5)
		}
	}
}

// A hit joins the strand that comes nearest, on a line before, of its sign, no farther off than
// one cell more than the lines between; else it begins one.
func TestAHitJoinsTheNearestStrand(t *testing.T) {
	for name, c := range map[string]struct {
		strands [][3]float64 // line, at and step of the last hit
		step    float64
		joined  int // -1 for none
	}{
		"none":                       {nil, 1, -1},
		"straight on":                {[][3]float64{{9, 20, 1}}, 1, 0},
		"two cells off":              {[][3]float64{{9, 18, 1}}, 1, 0},
		"two cells off, back":        {[][3]float64{{9, 22, 1}}, 1, 0},
		"three":                      {[][3]float64{{9, 17, 1}}, 1, -1},
		"three, back":                {[][3]float64{{9, 23, 1}}, 1, -1},
		"three after two lines":      {[][3]float64{{8, 23, 1}}, 1, 0},
		"four after two lines":       {[][3]float64{{8, 24, 1}}, 1, -1},
		"on the same line":           {[][3]float64{{10, 20, 1}}, 1, -1},
		"down, not up":               {[][3]float64{{9, 20, -1}}, 1, -1},
		"up, not down":               {[][3]float64{{9, 20, 1}}, -1, -1},
		"down again":                 {[][3]float64{{9, 20, -1}}, -1, 0},
		"the nearer":                 {[][3]float64{{9, 18, 1}, {9, 21, 1}}, 1, 1},
		"the nearer, on either side": {[][3]float64{{9, 21, 1}, {9, 18, 1}}, 1, 0},
		"the nearer below":           {[][3]float64{{9, 19, 1}, {9, 22, 1}}, 1, 0},
		"the nearer above":           {[][3]float64{{9, 22, 1}, {9, 19, 1}}, 1, 1},
		"of two alike the first":     {[][3]float64{{9, 19, 1}, {9, 21, 1}}, 1, 0},
	} {
		s := &slanter{}
		for _, v := range c.strands {
			s.open = append(s.open, &strand{lines: []int{int(v[0])}, at: []int{int(v[1])}, steps: []float64{v[2]}, before: 10, after: 20})
		}
		m := make([]float64, 40)
		m[19], m[20], m[21] = 3, c.step, 4
		s.string(10, 20, m)
		if c.joined < 0 {
			require.Len(t, s.open, len(c.strands)+1, name)
			assert.Equal(t, strand{[]int{10}, []int{20}, []float64{c.step}, 3, 4}, *s.open[len(c.strands)], name)
			continue
		}
		require.Len(t, s.open, len(c.strands), name)
		v := c.strands[c.joined]
		assert.Equal(t, strand{[]int{int(v[0]), 10}, []int{int(v[1]), 20}, []float64{v[2], c.step}, 13, 24}, *s.open[c.joined], name)
	}
}

// A strand is a seam where it is straight to 0.75 cells, at an angle, even to 35% and a clean step
// on either side.
func TestWhatStrandIsASlantedSeam(t *testing.T) {
	type made struct {
		first, n      int
		turn          float64
		astray        float64 // share of the hits that lie a cell off the line
		uneven        float64 // by how much two thirds of the steps are off, up and down
		before, after float64 // parts of the step
	}
	good := made{first: 300, n: 200, turn: 0.5, before: -0.5, after: -0.5}
	is := func(c made, sign float64, down bool) (slant, bool) {
		s := &strand{}
		sum, astray := 0.0, 0.0
		for i := range c.n {
			k, off := min(i, c.n-1-i), 0 // alike from both ends, so that nothing turns
			if astray += c.astray * over(i < c.n/2); i < c.n/2 && math.Floor(c.astray*float64(k+1)) > math.Floor(c.astray*float64(k)) ||
				i >= c.n/2 && math.Floor(c.astray*float64(k+1)) > math.Floor(c.astray*float64(k)) {
				off = 1 - 2*(int(c.astray*float64(k))%2)
			}
			step := sign * (0.3 + c.uneven*float64(i%3-1))
			s.lines, s.at, s.steps = append(s.lines, c.first+2*i), append(s.at, 40+int(math.Round(c.turn*2*float64(i)))+off), append(s.steps, step)
			sum += step
		}
		s.before, s.after = c.before*sum, c.after*sum
		return (&slanter{down: down}).judge(s)
	}
	for _, sign := range []float64{1, -1} {
		for _, down := range []bool{false, true} {
			found, ok := is(good, sign, down)
			require.True(t, ok)
			assert.Equal(t, 200, found.cells)
			assert.InDelta(t, 0.3, found.stepM, 1e-12)
			ends := []float64{found.from[0], found.from[1], found.to[0], found.to[1]}
			if down {
				ends = []float64{ends[1], ends[0], ends[3], ends[2]}
			}
			assert.InDeltaSlice(t, []float64{40, 300, 239, 698}, ends, 1e-9)
		}
		for name, c := range map[string]struct {
			change func(c *made)
			ok     bool
		}{
			"half of them astray":       {func(c *made) { c.astray = 0.53 }, true},  // 0.73
			"more of them":              {func(c *made) { c.astray = 0.62 }, false}, // 0.79
			"as steep as the diagonal":  {func(c *made) { c.turn = 1.04 }, true},
			"steeper":                   {func(c *made) { c.turn = 1.07 }, false},
			"the other way":             {func(c *made) { c.turn = -1.04 }, true},
			"steeper, the other way":    {func(c *made) { c.turn = -1.07 }, false},
			"over hardly four lines":    {func(c *made) { c.turn = 0.0105 }, true},
			"over hardly four, back":    {func(c *made) { c.turn = -0.0105 }, true},
			"over three":                {func(c *made) { c.turn = 0.0085 }, false},
			"uneven by 23%":             {func(c *made) { c.uneven = 0.0700 }, true},
			"uneven by 24%":             {func(c *made) { c.uneven = 0.0715 }, false},
			"a little before":           {func(c *made) { c.before = -0.26 }, true},
			"too little before":         {func(c *made) { c.before = -0.24 }, false},
			"much before":               {func(c *made) { c.before = -0.74 }, true},
			"too much before":           {func(c *made) { c.before = -0.76 }, false},
			"a little behind":           {func(c *made) { c.after = -0.26 }, true},
			"too little behind":         {func(c *made) { c.after = -0.24 }, false},
			"much behind":               {func(c *made) { c.after = -0.74 }, true},
			"too much behind":           {func(c *made) { c.after = -0.76 }, false},
			"the other way on one side": {func(c *made) { c.before = 0.5 }, false},
		} {
			with := good
			c.change(&with)
			_, ok := is(with, sign, false)
			assert.Equal(t, c.ok, ok, "%s: %+v", name, with)
		}
	}
}

// Sources meet along a step where at least half of its cells have another source two cells away.
func TestWhereSourcesMeetAlongAStep(t *testing.T) {
	g := gridOf(t, 20, 12, 1, always(100))
	s := slant{from: [2]float64{5, 1}, to: [2]float64{5, 11}, cells: 10}
	beside := func(at, n int) *Look { // n of the ten cells of the step have another source beside them
		from := make([]uint16, len(g.Z))
		for k := range n {
			from[(10-k)*20+5+at] = 1
		}
		return &Look{grid: g, of: &terrain.Elevation{From: from}}
	}
	for _, at := range []int{2, -2} {
		assert.True(t, beside(at, 5).meet(s), "%v", at)
		assert.False(t, beside(at, 4).meet(s), "%v", at)
	}
	north := beside(2, 3)
	north.of.From[5] = 2 // is two rows off the second cell, and no cell of the step
	assert.False(t, north.meet(s))
	both := beside(2, 4)
	for k := range 4 {
		both.of.From[(10-k)*20+3] = 1
	}
	assert.False(t, both.meet(s), "each cell once, though both sides are another's")
	for at, other := range map[int]int{19: 1, 18: 0, 0: 18, 1: 19} { // a column's other side is not in the row after or before
		l := beside(2, 0)
		for r := range 12 {
			l.of.From[r*20+other] = 1
		}
		assert.False(t, l.meet(slant{from: [2]float64{float64(at), 1}, to: [2]float64{float64(at), 11}, cells: 10}), "%d", at)
	}
	for name, c := range map[string]struct {
		from  [2]float64
		to    [2]float64
		of    [2]uint16 // of the rows at it, and two rows off
		south bool
		meet  bool
	}{
		"north":              {[2]float64{2, 4}, [2]float64{18, 4}, [2]uint16{0, 1}, false, true},
		"south":              {[2]float64{2, 4}, [2]float64{18, 4}, [2]uint16{1, 2}, true, true},
		"in one":             {[2]float64{2, 4}, [2]float64{18, 4}, [2]uint16{2, 2}, true, false},
		"nothing there":      {[2]float64{2, 4}, [2]float64{18, 4}, [2]uint16{terrain.NoSource, 1}, true, false},
		"nothing beside":     {[2]float64{2, 4}, [2]float64{18, 4}, [2]uint16{1, terrain.NoSource}, true, false},
		"in the last row":    {[2]float64{2, 11}, [2]float64{18, 11}, [2]uint16{0, 1}, false, true},
		"in the first":       {[2]float64{2, 0}, [2]float64{18, 0}, [2]uint16{0, 1}, true, true},
		"two from the first": {[2]float64{2, 2}, [2]float64{18, 2}, [2]uint16{0, 1}, false, true},
	} {
		from := make([]uint16, len(g.Z))
		for i := range from {
			row := i / 20
			from[i] = c.of[0]
			if c.south && row >= int(c.from[1])+2 || !c.south && row <= int(c.from[1])-2 {
				from[i] = c.of[1]
			}
		}
		l := &Look{grid: g, of: &terrain.Elevation{From: from}}
		assert.Equal(t, c.meet, l.meet(slant{from: c.from, to: c.to, cells: 16}), name)
	}
	assert.False(t, (&Look{grid: g}).meet(s), "of nobody knows what")
	assert.False(t, (&Look{grid: g, of: &terrain.Elevation{}}).meet(s), "of one source")
	steps := stepped(t, 300, 200, 20, 0.5, 0, 200, nil)
	assert.Len(t, (&Look{grid: steps}).slanted(nil), 1)
	assert.Empty(t, (&Look{grid: steps, stepped: true}).slanted(nil), "stairs have many")
}

// What says beforehand that a small grid has no slant must say so only where none is found by
// measuring all of it: on rough ground and smooth, with a step and without, with holes, with a few
// lines that stand out, and on grids too small to measure.
func TestWhatHasTooFewLinesHasNoSlant(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	told, found := 0, 0
	for range 400 {
		cols, rows := 1+random.IntN(100), 1+random.IntN(100)
		rough, step, spikes := 0.2*random.Float64()*random.Float64(), random.Float64()*float64(random.IntN(2)), random.IntN(40)
		turn := 0.1 + 0.9*random.Float64()
		g := gridOf(t, cols, rows, 1, func(c, r int) float64 {
			return 100 + 0.1*float64(c) + rough*random.NormFloat64() + step*over(float64(c) > turn*float64(r)+5)
		})
		for range spikes {
			g.Z[random.IntN(len(g.Z))] += float32(random.NormFloat64())
		}
		for range random.IntN(30) {
			g.Z[random.IntN(len(g.Z))] = float32(math.NaN())
		}
		for _, down := range []bool{false, true} {
			var all []float64
			plain := newSlanter(g, down)
			for line := range plain.lines {
				for _, m := range plain.measure(line) {
					if m == m {
						all = append(all, math.Abs(m))
					}
				}
			}
			want, wantOK := plain.findFrom(max(slantM, slantScale*Median(all)), nil)
			s := newSlanter(g, down)
			got, ok := s.find(nil)
			require.Equal(t, want, got)
			require.Equal(t, wantOK, ok)
			if _, none := s.limit(); none {
				told++
			}
			found += len(got)
		}
	}
	assert.Greater(t, told, 100)
	assert.Greater(t, found, 10)
}
