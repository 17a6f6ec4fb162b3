package work

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
	for name, off := range map[string]int{"north": 0, "south": n - 1} {
		g := level(t, n, n, 1)
		g.Drive = make([]bool, len(g.Lots))
		for i := range g.Drive {
			g.Drive[i] = i/n != off
		}
		assert.Equal(t, n*n, count(find(g, zoning.Machine{Key: "a", LimitPct: 30}).works(0)), name)
	}
}

// Two pieces at either end of the rows are two patches, though the end of a row and the
// beginning of the next are neighbours in memory.
func TestPatchesAtTheRims(t *testing.T) {
	const cols, rows = 40, 30
	g := level(t, cols, rows, 1).closed(func(c, _ int) bool { return c >= 8 && c < 32 }) // 240 cells each
	perCell := lieOf(g.Grid).areaM2 / zoning.SquareMetresPerAcre
	w := find(g, anywhere("a", 30, 241*perCell))
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[0][10*cols])
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[0][10*cols+39])
	w = find(g, anywhere("a", 30, 240*perCell))
	assert.Equal(t, 480, count(w.works(0)))
	// A machine without a least patch is passed over, and the next is not.
	w = find(g, anywhere("a", 5, 0), anywhere("b", 30, 241*perCell))
	assert.Equal(t, zoning.Works, w.Why[1][10*cols], "the band is that of the first machine")
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
		p.areaM2 = leastPocketAcres * zoning.SquareMetresPerAcre / (float64(least) - 0.5)
		kinds := make([]uint8, len(p.stage))
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
		got := p.inPieces(kinds)
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
		n, padded := size[0]*size[1], (size[0]+4)*(size[1]+4)
		assert.Equal(t, []int{n, n, n, padded, padded}, []int{len(s.open), len(s.mark), len(s.places), len(s.heads), len(s.stage)})
		assert.Len(t, s.runs(), padded)
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
	for i := range p.open {
		p.open[i] = i%21 != 13
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
