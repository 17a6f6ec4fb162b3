package field

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// Places are those of the raster, wherever its window begins.
func TestPlacesOfAWindow(t *testing.T) {
	g := skewed(t, 9, 7, 40, 60)
	p := g.place(2.3, 4.6)
	assert.InDelta(t, -84+(2*42.3+0.7*64.6)/78846.81, p[0], 1e-9)
	assert.InDelta(t, 45-(0.3*42.3+1.2*64.6)/111131.75, p[1], 1e-9)
	col, row, inside := g.cell(p)
	assert.Equal(t, []any{2, 4, true}, []any{col, row, inside})
	for _, off := range [][2]float64{{-0.4, 3}, {3, -0.4}, {9.2, 3}, {3, 7.2}} {
		col, row, inside = g.cell(g.place(off[0], off[1]))
		assert.Equal(t, []any{0, 0, false}, []any{col, row, inside}, "%v", off)
	}
	for _, off := range [][2]int{{-1, 3}, {3, -1}, {9, 3}, {3, 7}} {
		i, inside := g.index(off[0], off[1])
		assert.Equal(t, []any{0, false}, []any{i, inside}, "%v", off)
	}
	assert.Equal(t, g.Cells.Frame.MetricAt(42.5, 64.5), g.metric(2, 4))

	frame, err := terrain.NewFrame(4, 0, 0, 8, 8, func(cells [][2]float64) (out [][2]float64, err error) {
		for _, c := range cells {
			out = append(out, [2]float64{180 + (c[0]-4)*1e-4, 10 - c[1]*1e-4})
		}
		return out, nil
	})
	require.NoError(t, err)
	g.Cells.Frame, g.Cells.Col0, g.Cells.Row0 = frame, 0, 0
	assert.InDelta(t, -179.9997, g.place(7, 1)[0], 1e-9, "longitude is told from -180 to 180")
	assert.InDelta(t, 179.9997, g.place(1, 1)[0], 1e-9)
}

// Cells, heights and slopes of different windows are refused.
func TestGroundOfOneWindow(t *testing.T) {
	const apart = "cells, heights and slopes of different windows cannot be checked together"
	for words, spoil := range map[string]func(g *Ground){
		"29 masks for 30 cells":                 func(g *Ground) { g.Cells.Masks = g.Cells.Masks[1:] },
		"of Squared there are 29 values":        func(g *Ground) { g.Field.Squared = g.Field.Squared[1:] },
		"30 heights do not fill 7 columns":      func(g *Ground) { g.Grid.Cols++ },
		"30 heights do not fill 6 columns × 6 ": func(g *Ground) { g.Grid.Rows++ },
		apart:                                   func(g *Ground) { g.Grid.Cols-- },
	} {
		g := skewed(t, 6, 5, 0, 0)
		require.NoError(t, g.check())
		spoil(&g)
		assert.ErrorContains(t, g.check(), words)
	}
	g := skewed(t, 6, 5, 0, 0)
	g.Grid.Rows--
	assert.EqualError(t, g.check(), apart)
	g = skewed(t, 6, 5, 0, 0)
	g.Field.Rows, g.Field.Squared = 4, g.Field.Squared[:24]
	g.Field.Aspect, g.Field.Step, g.Field.RoughSquared = nil, nil, nil
	assert.EqualError(t, g.check(), apart)
}

// A machine that works ground too steep to drive on is held to the lower of the faces that
// it reaches, to the other where the map has the cell steeper than that.
func TestTheFaceAMachineIsHeldTo(t *testing.T) {
	boom := func(limit, up, down float64) zoning.Machine {
		return zoning.Machine{Key: "boom", Name: "Boom", LimitPct: limit, ReachM: 8, ReachUpPct: up, ReachDownPct: down}
	}
	for _, c := range []struct {
		machine zoning.Machine
		drawn   []zoning.Machine
		pct     float64
		works   bool
		want    float64
		held    bool
	}{
		{boom(40, 100, 80), nil, 30, true, 40, true},
		{boom(40, 100, 80), nil, 30, false, 40, false},
		{boom(40, 100, 80), nil, 60, false, 40, true},
		{boom(40, 100, 80), nil, 60, true, 80, true}, {boom(40, 70, 100), nil, 60, true, 70, true},
		{boom(40, 100, 80), nil, 90, true, 100, true}, {boom(40, 70, 100), nil, 90, true, 100, true},
		{boom(40, 70, 100), []zoning.Machine{boom(40, 60, 90)}, 65, true, 100, true},
		{boom(40, 100, 70), []zoning.Machine{boom(40, 90, 60)}, 65, true, 100, true},
		{boom(40, 30, 35), []zoning.Machine{boom(20, 29, 34)}, 25, true, 40, true},
	} {
		g := skewed(t, 6, 5, 0, 0)
		g.Fleet, g.Drawn = []zoning.Machine{c.machine}, c.drawn
		g.setPct(2, 3, c.pct)
		i := 3*6 + 2
		if !c.works {
			g.Cells.Masks[i] = 0
		}
		got, held := g.limit(i, 0, g.limits()[0])
		assert.Equal(t, []any{c.want, c.held}, []any{got, held}, "%+v", c)
	}
}

// A band could tip from what is surely within its limit up, the tie with it; five points
// under the limit where nobody knows the error; and wherever the cells say so.
func TestFromWhereABandCouldTip(t *testing.T) {
	g := skewed(t, 6, 5, 0, 0)
	g.setPct(2, 3, 25) // 0.0625 as a square, exactly
	i := 3*6 + 2
	assert.True(t, g.couldTip(i, 0, 30))
	assert.False(t, g.couldTip(i, 0, 30.5))
	g.SurePct = []float64{25}
	assert.True(t, g.couldTip(i, 0, 60))
	g.SurePct[0] = 25.1
	assert.False(t, g.couldTip(i, 0, 26))
	assert.True(t, g.couldTip(i, 1, 30), "of a machine that nobody gave one for")
	g.Cells.Unsure = make([]bool, len(g.Cells.Masks))
	assert.False(t, g.couldTip(i, 0, 26))
	g.Cells.Unsure[i] = true
	assert.True(t, g.couldTip(i, 0, 60))
	assert.False(t, g.couldTip(0, 0, 60))
	g.Cells.Sure = make([]zoning.Mask, len(g.Cells.Masks))
	assert.True(t, g.couldTip(0, 0, 60), "what is told of cells decides")
}

// The fall line is that of the ground, on cells with skewed corners too: heights fall
// 30% to the east and 40% to the south, so that it bears 180° - atan(3/4).
func TestTheFallLineOnSkewedCells(t *testing.T) {
	g := skewed(t, 20, 20, 40, 60)
	for i := range g.Grid.Z {
		c, r := float64(i%20), float64(i/20)
		g.Grid.Z[i] = float32(90 - 0.3*(2*c+0.7*r) - 0.4*(0.3*c+1.2*r))
	}
	s, _ := g.bare(9, 8)
	assert.InDelta(t, 180-math.Atan2(3, 4)*180/math.Pi, s.DownhillDeg, 0.1)
	dCol, dRow, ok := g.downhill(9, 8)
	require.True(t, ok)
	assert.InDelta(t, 1, math.Hypot(2*dCol+0.7*dRow, 0.3*dCol+1.2*dRow), 2e-3, "in cells a meter")

	// The first place along it that people may stand on is told, and the bearing from there.
	f := &footing{&g, make([]bool, 400)}
	f.onFoot[0] = true
	assert.Nil(t, f.sight(9, 8), "off the window nobody stands")
	stepM := math.Hypot(0.7, 1.2) / 2
	for _, c := range []struct {
		n    float64
		from string
		sign float64
	}{{1, "toe", 1}, {7, "toe", 1}, {7, "crest", -1}} {
		clear(f.onFoot)
		d := c.n * stepM
		col, row := 9.5+c.sign*d*dCol, 8.5+c.sign*d*dRow
		f.onFoot[int(row)*20+int(col)] = true
		got := f.sight(9, 8)
		require.NotNil(t, got, "%+v", c)
		assert.Equal(t, c.from, got.From)
		assert.LessOrEqual(t, got.DistanceM, d*1.002)
		at, there, _ := g.cell(got.At)
		assert.Equal(t, [2]int{int(col), int(row)}, [2]int{at, there})
		assert.InDelta(t, 0, math.Remainder(got.DistanceM/stepM, 1), 0.02, "in steps of half a cell's shorter side")
		want := bearing(got.At, g.place(9.5, 8.5))
		assert.InDelta(t, want, got.BearingDeg, 1e-9)
	}
	f.onFoot[8*20+9] = true
	assert.InDelta(t, stepM, f.sight(9, 8).DistanceM, 2e-3, "the first step")
}

// A rise is taken over a machine's length, over less beside voids: of heights c³ about the
// fifth cell.
func TestRiseOverALength(t *testing.T) {
	g := skewed(t, 12, 3, 0, 0)
	fill := func(voids ...int) {
		for i := range g.Grid.Z {
			c := float32(i % 12)
			g.Grid.Z[i] = c * c * c
		}
		for _, c := range voids {
			g.Grid.Z[12+c] = float32(math.NaN())
		}
	}
	half := zoning.DefaultFootprintM / 2
	for _, c := range []struct {
		cellM float64
		voids []int
		want  float64
	}{
		{2 * half, nil, 76}, {half, nil, 76}, {half/2 + 0.01, nil, 76}, {half / 2, nil, 79}, {half/3 - 1e-9, nil, 84},
		{half / 2, []int{7}, 76}, {half / 2, []int{6}, 79}, {half / 2, []int{4, 7}, 91}, {half, []int{6}, 61}, {half, []int{4, 6}, math.NaN()},
	} {
		fill(c.voids...)
		got := g.rise(5, 1, 1, 0, c.cellM)
		if math.IsNaN(c.want) {
			assert.True(t, math.IsNaN(got))
			continue
		}
		assert.InDelta(t, c.want, got, 1e-9, "%+v", c)
	}
}

// People come over the sides of lots: cells that a line cuts, those at the window's edge,
// and those beside another lot's; not over a corner alone.
func TestTheRimOfLots(t *testing.T) {
	g := skewed(t, 20, 20, 0, 0)
	box := func(c0, r0, c1, r1 float64) orb.Polygon {
		return orb.Polygon{{g.place(c0, r0), g.place(c1, r0), g.place(c1, r1), g.place(c0, r1), g.place(c0, r0)}}
	}
	lot := func(ground ...orb.Polygon) zoning.LotMap {
		m, err := zoning.MapLot(g.Cells, g.Field, g.Fleet, nil, zoning.Parcel{Lot: "a", Ground: ground})
		require.NoError(t, err)
		return m
	}
	at := func() map[[2]int]bool {
		out := map[[2]int]bool{}
		for _, c := range g.rim() {
			out[c] = true
		}
		return out
	}
	for _, c := range []struct {
		c0, r0, c1, r1 float64
		edge, next     [2]int // a cell that is whole at the window's edge, and that within it
	}{
		{-2, 5.5, 8.5, 12.5, [2]int{0, 8}, [2]int{1, 8}}, {8.5, 5.5, 22, 12.5, [2]int{19, 8}, [2]int{18, 8}},
		{5.5, -2, 12.5, 8.5, [2]int{8, 0}, [2]int{8, 1}}, {5.5, 8.5, 12.5, 22, [2]int{8, 19}, [2]int{8, 18}},
	} {
		g.Lots = []zoning.LotMap{lot(box(c.c0, c.r0, c.c1, c.r1))}
		rim := at()
		assert.True(t, rim[c.edge], "%v", c)
		assert.False(t, rim[c.next], "%v", c)
		assert.Len(t, g.rim(), len(rim), "each once")
	}
	g.Lots = []zoning.LotMap{lot(box(2.05, 2.05, 10.95, 10.95))}
	rim := at()
	assert.True(t, rim[[2]int{2, 5}], "95% of it is in the lot")
	assert.Len(t, rim, 4*8)

	// Whole cells with nothing beside them, of the second of two lots.
	g.Lots = []zoning.LotMap{lot(box(12, 12, 15, 15)), lot(box(3, 3, 9, 9))}
	rim = at()
	assert.True(t, rim[[2]int{3, 5}])
	assert.False(t, rim[[2]int{5, 5}])

	// A cross, and another lot in its corners, which come within a hundredth of a cell.
	cross := orb.Polygon{{
		g.place(7, 2), g.place(13, 2), g.place(13, 7), g.place(18, 7), g.place(18, 13), g.place(13, 13),
		g.place(13, 18), g.place(7, 18), g.place(7, 13), g.place(2, 13), g.place(2, 7), g.place(7, 7), g.place(7, 2),
	}}
	for i, p := range cross[0] {
		c, r := g.Cells.Frame.Cell(p[0], p[1])
		out := func(v float64) float64 { return v + math.Copysign(0.01, v-10) }
		cross[0][i] = g.place(out(c), out(r))
	}
	corners := []orb.Polygon{box(2.5, 2.5, 6.98, 6.98), box(13.02, 2.5, 17.5, 6.98), box(2.5, 13.02, 6.98, 17.5), box(13.02, 13.02, 17.5, 17.5)}
	g.Lots = []zoning.LotMap{lot(cross), lot(corners...)}
	rim = at()
	for _, inner := range [][2]int{{7, 7}, {12, 7}, {7, 12}, {12, 12}, {10, 10}} {
		assert.False(t, rim[inner], "%v", inner)
	}
	for _, beside := range [][2]int{{7, 5}, {12, 5}, {7, 14}, {12, 14}, {5, 7}, {5, 12}, {14, 7}, {14, 12}} {
		assert.True(t, rim[beside], "%v", beside)
	}
}
