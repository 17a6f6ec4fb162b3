package trafficability

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
)

// anywhere is a machine that only slope and patch size hold back.
func anywhere(key string, limitPct, patchAcres float64) zoning.Machine {
	return zoning.Machine{Key: key, LimitPct: limitPct, PatchAcres: patchAcres, CrestM: noCrest}
}

// By hand: an acre is 4046.86 m², so that 0.1 acres are 405 cells of 1 m. An island of
// 20 × 20 of them is too small, one of 21 × 20 is not. Its cells go to the next machine
// that passes its limits on all of them, else to nobody.
func TestPatchSize(t *testing.T) {
	for cols, small := range map[int]bool{20: true, 21: false} {
		g := level(t, 60, 60, 1).closed(func(c, r int) bool { return c < 20 || c >= 20+cols || r < 20 || r >= 40 })
		at := 30*60 + 30
		w := find(g, anywhere("a", 30, 0.1))
		next := find(g, anywhere("a", 30, 0.1), anywhere("b", 35, 0))
		if !small {
			assert.Equal(t, zoning.Mask(1), w.Masks[at])
			assert.Equal(t, zoning.Mask(3), next.Masks[at])
			continue
		}
		assert.Equal(t, zoning.Mask(0), w.Masks[at], "hand work")
		assert.Equal(t, zoning.TooSmallAPatch, w.Why[0][at])
		assert.Equal(t, zoning.Mask(2), next.Masks[at])
		assert.Equal(t, zoning.TooSmallAPatch, next.Why[0][at])
		assert.Equal(t, zoning.Works, next.Why[1][at])
		both := find(g, anywhere("a", 30, 0.1), anywhere("b", 35, 0.1))
		assert.Equal(t, zoning.Mask(0), both.Masks[at], "too small for the next as well")
		large := find(g, anywhere("a", 30, 0.1), anywhere("b", 35, 0.05))
		assert.Equal(t, zoning.Mask(2), large.Masks[at])
	}
}

// A sliver joins the neighbour whose machine passes all its limits on all of it: gentle
// ground in steep ground that the second machine works, and that makes a patch with it.
func TestSliverJoinsItsNeighbour(t *testing.T) {
	g := made(t, 60, 90, 1, 1, profile([2]float64{30, 0.10}, [2]float64{50, 0.40}, [2]float64{54, 0.10}, [2]float64{90, 0.40}))
	at := 52*60 + 30
	w := find(g, anywhere("a", 30, 0.1), anywhere("b", 50, 0.3))
	assert.Equal(t, zoning.Mask(2), w.Masks[at], "the ledge goes with the steep ground")
	assert.Equal(t, zoning.Mask(3), w.Masks[20*60+30], "the bench stays")
	w = find(g, anywhere("b", 50, 0.3), anywhere("a", 30, 0.1))
	assert.Equal(t, zoning.Mask(1), w.Masks[at], "the ledge alone is not worth moving the second to")
	w = find(g, anywhere("a", 30, 0.1), anywhere("b", 35, 0))
	assert.Equal(t, zoning.Mask(2), w.Masks[at])
	assert.Equal(t, zoning.Mask(0), w.Masks[70*60+30], "steep ground is given to nobody for a neighbour's sake")
}

// Pieces are connected by their sides: two squares of 225 cells that meet at a corner are
// two patches.
func TestPatchesMeetAtSides(t *testing.T) {
	g := level(t, 60, 60, 1).closed(func(c, r int) bool {
		first := c >= 10 && c < 25 && r >= 10 && r < 25
		second := c >= 25 && c < 40 && r >= 25 && r < 40
		return !first && !second
	})
	w := find(g, anywhere("a", 30, 0.1))
	assert.Equal(t, zoning.TooSmallAPatch, w.Why[0][15*60+15])
	g.Closed[24*60+25] = false
	w = find(g, anywhere("a", 30, 0.1))
	assert.Equal(t, zoning.Works, w.Why[0][15*60+15], "a cell joins them")
}

// Only the ground of lots counts for the size of a patch.
func TestPatchCountsLots(t *testing.T) {
	g := level(t, 60, 60, 1)
	g.Lots, g.Drive = make([]bool, 3600), g.Lots
	for i := range g.Lots {
		c, r := i%60, i/60
		g.Lots[i] = c >= 20 && c < 40 && r >= 20 && r < 40
	}
	assert.Equal(t, zoning.TooSmallAPatch, find(g, anywhere("a", 30, 0.1)).Why[0][30*60+30])
	assert.Equal(t, zoning.Works, find(g, anywhere("a", 30, 0.09)).Why[0][30*60+30])
}

// Nothing smaller than what is worth moving to remains of any machine.
func TestNoPatchTooSmallRemains(t *testing.T) {
	for seed := range uint64(5) {
		g := made(t, 120, 90, 1, 1, hills(seed, 40, 3))
		m := fleet()
		m[0].PatchAcres, m[1].PatchAcres, m[2].PatchAcres = 0.1, 0.25, 0.05
		w := must(Find(context.Background(), g, m))
		small := 0
		for _, why := range w.Why {
			for _, reason := range why {
				if reason == zoning.TooSmallAPatch {
					small++
				}
			}
		}
		require.Positive(t, small, "seed %d", seed)
		seen := make([]bool, len(g.Lots))
		for i := range seen {
			k := w.Masks[i].First()
			if seen[i] || k < 0 {
				continue
			}
			seen[i] = true
			piece := []int{i}
			for n := 0; n < len(piece); n++ {
				for _, d := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
					c, r := piece[n]%120+d[0], piece[n]/120+d[1]
					if c < 0 || r < 0 || c >= 120 || r >= 90 {
						continue
					}
					if j := r*120 + c; !seen[j] && w.Masks[j].First() == k {
						seen[j] = true
						piece = append(piece, j)
					}
				}
			}
			assert.GreaterOrEqual(t, float64(len(piece))/terrain.SquareMetresPerAcre, m[k].PatchAcres, "seed %d, %s", seed, m[k].Key)
		}
	}
}

// Cause: only the pieces of a machine's band were asked, those that no machine before it may
// work, so that a crew without that one was given its scraps: two meadows of 450 cells beside
// a hillside, which are one patch for the first machine and two for the second.
func TestPatchesAskTheMachineAlone(t *testing.T) {
	g := made(t, 60, 60, 1, 1, func(x, _ float64) float64 { return 0.25 * min(max(x-20, 0), 20) })
	perCell := lieOf(g.Grid).areaM2 / terrain.SquareMetresPerAcre
	low, high := 30*60+10, 30*60+50
	for least, want := range map[float64]bool{1100: true, 1300: false} {
		w := find(g, anywhere("a", 30, 1300*perCell), anywhere("b", 20, least*perCell))
		for _, i := range []int{low, high} {
			assert.Equal(t, zoning.Works, w.Why[0][i])
			assert.Equal(t, want, w.Why[1][i] == zoning.Works, "%g cells of some 1200 on either side", least)
			assert.Equal(t, want, w.Masks[i]&2 != 0)
		}
	}
}

// Runs of rows that meet are one piece however they wind: of made ground, against a walk from
// cell to cell.
func TestPiecesAgainstAWalk(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 8))
	const cols, rows = 73, 19
	l := lieOf(level(t, cols, rows, 1).Grid)
	for n := range 40 {
		corners := n%2 == 1
		lots, in := make([]bool, cols*rows), make([]bool, cols*rows)
		for i := range in {
			in[i] = rnd.Float64() < 0.55
			lots[i] = rnd.Float64() < 0.9
		}
		touch := func(a, b int) bool {
			across, down := abs(a%cols-b%cols), abs(a/cols-b/cols)
			return across+down == 1 || corners && across == 1 && down == 1
		}
		got := l.piecesOf(l.cellsOf(in), corners, nil)
		sizes := got.Sizes(func(r runs.Run) int { return count(lots[r.From:r.To]) })
		at := slices.Repeat([]int{-1}, len(in)) // the run of a cell
		for n, run := range got.Runs {
			for i := run.From; i < run.To; i++ {
				at[i] = n
			}
		}
		seen := make([]bool, len(in))
		for i := range in {
			require.Equal(t, in[i], at[i] >= 0, "cell %d", i)
			if !in[i] || seen[i] {
				continue
			}
			piece, cells := []int{i}, 0
			seen[i] = true
			for n := 0; n < len(piece); n++ {
				cells += count(lots[piece[n]:][:1])
				for j := max(piece[n]-cols-1, 0); j <= min(piece[n]+cols+1, len(in)-1); j++ {
					if in[j] && !seen[j] && touch(piece[n], j) {
						seen[j] = true
						piece = append(piece, j)
					}
				}
			}
			root := got.First(at[i])
			assert.Equal(t, cells, sizes[at[i]])
			of := 0
			for n, run := range got.Runs {
				if got.First(n) == root {
					of += run.To - run.From
				}
			}
			assert.Len(t, piece, of, "no more is of the piece than the walk finds")
			for _, j := range piece {
				require.Equal(t, root, got.First(at[j]))
			}
		}
	}
}
