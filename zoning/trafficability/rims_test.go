package trafficability

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// Ground beside what a machine drives on is covered from there only, at the window's rim
// too: the end of one row is not beside the beginning of the next.
func TestCoveredBesideAtTheRim(t *testing.T) {
	const n = 12
	for name, c := range map[string]struct{ off, shut int }{"west": {0, 1}, "east": {n - 1, n - 2}} {
		g := level(t, n, n, 1)
		g.Drive = make([]bool, len(g.Lots))
		for i := range g.Drive {
			g.Drive[i] = i%n != c.off
		}
		m := zoning.Machine{Key: "a", LimitPct: 30}
		assert.Equal(t, n*n, count(find(g, m).works(0)), "%s: all of it, the column beside too", name)
		g.closed(func(col, _ int) bool { return col == c.shut })
		w := find(g, m)
		for r := range n {
			assert.NotEqual(t, zoning.Works, w.Why[0][r*n+c.off], "%s: row %d is beside closed ground only", name, r)
		}
	}
	for name, c := range map[string]struct{ off, shut int }{"north": {0, 1}, "south": {n - 1, n - 2}} {
		g := level(t, n, n, 1)
		g.Drive = make([]bool, len(g.Lots))
		for i := range g.Drive {
			g.Drive[i] = i/n != c.off
		}
		m := zoning.Machine{Key: "a", LimitPct: 30}
		assert.Equal(t, n*n, count(find(g, m).works(0)), name)
		g.closed(func(_, row int) bool { return row == c.shut })
		w := find(g, m)
		for col := range n {
			assert.NotEqual(t, zoning.Works, w.Why[0][c.off*n+col], "%s: column %d is beside closed ground only", name, col)
		}
	}
}

// Two pieces at either end of the rows are two patches, though the end of a row and the
// beginning of the next are neighbours in memory.
func TestPatchesAtTheRims(t *testing.T) {
	const cols, rows = 40, 30
	g := level(t, cols, rows, 1).closed(func(c, _ int) bool { return c >= 8 && c < 32 }) // 240 cells each
	perCell := lieOf(g.Grid).areaM2 / terrain.SquareMetresPerAcre
	w := find(g, anywhere("a", 30, 241*perCell))
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[0][10*cols])
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[0][10*cols+39])
	w = find(g, anywhere("a", 30, 240*perCell))
	assert.Equal(t, 480, count(w.works(0)))
	// A machine without a least patch is passed over, and the next is not.
	w = find(g, anywhere("a", 5, 0), anywhere("b", 30, 241*perCell))
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[1][10*cols], "by itself, whatever the first may work")
	g = made(t, cols, rows, 1, 1, func(_, y float64) float64 { return 0.2 * y }).closed(func(c, _ int) bool { return c >= 8 && c < 32 })
	w = find(g, anywhere("a", 5, 0), anywhere("b", 30, 241*perCell))
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[1][10*cols])
}

// Wide ground is in pieces when two of those that touch, at corners too, are worth listing:
// found again by looking from cell to cell, on random ground.
func TestInPiecesAgainstFlooding(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 8))
	seen := map[bool]int{}
	for range 3000 {
		cols, rows, least := 1+rnd.IntN(9), 1+rnd.IntN(7), 1+rnd.IntN(5)
		p := moverOn(level(t, cols, rows, 1), loader)
		p.lie.areaM2 = leastPocketAcres * terrain.SquareMetresPerAcre / (float64(least) - 0.5)
		kinds := make([]uint8, len(p.scratch.stage))
		share := rnd.Float64()
		for i := range cols * rows {
			if rnd.Float64() < share {
				kinds[p.padded(i)] = wide
			}
		}
		want := 0
		left := slices.Clone(kinds)
		stride := cols + 2*pad
		for k := range left {
			if left[k] != wide {
				continue
			}
			left[k] = narrow
			piece := []int{k}
			for n := 0; n < len(piece); n++ {
				for _, d := range []int{1, -1, stride, -stride, stride + 1, stride - 1, -stride + 1, -stride - 1} {
					if j := piece[n] + d; left[j] == wide {
						left[j] = narrow
						piece = append(piece, j)
					}
				}
			}
			if len(piece) >= least {
				want++
			}
		}
		roomy := p.lie.noCells()
		for i := range cols * rows {
			if kinds[p.padded(i)] == wide {
				roomy.add(i)
			}
		}
		got := p.inPieces(roomy)
		require.Equal(t, want > 1, got, "%d by %d cells, %d at least: %v", cols, rows, least, kinds)
		seen[got]++
	}
	assert.Greater(t, min(seen[true], seen[false]), 300)
}

// Memory of another window serves only where it fits.
func TestMemoryThatFits(t *testing.T) {
	for _, size := range [][2]int{{10, 20}, {8, 25}, {20, 10}, {10, 20}, {11, 20}, {5, 40}} {
		l := lieOf(level(t, size[0], size[1], 1).Grid)
		s := scratchFor(l)
		n, padded := (size[0]+63)/64*size[1], (size[0]+4)*(size[1]+4)
		assert.Equal(t, []int{n, n, n, padded, padded}, []int{len(s.open.bits), len(s.fits.bits), len(s.rim.bits), len(s.heads), len(s.stage)})
		assert.Equal(t, size[0], s.open.cols)
		assert.Len(t, s.noRuns(), padded)
		pool.Put(s)
	}
	// What one machine left behind, the next does not find.
	g := level(t, 30, 30, 1).unloads([2]int{3, 3})
	want := find(g, loader)
	g.closed(func(c, _ int) bool { return c < 20 })
	find(g, crawler)
	g.Closed = nil
	for range 3 {
		assert.Equal(t, want, find(g, loader))
	}
}

// The tightest spot on the way is told with what is free there: beside closed ground, and
// beside ground nobody drives on.
func TestFreeOnEitherSide(t *testing.T) {
	g := level(t, 21, 21, 1)
	p := moverOn(g, zoning.Machine{WidthM: 4}) // 2.3 m, half again 3.46 m
	p.scratch.open = p.lie.noCells()
	for i := range 21 * 21 {
		if i%21 != 13 {
			p.scratch.open.add(i)
		}
	}
	assert.InDelta(t, 2.5, p.freeM(10*21+10), 1e-9, "3 m to the middle of column 13, less half a cell")
	assert.InDelta(t, 1.5, p.freeM(10*21+11), 1e-9)
	assert.InDelta(t, 1.5*(2+0.3048), p.freeM(10*21+5), 1e-9, "no more than half again what it needs")
	g.Drive = slices.Clone(g.Drive)
	g.Drive[10*21+4] = false
	assert.InDelta(t, 0.5, p.freeM(10*21+5), 1e-9)
	g.Drive[8*21+4] = false
	assert.InDelta(t, 0.5, p.freeM(9*21+4), 1e-9)
}

// Ground is touched by its eight neighbours, which end at the window's rim.
func TestTouchedByItsNeighbours(t *testing.T) {
	l := lieOf(level(t, 7, 5, 1).Grid)
	for i := range 35 {
		one := make([]bool, 35)
		one[i] = true
		for j, got := range l.marked(l.touched(l.cellsOf(one), nil)) {
			assert.Equal(t, max(abs(i%7-j%7), abs(i/7-j/7)) <= 1, got, "%d by %d", j, i)
		}
	}
}

// Two lots apart are two patches, though the machine may drive from one to the other.
func TestLotsApartAreTwoPatches(t *testing.T) {
	const n = 40
	g := level(t, n, n, 1)
	g.Lots, g.Drive = make([]bool, n*n), g.Lots
	for i := range g.Lots {
		c, r := i%n, i/n
		g.Lots[i] = r < 10 && (c < 10 || c >= 20 && c < 30) // 100 cells each
	}
	perCell := lieOf(g.Grid).areaM2 / terrain.SquareMetresPerAcre
	assert.Equal(t, zoning.TooSmallAPatch, find(g, anywhere("a", 30, 101*perCell)).Why[0][5*n+5])
	assert.Equal(t, zoning.Works, find(g, anywhere("a", 30, 100*perCell)).Why[0][5*n+5])
	for c := 10; c < 20; c++ {
		g.Lots[5*n+c] = true
	}
	assert.Equal(t, zoning.Works, find(g, anywhere("a", 30, 210*perCell)).Why[0][5*n+5], "a strip joins them")
	assert.Equal(t, zoning.TooSmallAPatch, find(g, anywhere("a", 30, 211*perCell)).Why[0][5*n+5])
}

// A boom reaches from places at the window's rim, and its corners, as from any other.
func TestReachFromTheRim(t *testing.T) {
	p := moverOn(level(t, 9, 7, 1), anyBoom)
	for _, at := range [][2]int{{0, 0}, {8, 0}, {0, 6}, {8, 6}, {4, 0}, {4, 6}, {0, 3}, {8, 3}} {
		places := make([]bool, 63)
		places[at[1]*9+at[0]] = true
		for i := range 63 {
			u, v := i%9-at[0], i/9-at[1]
			assert.Equal(t, u*u+v*v <= 25, p.boomOver(p.lie.cellsOf(places), 1, 1).reaches(i), "from %v to %d, %d", at, i%9, i/9)
		}
	}
}

// A face is kept back from by its height, also where no place is as near to its edge as the
// machine is long. By hand: rows 27 to 29 are closed. Slope is 60% in row 30 and 80% in row 31,
// so that the edge, 66.7%, lies at 30.83 m; the face is 20 ft high, of which 1.5 times 12 ft
// counts: 5.49 m. Row 25 is 5.33 m from it and row 24 6.33 m; from there the boom of 6.1 m
// reaches row 30 and not row 31.
func TestHighDropsBehindClosedGround(t *testing.T) {
	g := made(t, 30, 80, 1, 1, func(_, y float64) float64 { return -min(max(y-30, 0)*0.8, 20*foot) }).closed(func(_, r int) bool { return r >= 27 && r < 30 })
	m := boom
	m.WidthM, m.ReachDownPct = 0, 100
	why := find(g.unloads([2]int{15, 10}), m).reasons(g, 0, 15)
	assert.Equal(t, zoning.Works, why[26], "driven on, and reached from row 24")
	assert.Equal(t, zoning.Works, why[30])
	assert.NotEqual(t, zoning.Works, why[31])
}

// What lies beyond the window is no ground to turn on. By hand: the loader turns three cells
// from steep ground and from the rim, so on five gentle rows it does, in the middle one,
// and on four it does not.
func TestTurnAtTheRim(t *testing.T) {
	for gentleM, want := range map[float64]zoning.Why{4: zoning.NoTurn, 5: zoning.Works} {
		g := made(t, 30, 60, 1, 1, profile([2]float64{gentleM, 0.10}, [2]float64{60, 0.25}))
		assert.Equal(t, want, find(g, loader).Why[0][20*30+15], "%g m", gentleM)
	}
}

// Ground driven on at the window's very rim covers what lies beside it.
func TestBesideTheRim(t *testing.T) {
	const n = 8
	m := zoning.Machine{Key: "a", LimitPct: 30}
	for name, on := range map[string]func(c, r int) bool{
		"west": func(c, _ int) bool { return c == 0 }, "east": func(c, _ int) bool { return c == n-1 },
		"north": func(_, r int) bool { return r == 0 }, "south": func(_, r int) bool { return r == n-1 },
	} {
		g := level(t, n, n, 1)
		g.Drive = make([]bool, n*n)
		for i := range g.Drive {
			g.Drive[i] = on(i%n, i/n)
		}
		assert.Equal(t, 2*n, count(find(g, m).works(0)), name)
	}
}

// A machine stands where it is unloaded, though it can get nowhere from there.
func TestUnloadedOnAnIsland(t *testing.T) {
	g := level(t, 9, 9, 1).closed(func(c, r int) bool { return c != 4 || r != 4 }).unloads([2]int{4, 4})
	g.waterLines(func(_, _ int) bool { return false })
	w := find(g, zoning.Machine{Key: "a", LimitPct: 30})
	assert.True(t, w.Stands[0][40])
	assert.Equal(t, zoning.Works, w.Why[0][40])
	assert.Zero(t, w.Crossings[0][40])
}

// Ground as steep as where the tether begins, to the last bit, asks for one.
func TestTetherAtTheVeryLimit(t *testing.T) {
	g := level(t, 5, 5, 1)
	p := moverOn(g, tethered())
	p.anchors = make([]bool, 25)
	for i := range g.Field.Squared {
		g.Field.Squared[i] = riseSquared(60)
	}
	g.Field.Squared[12] = math.Nextafter32(riseSquared(60), 0)
	p.judge()
	assert.Equal(t, zoning.TooSteep, p.why[6])
	assert.Equal(t, zoning.Works, p.why[12])
	g.Field.Squared[12] = riseSquared(100)
	p.anchors[12] = true
	p.judge()
	assert.Equal(t, zoning.TooSteep, p.why[12], "nor may it pass its limit on one")
}
