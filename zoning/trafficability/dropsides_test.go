package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// pit is level ground with one cell lower by a depth, in 5 × 5 cells of 1 m.
func pit(t *testing.T, c, r int, depthM float64) *Ground {
	return made(t, 5, 5, 1, 1, func(x, y float64) float64 {
		if int(x) == c && int(y) == r {
			return -depthM
		}
		return 0
	})
}

// A pit has an edge on each of its eight sides, at the window's rim too: beside it where it
// is 1 m deep, at its corners from √2 = 1.41 m on.
func TestDropsOnAllSides(t *testing.T) {
	for r := range 5 {
		for c := range 5 {
			sides, corners := 0, 0
			for _, n := range neighbours {
				if x, y := c+n[0], r+n[1]; x < 0 || y < 0 || x > 4 || y > 4 {
					continue
				} else if n[0] == 0 || n[1] == 0 {
					sides++
				} else {
					corners++
				}
			}
			at := func(e []Edge) (cells []int) {
				for _, e := range e {
					assert.Equal(t, r*5+c, e.Foot)
					assert.LessOrEqual(t, max(abs(e.Cell%5-c), abs(e.Cell/5-r)), 1)
					cells = append(cells, e.Cell)
				}
				return cells
			}
			assert.Len(t, at(pit(t, c, r, 1).Edges), sides, "1 m deep at %d, %d: the very figure", c, r)
			assert.Len(t, at(pit(t, c, r, 1.41).Edges), sides, "1.41 m deep at %d, %d", c, r)
			assert.Len(t, at(pit(t, c, r, 1.42).Edges), sides+corners, "1.42 m deep at %d, %d", c, r)
		}
	}
	assert.Empty(t, pit(t, 2, 2, 0.99).Edges)
}

func abs(n int) int { return max(n, -n) }

// 3 ft in all, at the very figure, which a height in float32 can hold: 3.75 and not less of
// a limit of 3.75.
func TestHeightOfADropAtTheVeryFigure(t *testing.T) {
	g := pit(t, 2, 2, 3.75)
	l := lieOf(g.Grid)
	assert.Len(t, edges(nil, g.Grid, l, 1, 3.75), 8)
	assert.Empty(t, edges(nil, g.Grid, l, 1, 3.76))
	assert.Len(t, edges(nil, g.Grid, l, 3.75, 1), 4, "375%, along rows and columns")
	assert.Empty(t, edges(nil, g.Grid, l, 3.76, 1))
}

// A cell that itself lies at the foot of as steep a fall is no upper edge.
func TestOnlyTheUpperEdge(t *testing.T) {
	heights := []float64{6, 3, 0, 0, 0} // two falls of 300%, one after the other
	g := made(t, 5, 5, 1, 1, func(x, _ float64) float64 { return heights[int(x)] })
	require.Len(t, g.Edges, 5)
	for _, e := range g.Edges {
		assert.Equal(t, []int{0, 2}, []int{e.Cell % 5, e.Foot % 5})
		assert.Equal(t, 6.0, e.DropM)
	}
	heights = []float64{6, 5.1, 0, 0, 0} // the first of 90%: gentle
	for _, e := range made(t, 5, 5, 1, 1, func(x, _ float64) float64 { return heights[int(x)] }).Edges {
		assert.Equal(t, 1, e.Cell%5)
	}
}

// steepest and uphill follow the greatest fall and rise over run: a corner 1.3 m lower is
// gentler than a side 1 m lower.
func TestSteepestOfEight(t *testing.T) {
	z := []float64{
		1.3, 0, 0,
		0, 0, -1,
		0, 0, -1.3,
	}
	g := made(t, 3, 3, 1, 1, func(x, y float64) float64 { return z[3*int(y)+int(x)] })
	f := &falls{Grid: g.Grid}
	l := lieOf(g.Grid)
	for i, n := range neighbours {
		f.lengthM[i] = l.distM(n[0], n[1])
	}
	next, fall := f.steepest(1, 1)
	assert.Equal(t, 5, next)
	assert.InDelta(t, 1, fall, 1e-6)
	next, _ = f.steepest(2, 2)
	assert.Equal(t, -1, next, "none is lower")
	p := moverOn(g, loader)
	up, lengthM := p.uphill(4)
	assert.Equal(t, 0, up)
	assert.InDelta(t, 1.92, lengthM, 0.01, "√(2 + 1.3²)")
	up, _ = p.uphill(0)
	assert.Equal(t, -1, up, "none is higher")
}

// What lies above the middle of a drop is kept back from, and what lies below is not; a
// drop higher than the machine is long is kept back from by its height.
func TestWhichSideOfADrop(t *testing.T) {
	g := made(t, 21, 3, 1, 1, func(x, _ float64) float64 {
		switch {
		case x < 10:
			return 4
		case x < 15:
			return 0
		}
		return 1.9
	})
	p := moverOn(g, zoning.Machine{FootprintM: 3})
	visited := func(e ...Edge) (cols []int) {
		seen := map[int]bool{}
		p.eachAbove(e, func(i int) { seen[i] = true })
		for c := range 21 {
			if seen[21+c] {
				cols = append(cols, c)
			}
		}
		return cols
	}
	edge := Edge{Cell: 21 + 9, Foot: 21 + 10, DropM: 4}
	assert.Equal(t, []int{6, 7, 8, 9}, visited(edge), "nearer than 4 m")
	edge.DropM = 3
	assert.Equal(t, []int{7, 8, 9}, visited(edge), "nearer than 3 m, its length")
	p.machine.FootprintM = 5
	assert.Equal(t, []int{5, 6, 7, 8, 9}, visited(edge))
	p.machine.FootprintM = 7
	edge.DropM = 4.3 // its middle lies at 1.85 m: 1.9 m is above it
	assert.Equal(t, []int{3, 4, 5, 6, 7, 8, 9, 15}, visited(edge))
	edge.DropM = 4.2 // 1.9 m, not above it
	assert.Equal(t, []int{3, 4, 5, 6, 7, 8, 9}, visited(edge))
}

// A fall that is just as steep above makes a cell no upper edge either.
func TestOnlyTheUpperEdgeAtTheVeryFigure(t *testing.T) {
	heights := []float64{2, 1, 0, 0, 0} // 100% and 100%
	g := made(t, 5, 5, 1, 1, func(x, _ float64) float64 { return heights[int(x)] })
	require.Len(t, g.Edges, 5)
	for _, e := range g.Edges {
		assert.Zero(t, e.Cell%5)
		assert.Equal(t, 2.0, e.DropM)
	}
}

// Cells near one at a corner, or at a side, of the window are those of the disc that lie in
// it.
func TestCellsNearAtTheRim(t *testing.T) {
	l := lieOf(level(t, 7, 5, 1).Grid)
	for i := range 35 {
		want, got := map[int]bool{}, map[int]bool{}
		for j := range 35 {
			if u, v := j%7-i%7, j/7-i/7; u*u+v*v < 9 {
				want[j] = true
			}
		}
		l.eachNear(i, l.disc(3, atLeast), func(from, to int) {
			for j := from; j < to; j++ {
				assert.False(t, got[j], "once")
				got[j] = true
			}
		})
		assert.Equal(t, want, got, "cell %d", i)
	}
}

// On skewed axes each of the eight has its own length: the steepest is not the lowest. The
// fall to one neighbour is the metre that only it lies lower.
func TestFallsOnSkewedAxes(t *testing.T) {
	perCol, perRow := [2]float64{0.9, 0.3}, [2]float64{0.4, -1}
	for _, n := range neighbours {
		g := skewed(t, 5, 5, perCol, perRow, func(_, _ float64) float64 { return 0 })
		at := (2+n[1])*5 + 2 + n[0]
		g.Grid.Z[at] = -1
		l := lieOf(g.Grid)
		f := &falls{Grid: g.Grid}
		for i, m := range neighbours {
			f.lengthM[i] = l.distM(m[0], m[1])
		}
		u, v := float64(n[0]), float64(n[1])
		length := math.Hypot(perCol[0]*u+perRow[0]*v, perCol[1]*u+perRow[1]*v)
		next, fall := f.steepest(2, 2)
		assert.Equal(t, at, next)
		assert.InDelta(t, 1/length, fall, 1e-5, "%v", n)
		p := moverOn(g, loader)
		g.Grid.Z[at] = 1
		assert.True(t, f.isUpper(2, 2, 1/length+1e-3), "%v", n)
		assert.False(t, f.isUpper(2, 2, 1/length-1e-3), "%v", n)
		up, lengthM := p.uphill(12)
		assert.Equal(t, at, up)
		assert.InDelta(t, math.Hypot(length, 1), lengthM, 1e-5)
		g.Grid.Z[at] = -1
		var edge bool
		for _, e := range edges(nil, g.Grid, l, 1/length-1e-3, 0.5) {
			edge = edge || e.Cell == 12
		}
		assert.True(t, edge, "%v", n)
		for _, e := range edges(nil, g.Grid, l, 1/length+1e-3, 0.5) {
			assert.NotEqual(t, 12, e.Cell, "%v", n)
		}
	}
}
