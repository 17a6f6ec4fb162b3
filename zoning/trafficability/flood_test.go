package trafficability

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// Ways are spread by runs of a row. Cell by cell, and round after round until nothing changes,
// the same cells are reached, with as few water lines to cross.
func TestFloodByRunsIsThatCellByCell(t *testing.T) {
	const side = 17
	rnd := rand.New(rand.NewPCG(1, 2))
	reachedCells, crossedCells := 0, 0
	for range 400 {
		p := moverOn(made(t, side, side, 1, 1, func(_, _ float64) float64 { return 0 }), zoning.Machine{LimitPct: 30})
		n := len(p.scratch.stage)
		p.water, p.crossings = make([]bool, n), slices.Repeat([]uint8{Unreached}, side*side)
		shutOf, bandOf, waterOf := rnd.Float64()*0.5, rnd.Float64(), rnd.Float64()*0.3
		clear(p.scratch.stage)
		var seeds []int32
		for i := range side * side {
			k := p.padded(i)
			p.scratch.heads[k] = 255
			if rnd.Float64() < bandOf {
				p.scratch.heads[k] = uint8(rnd.Uint32())
			}
			if rnd.Float64() > shutOf {
				p.scratch.stage[k] = turns
			}
			p.water[k] = rnd.Float64() < waterOf
			if rnd.IntN(60) == 0 && p.scratch.stage[k] == turns {
				seeds = append(seeds, int32(k))
			}
		}
		want := fewestCrossings(p, seeds)
		p.reachFrom(seeds)
		for i := range side * side {
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
	}
	assert.Greater(t, reachedCells, 10_000)
	assert.Greater(t, crossedCells, 1_000)
}

// fewestCrossings relaxes every move from every cell until none gets better; -1 is not reached.
func fewestCrossings(p *mover, seeds []int32) []int {
	fewest := slices.Repeat([]int{-1}, len(p.scratch.stage))
	for _, k := range seeds {
		fewest[k] = 0
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
				if !p.water[k] && (p.water[j] || p.water[k+m.over0] || p.water[k+m.over1]) {
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
