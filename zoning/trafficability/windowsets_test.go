package trafficability

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// Cells with their neighbors are asked about; those off the ground to be driven on are its fringe.
// What keeps all machines off is free for none.
func TestTheWindowThatAllMachinesFind(t *testing.T) {
	nan := float32(math.NaN())
	g := level(t, 70, 4, 1)
	g.Drive = make([]bool, 280)
	g.Drive[70+64], g.Drive[3*70+2] = true, true
	g.Closed = make([]bool, 280)
	g.Closed[5], g.Closed[69], g.Closed[279] = true, true, true
	g.Setback = make([]bool, 280)
	g.Setback[5], g.Setback[6], g.Setback[7] = true, true, true
	g.Field.Squared[6], g.Field.Squared[70], g.Field.Squared[279] = nan, nan, nan
	first := map[int]zoning.Why{5: zoning.Closed, 69: zoning.Closed, 279: zoning.Closed, 6: zoning.InSetback, 7: zoning.InSetback, 70: zoning.NotMeasured}
	g.waterLines(func(c, r int) bool { return c == 1 && r == 1 })
	l := lieOf(g.Grid)
	w := windowOf(g, l, nil)
	for i := range 280 {
		c, r := i%70, i/70
		near := max(c-64, 64-c, r-1, 1-r) <= 1 || max(c-2, 2-c, 3-r) <= 1
		assert.Equal(t, near, w.asked.has(i), "%d", i)
		assert.Equal(t, g.Drive[i], w.drive.has(i))
		assert.Equal(t, near && !g.Drive[i], w.fringe.has(i))
		assert.Equal(t, first[i], w.closed[i], "%d: the first rule, or none", i)
		assert.Equal(t, first[i] == zoning.Works, w.free.has(i))
		assert.Equal(t, i == 71, w.water.row(r)[c/64]>>(c%64)&1 != 0)
	}
	g.AcresOnly = true
	assert.Empty(t, windowOf(g, l, nil).water.words)
}

// Where only acres are asked for there is nothing else, and they are the same.
func TestAcresWithoutTheRest(t *testing.T) {
	height := hills(4, 80, 4)
	ground := func() *Ground {
		g := made(t, 90, 80, 1, 1, height).unloads([2]int{40, 40}, [2]int{70, 20})
		g.closed(func(c, r int) bool { return c == 45 && r != 10 || r == 60 })
		return g.waterLines(func(c, _ int) bool { return c == 55 })
	}
	fleet := []zoning.Machine{boom, loader, crawler}
	whole, acres := find(ground(), fleet...), ground()
	acres.AcresOnly = true
	only := find(acres, fleet...)
	assert.Equal(t, whole.Masks, only.Masks)
	for k := range fleet {
		assert.Nil(t, only.Why[k])
		assert.Nil(t, only.Stands[k])
		assert.Nil(t, only.Crossings[k])
		assert.Nil(t, only.Pockets[k])
		assert.Nil(t, only.Pieces[k])
		assert.Nil(t, only.Pinches[k])
		assert.Nil(t, only.Unloads[k])
		assert.NotNil(t, whole.Why[k])
		assert.NotNil(t, whole.Stands[k])
		assert.NotNil(t, whole.Crossings[k])
	}
	assert.NotEmpty(t, whole.Pockets[1])
	assert.NotEmpty(t, whole.Unloads[1])
	acres.Staging, acres.WaterLines = nil, nil
	assert.Nil(t, find(acres, fleet...).Pockets[1])
}

// A rule that is asked by rows says of each of the cells what it says of them one by one, and
// of no other.
func TestRulesByRowsAreThoseByCells(t *testing.T) {
	const cols, rows = 70, 3
	g := made(t, cols, rows, 1, 1, hills(3, 30, 6))
	g.Field.Squared[75] = float32(math.NaN())
	g.Closed, g.Setback = ones(10, cols*rows, 0.3), ones(11, cols*rows, 0.3)
	firm, steps := make([]zoning.Mask, cols*rows), make([]float32, cols*rows)
	for i, is := range ones(8, cols*rows, 0.5) {
		firm[i], steps[i] = 0b10*zoning.Mask(bit(is))|0b101, 0.1*float32(i%7)
	}
	l := lieOf(g.Grid)
	asked := l.cellsOf(ones(9, cols*rows, 0.7))
	asked.add(75)
	for why, byRow := range rulesByRow {
		byCell := cellRules[slices.IndexFunc(cellRules, func(r struct {
			why zoning.Why
			Rule
		}) bool {
			return r.why == why
		})]
		tried := 0
		for _, stepsOf := range [][]float32{nil, steps} {
			for _, firmOf := range [][]zoning.Mask{nil, firm} {
				for _, stepM := range []float64{0, 0.35} {
					ground := *g
					ground.StepM, ground.Firm = stepsOf, firmOf
					a := Asked{Ground: &ground, Machine: zoning.Machine{StepM: stepM}, Index: 1, AlongPct: 20}
					of := byRow(a)
					if of == nil {
						assert.Equal(t, zoning.TooGreatAStep, why)
						assert.True(t, firmOf == nil || stepsOf != nil && stepM > 0, "only where both are asked, or nothing")
						continue
					}
					tried++
					holds := byCell.Of(a)
					for r := range rows {
						off := slices.Repeat([]uint64{math.MaxUint64}, l.noCells().words)
						of(off, asked.row(r), r*cols)
						for c := range 128 {
							if r*cols+c == 75 && why >= zoning.TooSteep {
								continue // not measured: nobody asks
							}
							want := c < cols && asked.has(r*cols+c) && holds(r*cols+c)
							assert.Equal(t, want, off[c/64]>>(c%64)&1 != 0, "%v, row %d, column %d", why, r, c)
						}
					}
				}
			}
		}
		assert.Positive(t, tried, "%v", why)
	}
}
