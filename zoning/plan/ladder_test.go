package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// planning is a planner of the default figures, changed by edits: machine or "job", key, value.
func planning(t testing.TB, s *Site, edits ...string) *planner {
	t.Helper()
	book, machines := Default(), fleet.Default()
	for i := 0; i < len(edits); i += 3 {
		set := book.Job.Set
		if edits[i] != "job" {
			set = book.Machine(edits[i]).Set
		}
		require.NoError(t, set(edits[i+1], edits[i+2]))
	}
	kinds, _ := whichMayCome(machines, book, &Site{})
	return &planner{site: s, job: &book.Job, kinds: kinds, v: valuesOf(ByRate{}, kinds, &book.Job, likeliest),
		walk: s.walkM(), areas: areasOf(s, apartM(machines, book.Job.TreeFt))}
}

// randomSite is a few pieces that any of four machines may work or not.
func randomSite(r *rand.Rand, pieces int) *Site {
	s := &Site{GapM: func(int, int) float64 { return 1e6 }}
	for range pieces {
		acres := 0.2 + 12*r.Float64()*r.Float64()
		p := Piece{Zone: "z", May: zoning.Mask(r.IntN(16)), GrossAcres: acres, NetAcres: acres, SlopeMeanPct: 30 * r.Float64(), Cover: Cover(1 + r.IntN(4)),
			EastM: 900 * r.Float64(), NorthM: 900 * r.Float64()}
		if r.IntN(8) == 0 {
			p.May = zoning.NoGo
		}
		s.Pieces = append(s.Pieces, p)
	}
	return s
}

// limits are edits of every kind of limit in turn.
func limits(r *rand.Rand, n uint64) []string {
	return [][]string{
		nil,
		{"job", "window", fmt.Sprintf("%ddays", 2+r.IntN(20))},
		{"job", "budget", fmt.Sprintf("$%d", 1500+r.IntN(20000))},
		{"job", "rest", "hand", "job", "minimum_charge", "$9000"},
		{"track-loader", "owned", "2", "job", "support_truck", "$0/h"},
	}[n%5]
}

// Every subset of the fleet by hand, without a truck that waits for all: a crew clears what
// its machines may work, each piece in the cheapest way, and asks for its moves.
func TestClearingsAgainstEverySubset(t *testing.T) {
	for n := range uint64(40) {
		s := randomSite(rand.New(rand.NewPCG(n, 21)), 6)
		p := planning(t, s, "job", "support_truck", "$0/h", "job", "minimum_charge", "$2500")
		all, err := p.clearings()
		require.NoError(t, err)
		best := map[int]clearing{} // by the set of kinds
		for _, c := range all {
			best[c.crew.kinds()] = c
		}
		for set := 1; set < 1<<len(p.kinds); set++ {
			acres, usd := 0.0, 0.0
			for k := range p.kinds {
				if set&(1<<k) != 0 {
					usd += ByRate{}.MoveUSD(&p.v.machines[k])
				}
			}
			for i, piece := range s.Pieces {
				least := math.Inf(1)
				for k, kind := range p.kinds {
					if w, ok := p.v.load(k, kind, piece, p.walk[i]); ok && set&(1<<k) != 0 {
						least = min(least, w.usd)
					}
				}
				if !math.IsInf(least, 1) {
					acres, usd = acres+piece.NetAcres, usd+least
				}
			}
			if c, ok := best[set]; ok {
				assert.InDelta(t, acres, c.acres, 1e-6, "case %d, set %b", n, set)
				assert.InEpsilon(t, p.job.Price(usd), c.priceUSD, 1e-9, "case %d, set %b", n, set)
			} else if acres > 0 {
				assert.True(t, beaten(all, acres-1e-6, p.job.Price(usd)*(1+1e-9)), "case %d: set %b was left out and is beaten by none", n, set)
			}
		}
	}
}

// Whatever an acre is worth, no crew that can come leaves its owner more than the rung
// that is recommended: every crew is worked out, in every kind of limit, and none left out.
func TestNoCrewBeatsTheLadder(t *testing.T) {
	rungsSeen := 0
	for n := range uint64(50) {
		r := rand.New(rand.NewPCG(n, 22))
		p := planning(t, randomSite(r, 7), limits(r, n)...)
		ladder, err := p.ladder()
		require.NoError(t, err)
		if len(ladder) == 0 {
			continue
		}
		rungsSeen += len(ladder)
		c := p.clearingChoice()
		c.mostH = c.slowest()
		least := math.Inf(1) // per acre
		type point struct{ acres, usd float64 }
		var points []point
		for _, k := range c.crews() {
			if _, _, can := c.atBest(k); !can {
				continue
			}
			s, _, err := c.use(k, map[int]bool{})
			require.NoError(t, err)
			most, cheapest, _ := c.atBest(k)
			assert.LessOrEqual(t, c.cleared(s), most+1e-6, "case %d, crew %v", n, k)
			assert.GreaterOrEqual(t, s.cost, cheapest*(1-1e-9), "case %d, crew %v", n, k)
			if acres := c.cleared(s); acres > leastExcludedAcres {
				points = append(points, point{acres, p.job.Price(s.cost)})
				least = min(least, p.job.Price(s.cost)/acres)
			}
		}
		assert.InEpsilon(t, least, ladder[0].extraUSD, 1e-6, "case %d: the first rung has the least price per acre", n)
		for _, usd := range []float64{least, 1.2 * least, 1500, 2500, 4000, 8000, 20000, 1e6} {
			if usd < least {
				continue
			}
			on := ladder[worth(ladder, usd)]
			for _, pt := range points {
				assert.LessOrEqual(t, usd*pt.acres-pt.usd, (usd*on.acres-on.priceUSD)+1e-3*usd+1e-6*on.priceUSD, "case %d: an acre worth $%g", n, usd)
			}
		}
	}
	assert.Greater(t, rungsSeen, 60)
}

// A rung never clears less than the one below, nor asks less, nor adds acres at a lower
// price; and what it holds keeps to the limits.
func TestRungsRise(t *testing.T) {
	for n := range uint64(60) {
		r := rand.New(rand.NewPCG(n, 23))
		p := planning(t, randomSite(r, 8), limits(r, n)...)
		ladder, err := p.ladder()
		require.NoError(t, err)
		c := p.clearingChoice()
		c.mostH = c.slowest()
		for i, on := range ladder {
			assertHolds(t, c, on.solution)
			assert.Positive(t, on.acres)
			assert.InDelta(t, on.priceUSD, p.job.Price(on.cost), 1e-9)
			if i == 0 {
				assert.InEpsilon(t, on.priceUSD/on.acres, on.extraUSD, 1e-9)
				continue
			}
			below := ladder[i-1]
			assert.Greater(t, on.acres, below.acres)
			assert.GreaterOrEqual(t, on.priceUSD, below.priceUSD*(1-1e-9))
			assert.InEpsilon(t, (on.priceUSD-below.priceUSD)/(on.acres-below.acres), on.extraUSD, 1e-9)
			assert.GreaterOrEqual(t, on.extraUSD, below.extraUSD*(1-1e-9))
		}
	}
}

// By hand: of six crews three are rungs. The one at 6 acres lies above the line from 4
// acres to 10, the one at 5 asks more than that at 6, and a second at 4 comes later.
func TestRungsByHand(t *testing.T) {
	of := func(points ...[2]float64) (out []clearing) {
		for i, pt := range points {
			out = append(out, clearing{solution{crew: crew{i}}, pt[0], pt[1]})
		}
		return out
	}
	ladder := rungs(of([2]float64{6, 8500}, [2]float64{4, 4000}, [2]float64{10, 13000}, [2]float64{4, 4000}, [2]float64{5, 9000}, [2]float64{11, 18000}))
	require.Len(t, ladder, 3)
	var got [][3]float64
	for _, on := range ladder {
		got = append(got, [3]float64{float64(on.crew[0]), on.acres, on.extraUSD})
	}
	assert.Equal(t, [][3]float64{{1, 4, 1000}, {2, 10, 1500}, {5, 11, 5000}}, got)
	for usd, want := range map[float64]int{0: 0, 999: 0, 1499: 0, 1500: 1, 4999: 1, 5000: 2, 1e9: 2} {
		assert.Equal(t, want, worth(ladder, usd), "$%g", usd)
	}
	assert.Equal(t, -1, worth(nil, 5000))
	assert.Empty(t, rungs(nil))
	// At one price an acre, the most acres.
	one := rungs(of([2]float64{2, 2000}, [2]float64{3, 3000}, [2]float64{1, 1000}))
	require.Len(t, one, 1)
	assert.Equal(t, 3.0, one[0].acres)
}

// A crew whose moves the budget does not pay for, or that has no hours after them, clears
// nothing.
func TestCrewsThatCannotComeClearNothing(t *testing.T) {
	s := &Site{Pieces: []Piece{{Zone: "z", May: 0b1111, GrossAcres: 6, NetAcres: 6, Cover: Light}}}
	for _, limit := range [][2]string{{"budget", "$100"}, {"haul_miles", "500mi"}} {
		p := planning(t, s, "job", limit[0], limit[1], "job", "window", "1days", "job", "week", "7days")
		all, err := p.clearings()
		require.NoError(t, err)
		assert.Empty(t, all, limit[0])
	}
	p := planning(t, s, "job", "budget", "$1500")
	all, err := p.clearings()
	require.NoError(t, err)
	require.NotEmpty(t, all)
	for _, c := range all {
		assert.LessOrEqual(t, c.cost, 1500.01)
		assert.Less(t, c.acres, 6.0)
	}
}
