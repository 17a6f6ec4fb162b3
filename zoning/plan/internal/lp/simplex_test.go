package lp

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// random is a programme whose first columns cost the most and take nothing of the rows,
// so that they are a start.
func random(r *rand.Rand) *Programme {
	rows, blocks := r.IntN(6), 1+r.IntN(12)
	p := &Programme{}
	for range rows {
		p.Limit = append(p.Limit, float64(r.IntN(4))*r.Float64())
	}
	for range blocks {
		block := []Column{{Cost: 5 + 5*r.Float64(), First: float64(r.IntN(2))}}
		for range r.IntN(5) {
			c := Column{Cost: 5 * r.Float64()}
			for row := range rows {
				if r.IntN(2) > 0 {
					c.In = append(c.In, Entry{row, r.Float64() - 0.1})
				}
			}
			block = append(block, c)
		}
		p.Blocks = append(p.Blocks, block)
	}
	return p
}

func optimum(t *testing.T, p *Programme) Mixture {
	t.Helper()
	m, err := p.Solve(make([]int, len(p.Blocks)))
	require.NoError(t, err)
	return m
}

// cost is what a mixture costs at a stage.
func cost(p *Programme, m Mixture, st Stage) (sum float64) {
	for b, block := range p.Blocks {
		for c, share := range m.Share[b] {
			sum += share * block[c].of(st)
		}
	}
	return sum
}

// dual is what no mixture that keeps to the rows costs less than, by the prices of a
// stage (Lagrangian duality, which holds for any prices of zero or more).
func dual(p *Programme, m Mixture, st Stage) (bound float64) {
	for row, price := range m.Price[st] {
		bound -= price * p.Limit[row]
	}
	for _, block := range p.Blocks {
		least := 1e9
		for _, c := range block {
			v := c.of(st)
			for _, e := range c.In {
				v += m.Price[st][e.Row] * e.A
			}
			least = min(least, v)
		}
		bound += least
	}
	return bound
}

// assertKeeps checks that shares sum to 1 and keep to the rows, and prices are none below
// zero.
func assertKeeps(t *testing.T, p *Programme, m Mixture) {
	t.Helper()
	taken := make([]float64, len(p.Limit))
	for b, block := range p.Blocks {
		sum := 0.0
		for c, share := range m.Share[b] {
			assert.GreaterOrEqual(t, share, 0.0)
			sum += share
			for _, e := range block[c].In {
				taken[e.Row] += share * e.A
			}
		}
		assert.InDelta(t, 1, sum, 1e-9)
	}
	for row, limit := range p.Limit {
		assert.LessOrEqual(t, taken[row], limit+1e-7)
		for st := range Stages {
			assert.GreaterOrEqual(t, m.Price[st][row], 0.0)
		}
	}
	assert.InDelta(t, cost(p, m, CostStage), m.Cost, 1e-9)
}

// An optimum costs what its own prices prove to be the least.
func TestOptimaAreProvedByTheirPrices(t *testing.T) {
	for seed := range uint64(400) {
		p := random(rand.New(rand.NewPCG(seed, 1)))
		for _, block := range p.Blocks {
			block[0].First = 0
		}
		m := optimum(t, p)
		assertKeeps(t, p, m)
		assert.InDelta(t, dual(p, m, CostStage), m.Cost, 1e-6, "seed %d", seed)
	}
}

// What comes first is made least whatever the cost: the cheapest of those is the optimum of
// one cost in which the first outweighs all.
func TestWhatComesFirstOutweighsAnyCost(t *testing.T) {
	for seed := range uint64(400) {
		p := random(rand.New(rand.NewPCG(seed, 2)))
		m := optimum(t, p)
		assertKeeps(t, p, m)
		first := cost(p, m, FirstStage)
		assert.InDelta(t, dual(p, m, FirstStage), first, 1e-6, "seed %d", seed)

		const much = 1e5
		one := &Programme{Limit: p.Limit}
		for _, block := range p.Blocks {
			var columns []Column
			for _, c := range block {
				columns = append(columns, Column{Cost: c.Cost + much*c.First, In: c.In})
			}
			one.Blocks = append(one.Blocks, columns)
		}
		assert.InDelta(t, optimum(t, one).Cost, m.Cost+much*first, 1e-3, "seed %d", seed)
	}
}

// By hand: of two pieces of ground a machine with 6 hours does the one that saves more for
// an hour, and the half of the other; an hour more would save what that does.
func TestByHand(t *testing.T) {
	p := &Programme{Limit: []float64{6}, Blocks: [][]Column{
		{{Cost: 100}, {Cost: 20, In: []Entry{{0, 4}}}}, // saves 20 an hour
		{{Cost: 100}, {Cost: 40, In: []Entry{{0, 4}}}}, // saves 15 an hour
	}}
	m := optimum(t, p)
	assert.InDelta(t, 20+(100+40)/2, m.Cost, 1e-12)
	assert.InDeltaSlice(t, []float64{0, 1}, m.Share[0], 1e-12)
	assert.InDeltaSlice(t, []float64{0.5, 0.5}, m.Share[1], 1e-12)
	assert.InDelta(t, 15, m.Price[CostStage][0], 1e-12)
	assert.Zero(t, m.Price[FirstStage][0])
}
