package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// More water lines than are counted stay the most that are counted: a cell with ways in is
// never taken for one without.
func TestMostCrossings(t *testing.T) {
	const cols = 1060
	g := level(t, cols, 5, 1).unloads([2]int{0, 2})
	g.waterLines(func(c, _ int) bool { return c%4 == 2 })
	w := find(g, zoning.Machine{Key: "a", LimitPct: 30})
	at := func(c int) int { return int(w.Crossings[0][2*cols+c]) }
	assert.Equal(t, []int{0, 1, 1, 2}, []int{at(1), at(2), at(5), at(6)})
	assert.Equal(t, []int{253, 254, 254, 254}, []int{at(4*252 + 2), at(4*253 + 2), at(4*254 + 2), at(4*262 + 2)})
	g.closed(func(c, _ int) bool { return c == 8 || c == 9 })
	assert.Equal(t, uint8(Unreached), find(g, zoning.Machine{Key: "a", LimitPct: 30}).Crossings[0][2*cols+20])

	g.Closed, g.AcresOnly = nil, true
	assert.Nil(t, find(g, zoning.Machine{Key: "a", LimitPct: 30}).Crossings[0], "acres do not ask")
}

// A pocket is as large as its ground in lots: 203 cells of 1 m are 0.0502 acres, 202 are
// 0.0499 and not listed.
func TestSmallestPocket(t *testing.T) {
	g := level(t, 60, 40, 1)
	g.Lots, g.Drive = make([]bool, len(g.Lots)), g.Lots
	g.closed(func(c, r int) bool { return c == 20 || c == 40 })
	lot := func(first, n int) {
		for i := range n {
			g.Lots[(i/18+2)*60+first+i%18] = true
		}
	}
	lot(1, 202)
	lot(21, 203)
	lot(41, 400)
	pockets := find(g, zoning.Machine{Key: "a", LimitPct: 30}).Pockets[0]
	require.Len(t, pockets, 2)
	assert.InDelta(t, 400/4046.8564224, pockets[0].Acres, 1e-12)
	assert.InDelta(t, 203/4046.8564224, pockets[1].Acres, 1e-12)
	assert.Equal(t, []int{41, 21}, []int{pockets[0].Cell, pockets[1].Cell})
	g.AcresOnly = true
	assert.Empty(t, find(g, zoning.Machine{Key: "a", LimitPct: 30}).Pockets[0])
}

// Ground at the limit across is none to turn on, a tie short of it is.
func TestTurnAtTheVeryLimit(t *testing.T) {
	at := func(pct float64) zoning.Why {
		g := made(t, 31, 31, 1, 1, func(_, y float64) float64 { return pct / 100 * y })
		return find(g, zoning.Machine{Key: "a", LimitPct: 30, CrossPct: 15}).Why[0][15*31+15]
	}
	assert.Equal(t, zoning.Works, at(14.97))
	assert.Equal(t, zoning.NoTurn, at(14.99))
	assert.Equal(t, zoning.NoTurn, at(15))
}

// By hand, with eighths of a cell rounded up: from the bench a run of 7.9 m ends at the
// seventh cell, one of 8 m at the eighth. A step to the corner of a cell of 1 m costs 12
// eighths, one of two cells by one 18.
func TestRunAtItsVeryLength(t *testing.T) {
	g := made(t, 9, 80, 1, 1, profile([2]float64{40, 0.10}, [2]float64{80, 0.25}))
	run := func(runM float64) int {
		m := zoning.Machine{Key: "a", LimitPct: 30, CrossPct: 15, RunM: runM}
		return lastWorked(find(g, m).reasons(g, 0, 4))
	}
	bench := run(0.01)
	for runM, cells := range map[float64]int{0.99: 0, 1: 1, 7.9: 7, 8: 8, 8.1: 8, 20: 20} {
		assert.Equal(t, bench+cells, run(runM), "%g m", runM)
	}
	p := moverOn(level(t, 9, 9, 1), zoning.Machine{RunM: 1.9})
	for at, want := range map[float64][3]uint16{1.49: {8, 0xffff, 0xffff}, 1.5: {8, 12, 0xffff}, 2.24: {8, 12, 0xffff}, 2.25: {8, 12, 18}} {
		p.machine.RunM = at
		for i := range p.scratch.heads {
			p.scratch.heads[i] = 0
		}
		turning := p.lie.noCells()
		turning.add(40)
		for i := range 81 {
			p.scratch.heads[p.padded(i)] = 0x7f
			p.scratch.fits.add(i)
		}
		runs := p.runsFrom(turning)
		assert.Equal(t, want, [3]uint16{runs[p.padded(41)], runs[p.padded(50)], runs[p.padded(51)]}, "%g m", at)
		assert.Zero(t, runs[p.padded(40)])
	}
}

// A patch of the very size is worth moving to.
func TestPatchOfTheVerySize(t *testing.T) {
	g := level(t, 60, 60, 1).closed(func(c, r int) bool { return c < 20 || c >= 40 || r < 20 || r >= 40 })
	perCell := lieOf(g.Grid).areaM2 / terrain.SquareMetresPerAcre
	assert.Equal(t, zoning.Works, find(g, anywhere("a", 30, 400*perCell)).Why[0][30*60+30])
	assert.Equal(t, zoning.TooSmallAPatch, find(g, anywhere("a", 30, math.Nextafter(400*perCell, 1))).Why[0][30*60+30])
}

// A wall with a gap of 3 cells, and the field beyond: a pinch where the field has 203 cells
// to stand on, none with 202; of two gaps the one with more ground beyond comes first.
func TestSmallestGroundBeyondAPinch(t *testing.T) {
	m := zoning.Machine{Key: "a", LimitPct: 30, WidthM: 2, FootprintM: 3} // 1.30 m, half again 1.96 m
	g := level(t, 103, 60, 1).unloads([2]int{50, 30})
	gaps := func(c, r int) bool {
		return (c >= 40 && c < 43 || c >= 60 && c < 63) && (r < 29 || r > 31)
	}
	g.closed(gaps)
	w := find(g, m)
	require.Len(t, w.Pinches[0], 2)
	west, east := w.Pinches[0][0], w.Pinches[0][1]
	assert.Greater(t, west.Acres, east.Acres-1e-12)
	assert.InDelta(t, 1.5, west.ClearM, 1e-9)
	assert.InDelta(t, 1.5, east.ClearM, 1e-9)

	// Lots count: with so many cells of them beyond.
	for cells, listed := range map[int]int{202: 0, 203: 1} {
		g.Lots = make([]bool, len(g.Lots))
		for i := range cells {
			g.Lots[(i/20+20)*103+70+i%20] = true
		}
		w = find(g, m)
		require.Len(t, w.Pinches[0], listed, "%d cells", cells)
		if listed > 0 {
			assert.InDelta(t, 203/4046.8564224, w.Pinches[0][0].Acres, 1e-12)
		}
	}
	g.AcresOnly = true
	assert.Empty(t, find(g, m).Pinches[0])
}

// By hand: half again as far as it must, and half a cell, are 2.56 m, so that of the field
// behind the gap, 60 by 60 cells, the middle keeps three cells from the wall, and from what
// lies beyond the window, which nobody drives on: 56 by 56 are left, and one more before the
// middle of the gap, 2.83 m from the wall's corners.
func TestGroundBeyondAPinch(t *testing.T) {
	p := find(gap(t, 3), loader).Pinches[0]
	require.Len(t, p, 1)
	assert.InDelta(t, (56*56+1)/4046.8564224, p[0].Acres, 1e-9)
}
