package trafficability

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
)

// Ways are spread by words of a row. Cell by cell, and round after round until nothing changes,
// the same cells are reached, with as few water lines to cross; without those they are the same.
func TestFloodByWordsIsThatCellByCell(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	reachedCells, crossedCells := 0, 0
	for round := range 500 {
		size := [][2]int{{17, 17}, {64, 5}, {65, 7}, {130, 6}, {3, 60}, {1, 9}, {200, 1}}[round%7]
		cols, rows := size[0], size[1]
		p := moverOn(made(t, cols, rows, 1, 1, func(_, _ float64) float64 { return 0 }), zoning.Machine{LimitPct: 30})
		for range 2 { // with the memory of the first flood
			shutOf, bandOf, waterOf := rnd.Float64()*0.5, rnd.Float64(), rnd.Float64()*0.3
			water := make([]bool, cols*rows)
			clear(p.scratch.stage)
			clear(p.scratch.heads)
			var seeds []int
			for i := range cols * rows {
				k := p.padded(i)
				p.scratch.heads[k] = 255
				if rnd.Float64() < bandOf {
					p.scratch.heads[k] = uint8(rnd.Uint32())
				}
				if rnd.Float64() > shutOf {
					p.scratch.stage[k] = turns
				}
				water[i] = rnd.Float64() < waterOf
				if rnd.IntN(60) == 0 && p.scratch.stage[k] == turns {
					seeds = append(seeds, i)
				}
			}
			want := fewestCrossings(p, water, seeds)
			dry := p.newFlood()
			dry.reachFrom(seeds)
			for i, marked := range p.lie.marked(p.reachedCells()) {
				require.Equal(t, want[p.padded(i)] >= 0, marked, "%d × %d cells, %d", cols, rows, i)
			}
			for k, s := range p.scratch.stage {
				if s == reached {
					p.scratch.stage[k] = turns
				}
			}
			p.crossings = slices.Repeat([]uint8{Unreached}, cols*rows)
			f := p.newFlood()
			f.water = p.lie.padSetOf(runs.Of(cols, rows, func(i int) bool { return water[i] }))
			f.reachFrom(seeds)
			for i := range cols * rows {
				k := p.padded(i)
				require.Equal(t, want[k] >= 0, p.scratch.stage[k] == reached)
				if want[k] >= 0 {
					reachedCells++
					require.EqualValues(t, want[k], p.crossings[i])
				} else {
					require.EqualValues(t, Unreached, p.crossings[i])
				}
				if want[k] > 0 {
					crossedCells++
				}
			}
			p.crossings = nil
		}
	}
	assert.Greater(t, reachedCells, 10_000)
	assert.Greater(t, crossedCells, 1_000)
}

// reachedCells are those that the machine gets to.
func (p *mover) reachedCells() cellSet {
	cells := p.lie.noCells()
	p.staged(cells, reached)
	return cells
}

// fewestCrossings relaxes every move from every cell until none gets better; -1 is not reached.
func fewestCrossings(p *mover, water []bool, seeds []int) []int {
	fewest := slices.Repeat([]int{-1}, len(p.scratch.stage))
	for _, i := range seeds {
		fewest[p.padded(i)] = 0
	}
	wet := make([]bool, len(fewest))
	for i, is := range water {
		wet[p.padded(i)] = is
	}
	moves := p.moves()
	for changed := true; changed; {
		changed = false
		for k, from := range fewest {
			if from < 0 {
				continue
			}
			for w := range moves {
				m := &moves[w]
				j := k + m.to
				if p.scratch.stage[j] != turns || !p.may(k, m) {
					continue
				}
				to := from
				if !wet[k] && (wet[j] || wet[k+m.over0] || wet[k+m.over1]) {
					to++
				}
				if fewest[j] < 0 || to < fewest[j] {
					fewest[j], changed = to, true
				}
			}
		}
	}
	return fewest
}

// Pieces that the machine cannot drive between are those of a walk from cell to cell, in the order
// of their first cells, and what a drive across the slope leads to is that of another.
func TestPocketsAndWaysAcrossCellByCell(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 2))
	pockets, acrossCells := 0, 0
	for round := range 120 {
		size := [][2]int{{40, 40}, {130, 12}, {64, 20}}[round%3]
		cols, rows := size[0], size[1]
		g := made(t, cols, rows, 3, 3, func(_, _ float64) float64 { return 0 })
		for i := range g.Lots {
			g.Lots[i] = rnd.IntN(8) > 0
		}
		p := moverOn(g, zoning.Machine{LimitPct: 30})
		p.ground.Staging = [][]int{{cols*rows/2 + cols/2}}
		clear(p.scratch.stage)
		clear(p.scratch.heads)
		shutOf := 0.3 + 0.3*rnd.Float64()
		for i := range cols * rows {
			if k := p.padded(i); rnd.Float64() > shutOf {
				p.scratch.stage[k], p.scratch.heads[k] = turns, uint8(rnd.Uint32())|1<<rnd.IntN(8)
			}
		}
		// walk marks what is walked to from a cell.
		walk := func(from int, of []uint8, as uint8) (cells []int) {
			moves, next := p.moves(), []int{from}
			of[from] = as
			for len(next) > 0 {
				k := next[0]
				cells, next = append(cells, p.cell(k)), next[1:]
				for w := range moves {
					if j := k + moves[w].to; of[j] == turns && p.may(k, &moves[w]) {
						of[j] = as
						next = append(next, j)
					}
				}
			}
			return cells
		}
		want := slices.Clone(p.scratch.stage)
		if k := p.padded(p.ground.Staging[0][0]); want[k] == turns {
			walk(k, want, reached)
		}
		left := slices.Clone(want)
		var first []int
		var acres []float64
		for k := range left {
			if left[k] == turns {
				area := 0.0
				for _, i := range walk(k, left, across) {
					if g.Lots[i] {
						area += p.lie.areaM2 / terrain.SquareMetresPerAcre
					}
				}
				if area >= leastPocketAcres {
					first, acres = append(first, p.cell(k)), append(acres, area)
				}
			}
		}
		p.access()
		require.Equal(t, want, p.scratch.stage)
		require.Len(t, p.pockets, len(first))
		for n, cell := range first {
			at := slices.IndexFunc(p.pockets, func(p Pocket) bool { return p.Cell == cell })
			require.GreaterOrEqual(t, at, 0)
			require.Equal(t, acres[n], p.pockets[at].Acres)
			require.Equal(t, uint16(n+1), p.pieces.At(cell))
			pockets++
		}
		for k, h := range p.scratch.heads {
			if h != 0 {
				p.scratch.heads[k] = 255
			}
		}
		for k := range want {
			if want[k] == reached {
				for w, moves := 0, p.moves(); w < len(moves); w++ {
					if j := k + moves[w].to; want[j] == turns && p.may(k, &moves[w]) {
						acrossCells += len(walk(j, want, across))
					}
				}
			}
		}
		p.accessAcross()
		require.Equal(t, want, p.scratch.stage)
	}
	assert.Greater(t, pockets, 50)
	assert.Greater(t, acrossCells, 500)
}
