package quality

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// basin is water of 20 × 20 cells at 100 m in ground that stands a base higher and has studs one
// cell in three along rows and columns: every nine cells of it differ by a stud's height.
type basin struct {
	cols, rows, c0, r0 int
	w, h               float64 // of a cell
	base               float64
	water, stud        func(c, r int) float64 // a stud's height at a cell
}

const basinSide = 20

func (b basin) in(c, r int) bool {
	return c >= b.c0 && c < b.c0+basinSide && r >= b.r0 && r < b.r0+basinSide
}

// beyond is how many cells a cell lies off the water, along the rows or the columns.
func (b basin) beyond(c, r int) int {
	return max(b.c0-c, c-b.c0-basinSide+1, b.r0-r, r-b.r0-basinSide+1)
}

func (b basin) grid(t *testing.T, change func(z float64, c, r int) float64) *terrain.Grid {
	t.Helper()
	return onCells(t, gridOf(t, b.cols, b.rows, 1, func(c, r int) float64 {
		studded := over(c%3 == 0 && r%3 == 0)
		z := 100 + b.base + studded*b.stud(c, r)
		if b.in(c, r) {
			z = 100 + studded*b.water(c, r)
		}
		if change != nil {
			z = change(z, c, r)
		}
		return z
	}), b.w, b.h)
}

// onCells is a grid on cells of another size.
func onCells(t *testing.T, g *terrain.Grid, w, h float64) *terrain.Grid {
	t.Helper()
	out, err := terrain.NewGrid(g.Z, g.Cols, g.Rows, w, h)
	require.NoError(t, err)
	out.Z0 = g.Z0
	return out
}

func always(m float64) func(c, r int) float64 { return func(_, _ int) float64 { return m } }

// rough is a basin of still water in rough ground on cells of a meter, 30 cells off every edge.
func rough() basin {
	return basin{cols: 80, rows: 80, c0: 30, r0: 30, w: 1, h: 1, base: 0.3, water: always(0), stud: always(0.5)}
}

// calmOf is the calm water of a grid of which none is known yet.
func calmOf(g *terrain.Grid) []*calmPatch { return calmWater(g, make([]bool, g.Cols*g.Rows), nil) }

// Water may differ by 5.5 mm, and by 0.07% of its way across.
func TestHowFarCalmWaterDiffers(t *testing.T) {
	assert.InDelta(t, 0.0125, calmMost(3, 4), 1e-9, "5.5 mm and 0.07% of twice 5 m")
	g := gridOf(t, 11, 11, 1, func(c, r int) float64 { return 100 + 0.0432*over(c == 10) })
	s := &calm{Grid: onCells(t, g, 3, 4)}
	p := &calmPatch{cells: []int32{0, 10}}
	assert.True(t, s.isLevel(p, 0, 0, 10, 10), "8.25 mm and 35 mm over 50 m")
	assert.False(t, s.isLevel(p, 0, 1, 10, 10))
	assert.False(t, s.isLevel(p, 1, 0, 10, 10))
	g.Z[10] += 0.0002
	assert.False(t, s.isLevel(p, 0, 0, 10, 10))
	g.Z[0], g.Z[10] = g.Z[10], g.Z[0]
	assert.False(t, s.isLevel(p, 0, 0, 10, 10), "it may fall as little as rise")
	for tilt, is := range map[float64]bool{0.001: true, 0.002: false} { // over 19 cells, where 27 mm may be
		b := rough()
		assert.Len(t, calmOf(b.grid(t, func(z float64, c, r int) float64 { return z + tilt*float64(c)*over(b.in(c, r)) })), int(over(is)), "%g", tilt)
	}
}

// Each of nine cells counts, higher or lower, and so does a void. Of a calm nine all cells are
// marked that are not known as water; it may lie in a corner.
func TestNineCellsAreCalmTogether(t *testing.T) {
	for _, at := range [][2]int{{0, 0}, {7, 0}, {0, 5}, {7, 5}, {4, 3}} { // the first of the nine
		for k := range 9 {
			for d, isCalm := range map[float64]bool{0.0074: true, -0.0074: true, 0.0076: false, -0.0076: false, math.NaN(): false} {
				g := gridOf(t, 10, 8, 1, func(c, r int) float64 {
					switch {
					case c < at[0] || c > at[0]+2 || r < at[1] || r > at[1]+2:
						return 101 + float64(r*10+c)
					case (r-at[1])*3+c-at[0] == k:
						return 100 + d
					}
					return 100
				})
				taken := make([]bool, 80)
				known := at[1]*10 + at[0] + 12
				taken[known] = true
				s := &calm{Grid: g, most: calmMost(1, 1)}
				s.mark(taken, nil)
				for i := range 80 {
					c, r := i%10-at[0], i/10-at[1]
					want := isCalm && c >= 0 && c < 3 && r >= 0 && r < 3 && i != known
					require.Equal(t, want, s.in != nil && s.in[i] == calmCell, "nine at %v, %g at %d: cell %d", at, d, k, i)
				}
			}
		}
	}
}

// A patch is what hangs together by sides, whichever way it winds.
func TestWhatHangsTogetherIsOnePatch(t *testing.T) {
	drawn := []string{
		"aa.bb..a",
		".a.....a",
		".a.aaa.a",
		".aaa.aaa",
		"b..a....",
		"bb.aaaa.",
		"b...aaa.",
	}
	s := &calm{Grid: gridOf(t, 8, 7, 1, always(100)), in: make([]byte, 56)}
	all := strings.Join(drawn, "")
	for i := range s.in {
		s.in[i] = calmCell * byte(over(all[i] != '.'))
	}
	assert.Nil(t, s.patch(0, nil), "too small for water")
	for i := range s.in {
		assert.Equal(t, all[i] == 'a', s.in[i] == calmSeen, "%d", i)
	}
	c0, r0, c1, r1 := (&calmPatch{Patch{Col: 3, Row: 1}, []int32{13, 14, 21, 22, 32, 35}}).box(10)
	assert.Equal(t, [4]int{1, 1, 5, 3}, [4]int{c0, r0, c1, r1})
}

// What is found has its own cells, as far as the edges, its mean height and its rim.
func TestWhatCalmWaterIsToldAs(t *testing.T) {
	for name, at := range map[string][2]int{"in the middle": {30, 30}, "north and west": {0, 0}, "south and east": {60, 60}} {
		b := rough()
		b.c0, b.r0, b.w, b.h = at[0], at[1], 2, 3
		b.water = func(c, r int) float64 { return 0.005 }
		found := calmOf(b.grid(t, nil))
		require.Len(t, found, 1, name)
		studs := 0
		var cells []int32
		for i := range b.cols * b.rows {
			if c, r := i%b.cols, i/b.cols; b.in(c, r) {
				cells = append(cells, int32(i))
				studs += int(over(c%3 == 0 && r%3 == 0))
			}
		}
		assert.Equal(t, cells, found[0].cells, name)
		mean := 100 + 0.005*float64(studs)/400
		assert.InDelta(t, mean, found[0].HeightM, 1e-6, name)
		assert.Equal(t, Patch{Col: at[0], Row: at[1], Cells: 400, AreaM2: 2400, HeightM: found[0].HeightM, Calm: true}, found[0].Patch, name)
	}
}

// Three quarters of the shore, the two cells beside the water, must stand 2 cm higher. The outermost
// cells have no nine, and are no shore.
func TestTheShoreOfCalmWater(t *testing.T) {
	for name, c := range map[string]struct {
		c0, r0, shore int
	}{
		"in the middle": {30, 30, 160},
		"north":         {30, 0, 116}, "west": {0, 30, 116}, "south": {30, 60, 116}, "east": {60, 30, 116},
		"one off":   {1, 30, 120},
		"two off":   {2, 30, 140},
		"two below": {30, 2, 140}, "two above": {30, 58, 140}, "two before": {58, 30, 140},
		"in a corner":          {0, 0, 76},
		"to the last column":   {20, 30, 116}, // of 40, all of which lie around
		"from the first of 40": {-40, 30, 116},
	} {
		b := rough()
		b.c0, b.r0 = c.c0, c.r0
		if strings.Contains(name, "last column") || c.c0 < 0 {
			b.cols, b.c0 = 40, max(c.c0, 0)
		}
		// with tells the first cells of the shore how high they stand over the water.
		with := func(n int, overM float64) []*calmPatch {
			k := 0
			return calmOf(b.grid(t, func(z float64, col, row int) float64 {
				straight := col >= b.c0 && col < b.c0+basinSide || row >= b.r0 && row < b.r0+basinSide
				if d := b.beyond(col, row); straight && d >= 1 && d <= 2 && col > 0 && row > 0 && col < b.cols-1 && row < b.rows-1 {
					if k++; k <= n {
						return 100 + overM
					}
				}
				return z
			}))
		}
		may := c.shore / 4
		for overM, share := range map[float64]float64{0.0195: 0, 0.0105: 0, -0.01: float64(may) / float64(c.shore)} {
			found := with(may, overM)
			require.Len(t, found, 1, "%s, %g m", name, overM)
			assert.InDelta(t, share, found[0].LowerRim, 1e-12, "%s, %g m", name, overM)
			assert.Len(t, found[0].cells, 400)
			assert.Empty(t, with(may+1, overM), "%s, %g m", name, overM)
		}
		assert.Len(t, with(may+1, 0.0205), 1, name)
	}
	b := rough()
	found := calmOf(b.grid(t, func(z float64, c, r int) float64 {
		if c == b.c0+5 && b.beyond(c, r) == 2 {
			return 100
		}
		return z
	}))
	require.Len(t, found, 1)
	assert.Zero(t, found[0].LowerRim, "at the height of the water is not lower")
}

// Half of the ground as far as 20 m around must be four times as rough as half of the water, and
// differ by 5.5 mm.
func TestTheGroundAroundCalmWater(t *testing.T) {
	// nearer has one roughness up to so many cells off, and another beyond.
	nearer := func(b basin, off int, near, far float64) basin {
		b.stud = func(c, r int) float64 {
			if b.beyond(c, r) <= off {
				return near
			}
			return far
		}
		return b
	}
	still := rough()
	still.water, still.r0 = always(0.005), 31
	for _, c := range []struct{ w, h, fewer, more float64 }{
		{1, 1, 12, 13}, // of 60² - 20² cells around half are 1600: 45 × 42 - 20² see a stud up to 12 off, 45 × 48 - 20² up to 13
		{1, 3, 12, 13}, {3, 1, 12, 13},
		{1.5, 1.5, 8, 9}, // of 48² - 20² half are 952: 36 × 36 - 20² up to 8 off, 39 × 36 - 20² up to 9
		{2, 2, 6, 7},     // of 40² - 20² half are 600: 33 × 30 - 20² up to 6 off, 33 × 36 - 20² up to 7
	} {
		b := still
		b.w, b.h = c.w, c.h
		assert.Empty(t, calmOf(nearer(b, int(c.fewer), 0.1, 0.018).grid(t, nil)), "%+v", c)
		assert.Len(t, calmOf(nearer(b, int(c.more), 0.1, 0.018).grid(t, nil)), 1, "%+v", c)
	}
	for least, is := range map[float64]bool{0.0199: false, 0.0201: true} {
		b := still
		b.stud = always(least)
		assert.Len(t, calmOf(b.grid(t, nil)), int(over(is)), "4 × 5 mm")
	}
	for rows, is := range map[int]bool{6: true, 9: false} { // of 400 nines 252 or 198 lie still, beside those at the edge
		b := rough()
		b.stud = always(0.015)
		b.water = func(_, r int) float64 { return 0.005 * over(r < b.r0+rows) }
		assert.Len(t, calmOf(b.grid(t, nil)), int(over(is)), "%d", rows)
	}
	for least, is := range map[float64]bool{0.0054: false, 0.0056: true} {
		found := calmOf(nearer(rough(), 4, 0.5, least).grid(t, nil))
		assert.Equal(t, is, slices.ContainsFunc(found, func(p *calmPatch) bool { return p.Cells == 400 }), "%g", least)
	}
}

// Ranges beside voids were taken for 0, as if the ground there were still: a pond among voids was
// no water.
func TestCalmWaterAmongVoids(t *testing.T) {
	b := rough()
	void := func(when func(c, r int) bool) *terrain.Grid {
		return b.grid(t, func(z float64, c, r int) float64 {
			if when(c, r) {
				return math.NaN()
			}
			return z
		})
	}
	assert.Len(t, calmOf(void(func(c, r int) bool { return b.beyond(c, r) > 3 && c%4 == 0 })), 1)
	assert.Len(t, calmOf(void(func(c, r int) bool { return b.beyond(c, r) > 3 && r%4 == 0 })), 1)
	assert.Empty(t, calmOf(void(func(c, r int) bool { return b.beyond(c, r) == 1 })), "no shore is known")
	assert.Empty(t, calmOf(void(func(c, r int) bool { return b.beyond(c, r) >= 1 })), "nothing around is known")
}

// 20 cells around are enough to hold water against, 19 are not. Water of which nothing but the
// edge is left beside what is known has no nine to hold against the ground.
func TestHowMuchCalmWaterIsHeldAgainst(t *testing.T) {
	strip := func(rows int, change func(g *terrain.Grid)) int { // still water, three columns off the end
		g := gridOf(t, 40, rows, 1, func(c, r int) float64 { return 100 + over(c > 36)*(1+over(c%3 == 0 && r%3 == 0)) })
		if change != nil {
			change(g)
		}
		return len(calmOf(g))
	}
	assert.Equal(t, 1, strip(12, nil), "2 × 10")
	assert.Equal(t, 0, strip(12, func(g *terrain.Grid) { g.Z[39] = float32(math.NaN()) }))
	g := gridOf(t, 60, 12, 4, func(c, r int) float64 { return 100 })
	taken := make([]bool, 60*12)
	for i := range taken {
		taken[i] = i >= 60
	}
	assert.Empty(t, calmWater(g, taken, nil))
}

// The least water is 200 m², and 20 cells.
func TestTheLeastCalmWater(t *testing.T) {
	for _, c := range []struct {
		w, h       float64
		wide, tall int
		is         bool
	}{{1, 1, 10, 20, true}, {1, 1, 11, 18, false}, {2, 0.5, 20, 10, true}, {2, 0.499, 20, 10, false}} {
		g := gridOf(t, 60, 60, 1, func(col, row int) float64 {
			if col >= 20 && col < 20+c.wide && row >= 20 && row < 20+c.tall {
				return 100
			}
			return 100.5 + 0.5*over(col%3 == 0 && row%3 == 0)
		})
		assert.Len(t, calmOf(onCells(t, g, c.w, c.h)), int(over(c.is)), "%+v", c)
	}
	for without, is := range map[float64]bool{0: true, 0.5: false} { // 4 × 5 cells at an end, and one of them
		g := gridOf(t, 40, 5, 1, func(c, r int) float64 {
			return 100 + over(c > 3)*(1+over(c%3 == 0 && r%3 == 0)) - without*over(c == 0 && r == 0)
		})
		assert.Len(t, calmOf(onCells(t, g, 1, 10)), int(over(is)), "%g", without)
	}
}

// Calm water takes its place among what is dead flat, and its runs theirs: each as long as the
// row of cells that it stands for, none over the end of a row.
func TestCalmWaterInReadingOrder(t *testing.T) {
	flat := []Patch{{Col: 3, Row: 1, Cells: 2, AreaM2: 20}, {Col: 0, Row: 4, Cells: 1, AreaM2: 10}}
	p := &Patches{List: slices.Clone(flat), Cells: 3, AreaM2: 30, cols: 5, rows: 6, runs: []flatRun{{1, 3, 5, 0}, {4, 0, 1, 1}}}
	p.addCalm(nil)
	assert.Equal(t, flat, p.List)
	calm := []*calmPatch{
		{Patch{Col: 1, Row: 1, Cells: 3, AreaM2: 33}, []int32{6, 7, 11}},
		{Patch{Col: 3, Row: 2, Cells: 6, AreaM2: 66}, []int32{13, 14, 15, 16, 18, 22}},
		{Patch{Col: 2, Row: 4, Cells: 2, AreaM2: 22}, []int32{22, 24}},
	}
	p.addCalm(calm)
	assert.Equal(t, []Patch{calm[0].Patch, flat[0], calm[1].Patch, flat[1], calm[2].Patch}, p.List)
	assert.Equal(t, 3+11, p.Cells)
	assert.Equal(t, 30+121.0, p.AreaM2)
	var got [][4]int
	p.Runs(func(patch Patch, row, c0, c1 int) {
		got = append(got, [4]int{slices.Index(p.List, patch), row, c0, c1})
	})
	assert.Equal(t, [][4]int{
		{0, 1, 1, 3}, {1, 1, 3, 5}, {0, 2, 1, 2}, {2, 2, 3, 5}, {2, 3, 0, 2}, {2, 3, 3, 4}, {3, 4, 0, 1}, {2, 4, 2, 3}, {4, 4, 2, 3}, {4, 4, 4, 5},
	}, got)
}

// A look for calm water looks at its context once in 65 536 cells, in each of its passes.
func TestALookForCalmWaterEnds(t *testing.T) {
	still := gridOf(t, 300, 300, 1, func(c, r int) float64 { return 100 })
	ctx := &looks{context.Background(), 0, 1000}
	calmWater(still, make([]bool, 90000), beside.NewWatch(ctx))
	assert.Equal(t, 1+4, ctx.n, "marks, the cells of the patch, and what is around")
}
