package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// A block of ground is judged alike wherever in a row it lies: cells are kept 64 to a word, and
// none of it may tell. It has faces, a wall with a gap, water lines, soft and posted ground.
func TestABlockIsJudgedAlikeAnywhereInItsRow(t *testing.T) {
	const wide, tall, cols, rows = 70, 60, 200, 70
	rolling := hills(12, 90, 5)
	height := func(x, y float64) float64 { // and a face of 70% in the east
		if x < 42 {
			return rolling(x, y)
		}
		return rolling(x, y) - 0.7*min(max(y-43, 0), 7)
	}
	placed := func(off int) (*Ground, *Work) {
		g := made(t, cols, rows, 1, 1, func(x, y float64) float64 { return height(x-float64(off), y) })
		g.Drive, g.Lots = make([]bool, cols*rows), make([]bool, cols*rows)
		g.StepM, g.BearsKPa = make([]float32, cols*rows), make([]float32, cols*rows)
		g.Firm = make([]zoning.Mask, cols*rows)
		g.closed(func(c, r int) bool {
			return c-off == 35 && r != 31 && r != 32 && r != 33 && r != 34 && r != 35 || r == 50
		})
		for i := range g.Drive {
			c, r := i%cols-off, i/cols
			g.Drive[i] = c >= 0 && c < wide && r >= 3 && r < 3+tall
			g.Lots[i] = g.Drive[i] && c > 3 && (c+r)%40 > 1
			g.StepM[i] = 0.3 * float32(bit(r == 12 && c > 40))
			g.BearsKPa[i] = 30 + 60*float32(bit(c < 60 || r > 20))
			g.Firm[i] = zoning.Mask(7) &^ zoning.Mask(bit(c%17 == 3 && r%11 == 5))
		}
		g.waterLines(func(c, _ int) bool { return c-off == 20 })
		at := func(c, r int) int { return r*cols + c + off }
		g.Posts = []Post{{Cells: []int{at(10, 20), at(10, 21), at(10, 22), at(11, 20)}, WeightKg: 1}}
		g.Staging = [][]int{{at(5, 30), at(6, 30)}, {at(50, 20)}}
		hoe, drum, winch := boom, loader, crawler
		hoe.PatchAcres, drum.PatchAcres, winch.PatchAcres, winch.TetherBasis = 0.05, 0.4, 0.4, "rated"
		hoe.ReachM, hoe.PressureKPa, winch.PressureKPa = 4, 60, 85
		drum.LimitPct, drum.CrossPct, drum.StepM, drum.PressureKPa = 60, 10, 0.2, 60
		hoe.LimitPct, hoe.CrossPct, hoe.Swing, hoe.WetSwing = 60, 40, zoning.Limits{AlongPct: 6, CrossPct: 5}, zoning.Limits{}
		return g, find(g, hoe, drum, winch)
	}
	ground, first := placed(30)
	seen := map[zoning.Why]int{}
	for _, off := range []int{31, 58, 64, 93} {
		moved, other := placed(off)
		for k := range first.Why {
			for r := range rows {
				for c := -2; c < wide+2; c++ {
					i, j := r*cols+c+30, r*cols+c+off
					require.Equal(t, ground.Field.Squared[i], moved.Field.Squared[j])
					require.Equal(t, first.Why[k][i].String(), other.Why[k][j].String(), "machine %d, column %d, row %d, %d on", k, c, r, off-30)
					require.Equal(t, first.Stands[k][i], other.Stands[k][j])
					require.Equal(t, first.Masks[i], other.Masks[j])
					require.Equal(t, first.Pieces[k].At(i), other.Pieces[k].At(j))
					if first.Crossings[k] != nil {
						require.Equal(t, first.Crossings[k][i], other.Crossings[k][j])
					}
					seen[first.Why[k][i]]++
				}
			}
			require.Len(t, other.Pinches[k], len(first.Pinches[k]))
			for n, p := range first.Pinches[k] {
				require.Equal(t, p.Cell+off-30, other.Pinches[k][n].Cell)
				require.InDelta(t, p.Acres, other.Pinches[k][n].Acres, 1e-9)
			}
			require.Len(t, other.Pockets[k], len(first.Pockets[k]))
			for n, p := range first.Pockets[k] {
				require.Equal(t, p.Cell+off-30, other.Pockets[k][n].Cell)
			}
			require.Equal(t, first.Unloads[k], other.Unloads[k])
		}
	}
	for _, why := range []zoning.Why{zoning.Works, zoning.Closed, zoning.TooSteep, zoning.TooGreatAStep, zoning.TooSoft, zoning.OverPosting, zoning.OnlyAcross, zoning.NearCrest, zoning.TooNarrow, zoning.NoTurn, zoning.NoWayIn, zoning.OutOfReach, zoning.TooSmallAPatch} {
		assert.NotZero(t, seen[why], "%v is not tried", why)
	}
}

// What a grown set has lies within the window, and a place that a machine's load does not get to is
// not what it unloads at.
func TestPlacesThatAreNotUsed(t *testing.T) {
	g := level(t, 40, 40, 1).unloads([2]int{10, 10}, [2]int{30, 30})
	g.Unloads = []zoning.Mask{0b10, 0b11}
	w := find(g, loader, boom)
	assert.Equal(t, [][]int{{1}, {0}}, w.Unloads, "the second alone, and the first of two that lead everywhere")
	for _, cols := range []int{61, 70, 127} {
		l := &lie{cols: cols, rows: 9, e: 1, g: 1, shortM: 1}
		out := l.noCells()
		src := l.noCells()
		src.add(4*cols + cols - 1)
		for _, outside := range []bool{false, true} {
			l.grow(out, src, l.disc(3.5, atMost), outside, &spare{})
			for r := range 9 {
				assert.Zero(t, out.row(r)[out.words-1]&^out.inRow(out.words-1), "%d columns", cols)
			}
		}
	}
}
