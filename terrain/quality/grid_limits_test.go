package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Half of the grid or more is all of it, for what it was drawn from.
func TestHowMuchOfAGridIsCoarser(t *testing.T) {
	g := onCells(t, gridOf(t, 20, 10, 1, always(100)), 2, 3)
	tiles := []terrain.Window{{Col1: 10, Row1: 10}}
	for cells, c := range map[int]struct {
		coarseM float64
		tiles   []terrain.Window
	}{99: {0, tiles}, 100: {25, nil}, 140: {25, nil}} {
		l := &Look{grid: g, resampled: true, coarser: resampling{CellM: [2]float64{9.1, 25}, Cells: cells, tiles: tiles}}
		assert.Equal(t, c.coarseM, l.CoarseM(), "%d", cells)
		coarser, is := l.Coarser()
		require.True(t, is)
		assert.Equal(t, Coarser{CellM: [2]float64{9.1, 25}, Span: [2]int{5, 8}, Tiles: c.tiles}, coarser)
		l.resampled = false
		assert.Zero(t, l.CoarseM())
	}
	near := &Look{grid: g, resampled: true, coarser: resampling{CellM: [2]float64{25, 0.5}, Cells: 200}}
	assert.Equal(t, 25.0, near.CoarseM())
	coarser, _ := near.Coarser()
	assert.Equal(t, [2]int{13, 1}, coarser.Span)
	l := &Look{grid: g, stairs: Stairs{QuantumM: 0.1}}
	assert.Zero(t, l.QuantumM())
	l.stepped = true
	assert.Equal(t, 0.1, l.QuantumM())
}

// Nine calm cells, or six of one height, at any place of any edge may be water that goes on
// beyond; one cell farther in they are not.
func TestWhatRunsOffAnEdge(t *testing.T) {
	rough := func(change func(z float64, c, r int) float64) *terrain.Grid {
		return gridOf(t, 9, 8, 1, func(c, r int) float64 { return change(101+float64(r*9+c), c, r) })
	}
	assert.False(t, must(FlatAtEdge(rough(func(z float64, _, _ int) float64 { return z }))))
	for c0 := range 7 {
		for r0 := range 6 {
			calm := rough(func(z float64, c, r int) float64 {
				if c >= c0 && c < c0+3 && r >= r0 && r < r0+3 {
					return 100 + 0.001*float64((c+2*r)%5)
				}
				return z
			})
			assert.Equal(t, c0 == 0 || c0 == 6 || r0 == 0 || r0 == 5, must(FlatAtEdge(calm)), "nine at %d, %d", c0, r0)
		}
	}
	assert.True(t, must(FlatAtEdge(rough(func(z float64, c, r int) float64 {
		if c > 2 && c < 6 && r < 2 {
			return 100
		}
		return z
	}))), "six")
	for _, size := range [][2]int{{2, 9}, {9, 2}, {1, 1}} {
		assert.False(t, must(FlatAtEdge(gridOf(t, size[0], size[1], 1, func(c, r int) float64 { return 100 + 0.001*float64(c+r) }))), "%v", size)
	}
	assert.True(t, must(FlatAtEdge(gridOf(t, 3, 3, 1, func(c, r int) float64 { return 100 + 0.001*float64(c+r) }))))
	flat, err := FlatAtEdge(&terrain.Grid{})
	assert.Error(t, err)
	assert.False(t, flat)
}

// Ground bends as evenly as x² on any span: 16 times as much as on half of it. Spans are doubled
// four times at most, and ground too short for two of them is not judged.
func TestTheLongestBend(t *testing.T) {
	bowl := func(cols, rows int) *terrain.Grid {
		return gridOf(t, cols, rows, 2, func(c, r int) float64 { return 100 + float64(c*c+r*r)/64 })
	}
	found, ok := bySmoothness(bowl(300, 300))
	require.True(t, ok)
	assert.Equal(t, resampling{CellM: [2]float64{32, 32}, Cells: 90000, kind: DoubtSmooth}, found, "16 cells of 2 m")
	for _, size := range [][2]int{{10, 300}, {300, 10}, {4, 4}} {
		_, ok := bySmoothness(bowl(size[0], size[1]))
		assert.False(t, ok, "%v", size)
	}
}

// Steps between neighbors count that differ, from the first pair on; voids have none.
func TestTheUsualStepOfARow(t *testing.T) {
	row := []float64{0, 5, 5, 5, 5, 6, 12, math.NaN(), 3}
	assert.Equal(t, 5.0, usualStep(gridOf(t, len(row), 1, 1, func(c, _ int) float64 { return row[c] })), "of 5, 1 and 6")
}

// Each quantum of the list is found as itself, and by two sorts of steps.
func TestEachQuantumIsFoundAsItself(t *testing.T) {
	for _, c := range []struct {
		m    float64
		unit string
	}{{10, "10 m"}, {5, "5 m"}, {3.048, "10 feet"}, {1, "1 m"}, {0.5, "half a meter"}, {0.3048, "1 foot"}, {0.1, "1 dm"}, {0.03048, "a tenth of a foot"}, {0.01, "1 cm"}} {
		s, ok := findStairs(walked(t, 4, 4, repeated(200, c.m, 2*c.m)...))
		require.True(t, ok, c.unit)
		assert.Equal(t, c.unit, s.Unit)
		assert.Equal(t, c.m, s.QuantumM)
	}
	// A quantum of its own is the mean of what is up to twenty times the least.
	assert.InDelta(t, 21.4/21, ownQuantum([]float64{20.4, 1, 21.3}), 1e-12)
	assert.InDelta(t, (20.4+1+19.3)/40, ownQuantum([]float64{20.4, 1, 19.3}), 1e-12)
}

// Slopes beside voids are none, and the frame is asked at the row and the middle of the window.
func TestWhereSlopesForFeetAreTaken(t *testing.T) {
	slopes := columns(21, 1.01, 79, 0.1)
	g := slopingColumns(t, 12, 2, append(slopes, make([]float64, 60)...))
	for i := range g.Z {
		if i%g.Cols > 102 {
			g.Z[i] = float32(math.NaN())
		}
	}
	got, feet := findFeet(g)
	assert.True(t, feet)
	assert.InDelta(t, 21.0/100, got.Over100, 0.01, "of those alone that have one")
	_, feet = findFeet(gridOf(t, 9, 9, 1, always(math.NaN())))
	assert.False(t, feet)

	const f = 1 / 298.257223563
	const lonM = 6378137 * math.Pi / 180
	frame, err := terrain.NewFrame(1, 0, 0, 100, 20, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells { // columns and rows grow wider: x = 2 c + c²/100, y = 3 r + r²/20
			out[i] = [2]float64{(2*c[0] + c[0]*c[0]/100) / lonM, -(3*c[1] + c[1]*c[1]/20) / (lonM * (1 - f) * (1 - f))}
		}
		return out, nil
	})
	require.NoError(t, err)
	for _, c := range []struct{ east, south, slope float64 }{
		{4, 0, 4 / (2 + 2*50.0/100)},  // at column 30 + 40/2
		{0, 6, 6 / (3 + 2*11.5/20.0)}, // at row 10 + 1½
	} {
		g := gridOf(t, 40, 3, 1, func(col, row int) float64 { return 100 + c.east*float64(col) + c.south*float64(row) })
		g.Frame, g.Col0, g.Row0 = frame, 30, 10
		got, feet := findFeet(g)
		assert.True(t, feet)
		assert.InDelta(t, 100*c.slope, got.MedianPct, 0.5)
	}
}

// A cell of 0 m is no flat with what lies beyond the grid. A rim's row above and below count.
func TestRimsAtTheFirstRows(t *testing.T) {
	assert.Empty(t, findFlats(must(terrain.NewGrid([]float32{0, 2, 3, 0}, 2, 2, 1, 1)), nil))
	g := must(terrain.NewGrid([]float32{
		4, 4, 6, 4,
		4, 5, 5, 6,
		9, 5, 5, 4,
		6, 6, 4, 6,
	}, 4, 4, 30, 30))
	var m rim
	m.add(g, flatRun{row: 1, c0: 1, c1: 3})
	assert.Equal(t, rim{n: 4, low: 2}, m, "4 and 6 above, 4 and 6 beside")
	m.add(g, flatRun{row: 2, c0: 1, c1: 3})
	assert.Equal(t, rim{n: 8, low: 4}, m, "9 and 4 beside, 6 and 4 below")
}

// Too few rows or columns hold no bump; where none can be, none of the cells is one.
func TestBumpsUpAndDown(t *testing.T) {
	for _, size := range [][2]int{{2, 9}, {9, 2}, {9, 1}} {
		s, surface := findSurface(gridOf(t, size[0], size[1], 1, func(c, r int) float64 { return 100 + 9*float64((c+r)%2) }), Stairs{}, false, nil)
		assert.False(t, surface)
		assert.Zero(t, s.Share, "%v", size)
	}
	for _, height := range []float64{0.75, -0.75} {
		for _, down := range []bool{false, true} {
			_, surface := findSurface(gridOf(t, 102, 102, 1, func(c, r int) float64 {
				if down {
					c, r = r, c
				}
				return 100 + height*over(r%4 == 1 && r/4 < 4)
			}), Stairs{}, false, nil)
			assert.True(t, surface, "ridges and trenches of %g m", height)
		}
	}
}
