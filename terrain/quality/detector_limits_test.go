package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// The limits of the detectors are planning values and choices of their own, held here from
// both sides by ground made for each.

// slopingColumns is ground whose Horn slope is given column by column, rows alike: Horn's
// window sees z[c+1] - z[c-1] over two cells.
func slopingColumns(t *testing.T, rows int, cellM float64, slopes []float64) *terrain.Grid {
	z := make([]float64, len(slopes))
	for c := 1; c+1 < len(slopes); c++ {
		z[c+1] = z[c-1] + 2*slopes[c]*cellM
	}
	return gridOf(t, len(slopes), rows, cellM, func(c, _ int) float64 { return 100 + z[c] })
}

// columns lists n times one slope and then another, with one more on either side that no
// window is about.
func columns(n int, one float64, m int, other float64) []float64 {
	out := []float64{0}
	for i := range n + m {
		if i < n {
			out = append(out, one)
		} else {
			out = append(out, other)
		}
	}
	return append(out, 0)
}

// Half of the ground above 70%, or more than a fifth above 100%.
func TestFeetFromSeventyPercentAndAFifthOverAHundred(t *testing.T) {
	for name, c := range map[string]struct {
		slopes []float64
		feet   bool
	}{
		"all above":            {columns(100, 0.701, 0, 0), true},
		"all below":            {columns(100, 0.699, 0, 0), false},
		"more than half above": {columns(51, 0.71, 49, 0.1), true},
		"less than half above": {columns(49, 0.71, 51, 0.1), false},
		"a fifth over 100%":    {columns(20, 1.01, 80, 0.1), false},
		"more than a fifth":    {columns(21, 1.01, 79, 0.1), true},
		"a third over 99%":     {columns(33, 0.99, 67, 0.1), false},
	} {
		got, feet := findFeet(slopingColumns(t, 12, 2, c.slopes))
		assert.Equal(t, c.feet, feet, name)
		if name == "more than a fifth" {
			assert.InDelta(t, 0.21, got.Over100, 1e-9)
			assert.InDelta(t, 10, got.MedianPct, 0.01)
		}
	}
	// Down the columns as along the rows, and on cells that are not square.
	tall := gridOf(t, 12, 100, 2, func(_, r int) float64 { return 100 + 1.44*float64(r) })
	got, feet := findFeet(tall)
	assert.True(t, feet)
	assert.InDelta(t, 72, got.MedianPct, 0.01)
}

// spiked is level ground with single cells higher, four apart.
func spiked(t *testing.T, cellM float64, n int, heightM float64) *terrain.Grid {
	return gridOf(t, 102, 102, cellM, func(c, r int) float64 {
		if k := (r-1)/4*25 + (c-1)/4; c%4 == 1 && r%4 == 1 && c < 101 && r < 101 && k < n {
			return 100 + heightM
		}
		return 100
	})
}

// More than 3% of the cells at which the rise bends by 1.5 m, or three quarters of a cell
// where that is more, on cells of up to 5 m. A lone cell bends by twice its height.
func TestASurfaceFromThreePercentOfBumps(t *testing.T) {
	for _, c := range []struct {
		cellM   float64
		spikes  int
		heightM float64
		surface bool
	}{
		{1, 301, 0.75, true}, {1, 300, 0.75, false}, {1, 600, 0.7499, false}, {1, 301, -0.75, true}, {1, 600, -0.7499, false},
		{2, 301, 0.75, true}, {4, 301, 1.5, true}, {4, 600, 1.49, false}, {5, 301, 1.875, true}, {5.01, 600, 9, false},
	} {
		s, surface := findSurface(spiked(t, c.cellM, c.spikes, c.heightM), Stairs{}, false, nil)
		assert.Equal(t, c.surface, surface, "%+v", c)
		if c.surface {
			assert.InDelta(t, 0.0301, s.Share, 1e-9)
			assert.Equal(t, 313, s.Cells, "0.0301 of 102 × 102")
			assert.Equal(t, max(1.5, 0.75*c.cellM), s.BumpM)
		}
	}
	// Heights in steps of more than a quarter of a bump cannot tell.
	_, surface := findSurface(spiked(t, 1, 301, 0.75), Stairs{QuantumM: 0.375}, true, nil)
	assert.True(t, surface)
	_, surface = findSurface(spiked(t, 1, 301, 0.75), Stairs{QuantumM: 0.376}, true, nil)
	assert.False(t, surface)
	_, surface = findSurface(spiked(t, 1, 301, 0.75), Stairs{QuantumM: 0.376}, false, nil)
	assert.True(t, surface)
	for _, down := range []bool{false, true} { // a ridge along a row bends down the columns only
		ridges := func(n int) *terrain.Grid {
			return gridOf(t, 102, 102, 1, func(c, r int) float64 {
				if down {
					c, r = r, c
				}
				return 100 + 0.75*over(r%4 == 1 && r/4 < n)
			})
		}
		_, surface = findSurface(ridges(4), Stairs{}, false, nil)
		assert.True(t, surface)
		_, surface = findSurface(ridges(3), Stairs{}, false, nil)
		assert.False(t, surface, "3%% and no more")
	}
	// Cells beside a void are not looked at.
	holed := spiked(t, 1, 301, 0.75)
	for c := range 102 {
		holed.Z[100*102+c] = float32(math.NaN())
	}
	s, surface := findSurface(holed, Stairs{}, false, nil)
	assert.True(t, surface)
	assert.InDelta(t, 301.0/9800, s.Share, 1e-9)
}

// flatted is ground of which no two cells have one height, with a flat in it whose rim is
// higher but for some of its cells.
func flatted(t *testing.T, cellM float64, wide, tall, spare, lowerRim int) *terrain.Grid {
	const c0, r0 = 20, 20
	n := 0
	return gridOf(t, 60, 60, cellM, func(c, r int) float64 {
		in := func(c, r int) bool {
			k := (r-r0)*wide + c - c0
			return c >= c0 && c < c0+wide && r >= r0 && r < r0+tall && k < wide*tall-spare
		}
		switch {
		case in(c, r):
			return 300
		case in(c-1, r) || in(c+1, r) || in(c, r-1) || in(c, r+1):
			if n++; n <= lowerRim {
				return 299 + 0.001*float64(n)
			}
		}
		return 301 + 0.001*float64(r*60+c)
	})
}

// 200 m² and 20 cells, doubtful where more than a quarter of the rim lies lower; where
// heights come in stairs 40,000 m² and 200 cells with no more than a tenth of it lower.
func TestWaterFromItsLeastSizeAndHighestRim(t *testing.T) {
	for _, c := range []struct {
		cellM                float64
		wide, tall, spare    int
		lowerRim             int
		stairs, is, doubtful bool
	}{
		{2.84, 5, 5, 0, 0, false, true, false},  // 202 m²
		{2.82, 5, 5, 0, 0, false, false, false}, // 199 m²
		{9, 5, 4, 1, 0, false, false, false},    // 19 cells
		{9, 5, 4, 0, 0, false, true, false},
		{4.01, 5, 5, 0, 5, false, true, false}, // of a rim of 20
		{4.01, 5, 5, 0, 6, false, true, true},
		{4.01, 5, 5, 0, 20, false, true, true},
		{14.2, 20, 10, 0, 0, true, true, true},   // 40 328 m²
		{14.1, 20, 10, 0, 0, true, false, false}, // 39 762 m²
		{30, 20, 10, 1, 0, true, false, false},   // 199 cells
		{30, 20, 10, 0, 6, true, true, true},     // of a rim of 60
		{30, 20, 10, 0, 7, true, false, false},
		{30, 30, 30, 0, 12, true, true, true}, // of a rim of 120
		{30, 30, 30, 0, 13, true, false, false},
		{9, 30, 30, 0, 30, false, true, false},
		{9, 30, 30, 0, 31, false, true, true},
	} {
		w := waterOf(flatted(t, c.cellM, c.wide, c.tall, c.spare, c.lowerRim), nil, c.stairs, resampling{}, nil)
		require.Len(t, w.List, int(over(c.is)), "%+v", c)
		if c.is {
			p := w.List[0]
			assert.Equal(t, c.doubtful, p.Doubtful, "%+v", c)
			assert.Equal(t, c.wide*c.tall-c.spare, p.Cells)
			assert.InDelta(t, float64(p.Cells)*c.cellM*c.cellM, p.AreaM2, 1e-6)
			assert.InDelta(t, float64(c.lowerRim)/float64(2*(c.wide+c.tall)), p.LowerRim, 1e-9)
			assert.Equal(t, [3]float64{20, 20, 300}, [3]float64{float64(p.Col), float64(p.Row), p.HeightM})
		}
	}
	assert.False(t, Stairs{QuantumM: 0.05}.coarse())
	assert.True(t, Stairs{QuantumM: 0.0501}.coarse())
	// Cells of a raster twice as coarse count for four.
	coarser := resampling{Cells: 3600, CellM: [2]float64{18, 18}}
	assert.Len(t, waterOf(flatted(t, 9, 10, 10, 0, 0), nil, false, coarser, nil).List, 1)
	assert.Len(t, waterOf(flatted(t, 9, 8, 10, 0, 0), nil, false, coarser, nil).List, 1)
	assert.Empty(t, waterOf(flatted(t, 9, 8, 10, 1, 0), nil, false, coarser, nil).List)
	assert.Len(t, waterOf(flatted(t, 9, 5, 5, 0, 0), nil, false, resampling{}, nil).List, 1)
}

// plateaued is ground of two heights in turn, with n cells of another, so that the steps
// beside that are half of them to the one, half to the other.
func plateaued(t *testing.T, low, step, plateau float64, n int) *terrain.Grid {
	left := n
	return gridOf(t, 100, 100, 1, func(c, r int) float64 {
		if c%2 == 0 && r%4 == 2 && c > 1 && c < 99 && left > 0 {
			left--
			return plateau
		}
		return low + step*float64(c%2)
	})
}

// More than 1% of the cells, with steps of 10 m and ten times the usual around; of zeros 25
// cells and 5 m are enough.
func TestAPlateauFromItsLeastShareAndStep(t *testing.T) {
	for name, c := range map[string]struct {
		low, step, plateau float64
		cells              int
		listed, void       bool
	}{
		"10 m below":                  {50, 0.5, 40.5, 101, true, true}, // the upper of the two steps, to 50.5
		"less than 10 m below":        {50, 0.5, 40.5625, 101, false, false},
		"1% of the cells":             {50, 0.5, 40.5, 100, false, false},
		"10 m above":                  {50, 0.5, 60, 101, true, true},
		"ten times the usual step":    {50, 1.25, 38.75, 101, true, true}, // 12.5 m
		"less than ten times":         {50, 1.25, 38.875, 101, false, false},
		"neither lowest nor 0":        {50, 30, 65, 101, false, false},
		"25 zeros, 5 m":               {4.75, 0.25, 0, 25, true, true},
		"24 zeros":                    {4.75, 0.25, 0, 24, false, false},
		"25 zeros, less than 5 m":     {4.625, 0.25, 0, 25, false, false},
		"1% of zeros under low steps": {4.375, 0.5, 0, 100, false, false},
		"more of them: the sea":       {4.375, 0.5, 0, 101, true, false},
	} {
		found := plateaus(plateaued(t, c.low, c.step, c.plateau, c.cells), nil)
		require.Len(t, found, int(over(c.listed)), name)
		if c.listed {
			assert.Equal(t, c.void, found[0].Void, name)
			assert.Equal(t, c.plateau, found[0].HeightM, name)
			assert.Equal(t, c.cells, found[0].Cells, name)
			assert.InDelta(t, max(math.Abs(c.plateau-c.low), math.Abs(c.plateau-c.low-c.step)), found[0].StepM, 1e-6, name)
		}
	}
}

// walked is one row of heights by the steps between its cells, up and down so that it
// stays near where it began.
func walked(t *testing.T, dx, dy float64, steps ...float64) *terrain.Grid {
	z := make([]float32, len(steps)+1)
	at := 0.0
	for i, s := range steps {
		if at > 0 {
			s = -s
		}
		at += s
		z[i+1] = float32(at)
	}
	g, err := terrain.NewGrid(z, len(z), 1, dx, dy)
	require.NoError(t, err)
	return g
}

// repeated lists steps over and over, n of them.
func repeated(n int, steps ...float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = steps[i%len(steps)]
	}
	return out
}

// A hundred differences, four heights, two sorts of steps (or level ground among them), no
// more than 1% that are no multiples.
func TestStairsFromTheirLeastNumbers(t *testing.T) {
	odd := func(n, misfits int) []float64 {
		steps := repeated(n, 1, 2, 3, 5)
		for i := range misfits {
			steps[7*i+4] = 0.3737
		}
		return steps
	}
	for name, c := range map[string]struct {
		steps []float64
		unit  string
	}{
		"a hundred":                          {repeated(100, 1, 2, 3, 5), "1 m"},
		"ninety-nine":                        {repeated(99, 1, 2, 3, 5), ""},
		"1% of others":                       {odd(100, 1), "1 m"},
		"2%":                                 {odd(100, 2), ""},
		"2 of 199 are over 1%":               {odd(199, 2), ""},
		"2 of 200":                           {odd(200, 2), "1 m"},
		"one sort":                           {repeated(100, 1), ""},
		"off by less than half a millimetre": {repeated(100, 1.00049, 2.00049, 3, 5), "1 m"},
		"off by more":                        {repeated(100, 1.0007, 2.0007, 3.0007, 5.0007), ""},
	} {
		s, ok := findStairs(walked(t, 4, 3, c.steps...))
		assert.Equal(t, c.unit != "", ok, name)
		assert.Equal(t, c.unit, s.Unit, name)
		if ok {
			assert.InDelta(t, 100*1.0/(2*3), s.MeaninglessPct, 1e-9, "the smaller side of a cell")
		}
	}
	heights := func(of ...float64) bool {
		g := gridOf(t, 151, 1, 1, func(c, _ int) float64 { return of[c%len(of)] })
		_, ok := findStairs(g)
		return ok
	}
	assert.False(t, heights(0, 1, 3), "three heights are a few flats")
	assert.True(t, heights(0, 1, 3, 7))
	// One sort of step is stairs where more than 1% of all lies level.
	treads := func(level int) bool {
		steps := repeated(100+level, 1)
		for i := range level {
			steps[30*i+5] = 0
		}
		_, ok := findStairs(climbing(t, steps))
		return ok
	}
	assert.False(t, treads(1))
	assert.True(t, treads(2))
}

// climbing is one row whose steps all go up.
func climbing(t *testing.T, steps []float64) *terrain.Grid {
	z := make([]float32, len(steps)+1)
	for i, s := range steps {
		z[i+1] = z[i] + float32(s)
	}
	g, err := terrain.NewGrid(z, len(z), 1, 1, 1)
	require.NoError(t, err)
	return g
}

// Half a millimetre and two millionths of a difference are what heights are stored to.
func TestMultiplesToHalfAMillimetre(t *testing.T) {
	for d, is := range map[float64]bool{1.0005: true, 1.00051: false, 0.99949: false, 0.9995: true, 100.0006: true, 100.00071: false, 0.0004: false} {
		_, ok := multiples([]float64{d}, 1)
		assert.Equal(t, is, ok, "%g", d)
	}
	level := gridOf(t, 201, 1, 1, func(c, _ int) float64 { return 100 + 0.00049*float64(c%2) })
	diffs, even, _ := neighbourSteps(level, nil)
	assert.Empty(t, diffs)
	assert.True(t, even)
	diffs, _, _ = neighbourSteps(gridOf(t, 201, 1, 1, func(c, _ int) float64 { return 100 + 0.00053*float64(c%2) }), nil)
	assert.Len(t, diffs, 200)
}

// A quantum that is not listed counts from 5 cm and four sorts of steps on.
func TestStairsOfTheirOwnQuantum(t *testing.T) {
	for _, c := range []struct {
		quantum float64
		sorts   []float64
		found   bool
	}{{0.0545, []float64{1, 2, 3, 5}, true}, {0.0455, []float64{1, 2, 3, 5}, false}, {0.0745, []float64{1, 2, 3, 5}, true}, {0.0745, []float64{1, 2, 3}, false}} {
		steps := repeated(200, c.sorts...)
		for i := range steps {
			steps[i] *= c.quantum
		}
		s, ok := findStairs(walked(t, 1, 1, steps...))
		require.Equal(t, c.found, ok, "%+v", c)
		if ok {
			assert.InDelta(t, c.quantum, s.QuantumM, 1e-5)
		}
	}
}

// Stairs are told of from 1% of slope on that they hide.
func TestStairsAreToldFromOnePercent(t *testing.T) {
	g := gridOf(t, 3, 3, 1, func(c, r int) float64 { return 300 + float64(7*c+3*r) })
	told := func(pct float64) []string {
		l := &Look{rough: new(roughOnce), grid: g, stairs: Stairs{0.02, "2 cm", pct}, stepped: true, water: &Patches{}}
		return kinds(must(l.Doubts(t.Context(), false)))
	}
	assert.Equal(t, []string{DoubtStairs}, told(1))
	assert.Empty(t, told(0.99))
}

// Acres of water are told in international acres, those that are sure and those that may
// be ground by themselves, a plateau's not again.
func TestWaterIsToldInAcres(t *testing.T) {
	w := &Patches{List: []Patch{{Cells: 10, AreaM2: 4046.8564224}, {Cells: 5, AreaM2: 2023.4282112}, {Cells: 7, AreaM2: 8093.7128448, Doubtful: true}, {Cells: 9, AreaM2: 9e9, Void: true, Doubtful: true}}}
	assert.Equal(t, []Doubt{
		{DoubtWater, "1.5 acres dead flat in 2 places: water that the raster flattened, though it reads as perfect ground", 15},
		{DoubtWater, "2.0 acres dead flat in one place that may be water or may be ground (heights come in steps, or fall away around)", 7},
	}, waterDoubts(&Look{water: w}, nil))
	assert.InDelta(t, 4000/4046.8564224, gridOf(t, 3, 3, 10, func(c, r int) float64 { return 0 }).Acres(40), 1e-9, "4000 m²")
}

// Two by three cells of one height at an edge, and each of the six is asked; a grid of
// fewer has none.
func TestEachCellOfAFlatAtAnEdgeCounts(t *testing.T) {
	const n = 8
	for _, at := range [][4]int{{2, 0, 3, 2}, {3, n - 2, 3, 2}, {0, 2, 2, 3}, {n - 2, 3, 2, 3}, {0, 0, 3, 2}, {n - 3, n - 2, 3, 2}, {0, n - 3, 2, 3}, {n - 2, 0, 2, 3}} {
		flat := func(without int) bool {
			return flatAtEdge(gridOf(t, n, n, 1, func(c, r int) float64 {
				k := (r-at[1])*at[2] + c - at[0]
				if c >= at[0] && c < at[0]+at[2] && r >= at[1] && r < at[1]+at[3] && k != without {
					return 99
				}
				return 200 + float64(r*n+c)
			}))
		}
		assert.True(t, flat(-1), "%v", at)
		for k := range 6 {
			assert.False(t, flat(k), "%v without %d", at, k)
		}
	}
	for _, size := range [][2]int{{2, 9}, {9, 2}} {
		assert.False(t, flatAtEdge(gridOf(t, size[0], size[1], 1, func(c, r int) float64 { return 5 })))
	}
	assert.True(t, flatAtEdge(gridOf(t, 3, 3, 1, func(c, r int) float64 { return 5 })))
}

// Ground that is dead flat from edge to edge has no rim, and none of it lower: it is one
// patch. A pattern finer than the cells makes no patch smaller or larger.
func TestFlatsWithoutARimAndFinerPatterns(t *testing.T) {
	all := waterOf(gridOf(t, 10, 10, 5, func(c, r int) float64 { return 300 }), nil, false, resampling{}, nil)
	require.Len(t, all.List, 1)
	assert.Equal(t, Patch{Cells: 100, AreaM2: all.AreaM2, HeightM: 300}, all.List[0])
	finer := resampling{Cells: 3600, CellM: [2]float64{4, 4}}
	assert.Len(t, waterOf(flatted(t, 9, 5, 5, 0, 0), nil, false, finer, nil).List, 1)
	assert.Empty(t, waterOf(flatted(t, 9, 5, 4, 1, 0), nil, false, finer, nil).List)
	_, surface := findSurface(gridOf(t, 3, 3, 1, func(c, r int) float64 { return 100 + over(c == 1 && r == 1) }), Stairs{}, false, nil)
	assert.True(t, surface, "three by three cells hold one that is looked at")
	for _, size := range [][2]int{{2, 9}, {9, 2}} {
		_, surface = findSurface(gridOf(t, size[0], size[1], 1, func(c, r int) float64 { return 100 + 9*over((c+r)%2 == 0) }), Stairs{}, false, nil)
		assert.False(t, surface)
	}
}

// Ground that may be in feet is told with how much of it is steeper than 100%.
func TestFeetAreToldWithTheirShare(t *testing.T) {
	l := &Look{rough: new(roughOnce), grid: gridOf(t, 60, 20, 2, func(c, r int) float64 { return 100 + 2.4*float64(c) }), water: &Patches{}}
	told := must(l.Doubts(t.Context(), true))
	require.Equal(t, []string{DoubtFeet}, kinds(told))
	assert.Contains(t, told[0].Words, "steeper than 120% and 100% of it steeper than 100%")
	assert.Empty(t, must(l.Doubts(t.Context(), false)), "the unit was declared")
}
