package field

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// skewed is level ground at 45 degrees north, all of it the only machine's, on cells whose
// sides go 2 m east and 0.3 m south along a row, 0.7 m east and 1.2 m south down a column.
// A degree there is 111 131.75 m north and 78 846.81 m east (WGS84).
func skewed(t *testing.T, cols, rows, col0, row0 int) Ground {
	t.Helper()
	frame, err := terrain.NewFrame(16, col0, row0, col0+cols, row0+rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			east, south := 2*c[0]+0.7*c[1], 0.3*c[0]+1.2*c[1]
			out[i] = [2]float64{-84 + east/78846.81, 45 - south/111131.75}
		}
		return out, nil
	})
	require.NoError(t, err)
	n := cols * rows
	g := Ground{
		Cells: &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, n), Cols: cols, Rows: rows, Col0: col0, Row0: row0, Frame: frame}},
		Grid:  &terrain.Grid{Z: make([]float32, n), Cols: cols, Rows: rows, Stride: cols, Col0: col0, Row0: row0, Frame: frame},
		Fleet: []zoning.Machine{{Key: "loader", Name: "Loader", LimitPct: 30}}, On: zoning.Dry,
	}
	g.Field, err = slope.Of(g.Grid)
	require.NoError(t, err)
	for i := range g.Cells.Masks {
		g.Cells.Masks[i] = 1
	}
	return g
}

// lotBetween is the lot between two corners in cells of the window.
func lotBetween(t *testing.T, g *Ground, c0, r0, c1, r1 float64) zoning.LotMap {
	t.Helper()
	ring := orb.Ring{g.place(c0, r0), g.place(c1, r0), g.place(c1, r1), g.place(c0, r1), g.place(c0, r0)}
	lot, err := zoning.MapLot(g.Cells, g.Field, g.Fleet, nil, zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{{ring}}})
	require.NoError(t, err)
	return lot
}

func (g *Ground) setPct(col, row int, pct float64) {
	g.Field.Squared[row*g.Cells.Cols+col] = float32(pct * pct / 1e4)
}

// A spot where the band could tip counts double, one at a hazard half as much again; of
// two alike the one that weighs more goes first, then the one nearer its limit.
func TestWhichCandidateGoesFirst(t *testing.T) {
	plain, tips := candidate{}, candidate{tips: true, rank: 2}
	hazard, both := candidate{hazard: "bank"}, candidate{tips: true, hazard: "bank"}
	assert.Equal(t, []float64{1, 2, 1.5, 2.5}, []float64{plain.weight(), tips.weight(), hazard.weight(), both.weight()})
	nearer := candidate{tips: true, rank: 1}
	for _, c := range []struct {
		c, o        candidate
		away, oAway float64
		before      bool
	}{
		{plain, plain, 3, 2, true}, {plain, plain, 2, 3, false}, {plain, plain, 2, 2, false},
		{plain, tips, 5, 2, true}, {plain, tips, 3, 2, false}, {plain, tips, 4, 2, false}, {tips, plain, 2, 4, true},
		{nearer, tips, 2, 2, true}, {tips, nearer, 2, 2, false}, {tips, tips, 2, 2, false}, {nearer, tips, 1, 2, false},
		{candidate{rank: 1}, candidate{rank: 2}, 2, 2, false}, {candidate{rank: 2}, candidate{rank: 1}, 2, 2, false},
	} {
		assert.Equal(t, c.before, c.c.before(c.o, c.away, c.oAway), "%+v", c)
	}
}

// Spots are spread by metres on the ground, on cells with skewed corners too.
func TestPlaneIsInMetres(t *testing.T) {
	g := skewed(t, 30, 20, 40, 60)
	at := g.plane()
	for _, d := range [][2]int{{1, 0}, {0, 1}, {5, 3}, {5, -3}, {-7, 11}} {
		want := math.Hypot(2*float64(d[0])+0.7*float64(d[1]), 0.3*float64(d[0])+1.2*float64(d[1]))
		assert.InDelta(t, want, apartM(at(12, 12+d[1]), at(12-d[0], 12)), 2e-3*want, "%v", d)
	}
}

// Blocks are those of the raster, wherever its window begins; in one the cell nearest its
// middle goes first, and where the band could tip the one nearest its limit.
func TestBlocksAreOfTheRaster(t *testing.T) {
	for _, c := range []struct {
		col0, row0, side int
		want             block
		rank             float64
	}{
		{3, 5, 4, block{1, 2, false}, math.Hypot(0.5, 1.5)},
		{-7, 6, 4, block{-2, 2, false}, math.Hypot(1.5, 0.5)},
		{3, 5, 5, block{1, 1, false}, math.Hypot(2, 1)},
		{3, 5, 1, block{5, 8, false}, 0},
	} {
		g := skewed(t, 9, 7, c.col0, c.row0)
		got, b := g.candidate(2, 3, c.side, g.limits())
		assert.Equal(t, c.want, b, "%+v", c)
		assert.InDelta(t, c.rank, got.rank, 1e-12, "%+v", c)
		assert.Equal(t, [2]int{2, 3}, [2]int{got.col, got.row})
		assert.False(t, got.tips)

		g.setPct(2, 3, 27)
		got, b = g.candidate(2, 3, c.side, g.limits())
		assert.Equal(t, block{c.want.col, c.want.row, true}, b)
		assert.InDelta(t, 3, got.rank, 1e-5, "three points under 30%%")
		assert.True(t, got.tips)
		near, _ := g.candidate(3, 3, c.side, g.limits())
		assert.False(t, near.tips)
	}
}

// Of each block, an eighth of the spacing of spots wide, one cell is left, and each at a
// hazard.
func TestTheBestOfEachBlock(t *testing.T) {
	g := skewed(t, 28, 28, 0, 0)
	lot := lotBetween(t, &g, -0.1, -0.1, 28.1, 28.1)
	assert.Equal(t, []int{784, 0, 0, 0, 0, 0}, g.wholeCells(lot))
	cands := g.candidates(lot, 0, 784, 1) // 28 cells an eighth of it are 3
	require.Len(t, cands, 100)
	for _, c := range cands {
		// Of blocks that the window cuts off one cell is left, in its first row or column.
		assert.Contains(t, []int{1, 27 % 3}, c.col%3, "%+v", c)
		assert.Contains(t, []int{1, 27 % 3}, c.row%3, "%+v", c)
		assert.Equal(t, g.plane()(c.col, c.row), c.ground)
	}
	assert.True(t, slices.IsSortedFunc(cands, func(a, b candidate) int { return 28*(a.row-b.row) + a.col - b.col }))
	assert.Len(t, g.candidates(lot, 0, 784, 784), 784, "each cell is a block")
	assert.Len(t, g.candidates(lot, 0, 784, 49), 784, "4 cells an eighth of which are none")

	g.Hazards = []Hazard{{g.place(5.5, 5.5), "bank"}, {g.place(5.5, 5.5), "well"}, {g.place(-3, 2), "off the window"}}
	assert.Equal(t, map[[2]int]string{{5, 5}: "bank; well"}, g.hazardCells())
	marked := g.candidates(lot, 0, 784, 1)
	assert.Len(t, marked, 101)
	k := slices.IndexFunc(marked, func(c candidate) bool { return c.hazard != "" })
	assert.Equal(t, [2]int{5, 5}, [2]int{marked[k].col, marked[k].row})
}

// Cells that lie in the lot whole are taken; those whose middle does too where there are
// not enough of them. A lot may run off the window.
func TestCellsOnTheLine(t *testing.T) {
	g := skewed(t, 14, 12, 0, 0)
	for _, c := range []struct {
		c0, r0, c1, r1 float64
		whole, middles int
	}{
		{2.48, 2.52, 9.52, 9.48, 6 * 6, 8 * 6}, // columns 3 to 8, with their middles 2 to 9; rows 3 to 8
		{2.05, 2.05, 8.95, 8.95, 5 * 5, 7 * 7}, // 95% of a cell is not all of it
		{-3, -2, 6.02, 5.02, 6 * 5, 6 * 5},
	} {
		lot := lotBetween(t, &g, c.c0, c.r0, c.c1, c.r1)
		assert.Equal(t, c.whole, g.wholeCells(lot)[0], "%+v", c)
		assert.Len(t, g.candidates(lot, 0, c.whole, c.whole), c.whole, "%+v", c)
		// As many spots as cells make a block of each.
		assert.Len(t, g.candidates(lot, 0, c.whole, c.whole+1), c.middles, "%+v", c)
		assert.Empty(t, g.candidates(lot, 1, 0, 1), "nothing is of another band")
	}
}

// Nobody comes to the window's first cell by walking off its side.
func TestOffTheWindowNobodyWalks(t *testing.T) {
	g := skewed(t, 9, 7, 0, 0)
	for _, at := range [][2]int{{1, 0}, {0, 1}, {1, 1}} {
		g.setPct(at[0], at[1], 90)
	}
	g.Staging = []orb.Point{g.place(8.5, 6.5), g.place(40, 40)}
	f := newFooting(&g)
	assert.False(t, f.onFoot[0])
	assert.True(t, f.onFoot[8])
	n := 0
	for _, on := range f.onFoot {
		if on {
			n++
		}
	}
	assert.Equal(t, 9*7-4, n)
}
