package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/plan/internal/lp"
)

// The prices of a crew's best use bound what every other crew costs from below, and its own
// cost exactly (duality): a bound too low only costs time, one too high hides the best.
func TestPricesBoundWhatCrewsCost(t *testing.T) {
	for n := range uint64(60) {
		r := rand.New(rand.NewPCG(n, 13))
		c := randomChoice(r, 1+r.IntN(3), 1+r.IntN(6), 2)
		all, free := c.bounds()
		cost := make([]float64, len(all))
		priced := make([][lp.Stages]prices, len(all))
		for i, k := range all {
			if math.IsInf(free[i], 1) {
				continue
			}
			s, p, err := c.use(k, map[int]bool{})
			require.NoError(t, err)
			cost[i], priced[i] = s.cost, p
		}
		for i := range all {
			if math.IsInf(free[i], 1) {
				continue
			}
			assert.LessOrEqual(t, free[i], cost[i]*(1+1e-9), "%d: crew %v, without prices", n, all[i])
			c.eachBound(all, free, priced[i], lp.CostStage, func(k int, b float64) {
				assert.LessOrEqual(t, b, cost[k]+1e-6*(1+cost[k]), "%d: crew %v by the prices of %v", n, all[k], all[i])
				if k == i {
					assert.InDelta(t, cost[k], b, 1e-6*(1+cost[k]), "%d: crew %v by its own", n, all[k])
				}
			})
		}
	}
}

// Where nothing is to be left, the first prices of a crew's best use bound how much of the
// pieces every crew leaves, its own exactly.
func TestFirstPricesBoundWhatIsLeft(t *testing.T) {
	left := 0
	for n := range uint64(60) {
		r := rand.New(rand.NewPCG(n, 17))
		c := randomChoice(r, 1+r.IntN(3), 1+r.IntN(6), 2)
		c.whole = true
		c.mostH = c.slowest()
		for _, k := range c.crews() {
			if _, spend, _ := c.base(k); spend > c.budget || k.size() > 0 && !(c.workH(k) > 0) {
				continue
			}
			s, p, err := c.use(k, map[int]bool{})
			require.NoError(t, err)
			spared := 0.0
			for i, ways := range c.pieces {
				for o, share := range s.share[i] {
					if c.spared(ways, ways[o]) {
						spared += share
					}
				}
			}
			if spared > leastLeft {
				left++
			}
			c.eachBound([]crew{k}, []float64{0}, p, lp.FirstStage, func(_ int, b float64) {
				assert.InDelta(t, spared, b, 1e-6, "%d: crew %v", n, k)
			})
		}
	}
	assert.Greater(t, left, 20)
}

// Stems of which nothing is known take nothing off a rate.
func TestEase(t *testing.T) {
	f := &Figures{}
	require.NoError(t, f.Set("stem_factor", "60% at 4in, 30% at 8in"))
	require.NoError(t, f.Set("slope_factor", "100% at 10%, 50% at 30%"))
	assert.Equal(t, 1.0, ByRate{}.Ease(f, Piece{}))
	assert.InDelta(t, 0.75, ByRate{}.Ease(f, Piece{SlopeMeanPct: 20}), 1e-12)
	assert.InDelta(t, 0.75*0.45, ByRate{}.Ease(f, Piece{SlopeMeanPct: 20, StemIn: 6}), 1e-12)
}
