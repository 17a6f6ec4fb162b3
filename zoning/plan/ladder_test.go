package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
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
	kinds, ruledOut := whichMayCome(measure.US, machines, book)
	return &planner{site: s, job: &book.Job, kinds: kinds, ruledOut: ruledOut, v: valuesOf(ByRate{}, kinds, &book.Job, likeliest),
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

// limitsOf is edits of every kind of limit in turn.
func limitsOf(r *rand.Rand, n uint64) []string {
	return [][]string{
		nil,
		{"job", "window", fmt.Sprintf("%ddays", 2+r.IntN(20))},
		{"job", "budget", fmt.Sprintf("$%d", 1500+r.IntN(20000))},
		{"job", "rest", "hand", "job", "minimum_charge", "$9000"},
		{"track-loader", "owned", "2", "job", "support_truck", "$0/h"},
	}[n%5]
}

// bruteForce is the least price of each crew that clears all it may, by every way to give
// whole lumps to its machines; and what it clears.
func bruteForce(b *bidder, k crew) (acres, usd float64) {
	var open []int
	for i, l := range b.lumps {
		if slices.ContainsFunc(l.ways, k.comes) {
			open = append(open, i)
			acres += l.acres
		}
	}
	least := math.Inf(1)
	a := b.start(k)
	var try func(n int)
	try = func(n int) {
		if n == len(open) {
			b.reckon(a)
			least = min(least, a.costUSD)
			return
		}
		l := &b.lumps[open[n]]
		for _, w := range l.ways {
			if k.comes(w) {
				a.give(l, w, 1)
				try(n + 1)
				a.give(l, w, -1)
			}
		}
	}
	try(0)
	return acres, least
}

// Every way to give whole pieces to the machines of every crew is tried, with a truck that
// waits for all: no crew is cheaper than the descent finds it by more than a hundredth.
func TestAssignmentsAgainstEveryOne(t *testing.T) {
	worst, missed, all := 0.0, 0, 0
	for n := range uint64(40) {
		b := planning(t, randomSite(rand.New(rand.NewPCG(n, 21)), 7), "track-loader", "owned", "2", "job", "support_truck", fmt.Sprintf("$%d/h", 25*(n%4))).bidder()
		for _, k := range crews(b.kinds) {
			a := b.assign(k, b.v.truck)
			acres, usd := bruteForce(b, k)
			assert.InDelta(t, acres, a.acres, 1e-9, "case %d, crew %v", n, k)
			assert.GreaterOrEqual(t, a.costUSD, usd*(1-1e-9))
			if gap := a.costUSD/usd - 1; a.acres > 0 {
				all++
				if gap > 1e-9 {
					missed++
				}
				worst = max(worst, gap)
			}
		}
	}
	t.Logf("of %d assignments %d are dearer than the least, by at most %.3g%%", all, missed, 100*worst)
	assert.LessOrEqual(t, worst, 0.01)
}

// Whatever an acre is worth, no crew that can come leaves its owner more than the rung
// that is recommended: every crew is tried in every way, none left out.
func TestNoCrewBeatsTheLadder(t *testing.T) {
	rungs := 0
	for n := range uint64(40) {
		b := planning(t, randomSite(rand.New(rand.NewPCG(n, 22)), 6), "job", "least_work", fmt.Sprintf("%gdays", 0.5*float64(n%3))).bidder()
		ladder := b.job.steps(b.clearings())
		if len(ladder) == 0 {
			continue
		}
		rungs += len(ladder)
		least := math.Inf(1) // per acre
		type point struct{ acres, usd float64 }
		var points []point
		for _, k := range crews(b.kinds) {
			acres, usd := bruteForce(b, k)
			if acres <= leastExcludedAcres || !b.busy(b.assign(k, b.v.truck)) {
				continue
			}
			points = append(points, point{acres, b.job.asks(usd)})
			least = min(least, b.job.asks(usd)/acres)
		}
		assert.InEpsilon(t, least, ladder[0].extraUSD, 1e-3, "case %d: the first rung has the least price per acre", n)
		for _, usd := range []float64{1.01 * least, 1.2 * least, 1500, 2500, 4000, 8000, 20000, 1e6} {
			if usd < 1.01*least {
				continue
			}
			on := ladder[b.worth(ladder, usd)]
			for _, pt := range points {
				assert.LessOrEqual(t, usd*pt.acres-pt.usd, (usd*on.acres-b.job.asks(on.costUSD))+1e-3*usd+1e-3*on.priceUSD, "case %d: an acre worth $%g", n, usd)
			}
		}
	}
	assert.Greater(t, rungs, 50)
}

// holds checks an assignment against the days and the budget, and its sums.
func holds(t *testing.T, b *bidder, a *assignment) {
	t.Helper()
	j := b.job
	assert.LessOrEqual(t, a.spanH, b.limits.spanH*(1+1e-9))
	if j.BudgetUSD > 0 && a.acres > 0 {
		assert.LessOrEqual(t, j.Price(a.costUSD), j.BudgetUSD*(1+1e-9), "the budget is of the price")
	}
	if j.Days > 0 {
		assert.LessOrEqual(t, halfDays(a.spanH, j.DayH), j.Days)
	}
	for i, l := range b.lumps {
		if a.by[i] < 0 {
			assert.Zero(t, a.share[i])
			continue
		}
		w := l.ways[a.by[i]]
		assert.True(t, a.crew.comes(w))
		assert.True(t, a.share[i] == 1 || a.ended[i] != "", "what is worked is worked whole, but where a limit ends it")
	}
}

// A rung never clears less than the one below, nor asks less, nor adds acres at a lower
// price; what it holds keeps to the limits; its acres and what it leaves are the site's.
func TestRungsRise(t *testing.T) {
	for n := range uint64(60) {
		r := rand.New(rand.NewPCG(n, 23))
		b := planning(t, randomSite(r, 8), limitsOf(r, n)...).bidder()
		var plan Plan
		require.NoError(t, b.planOptions(&plan))
		ladder := b.job.steps(b.clearings())
		require.Len(t, plan.Ladder, len(ladder))
		total := 0.0
		for _, p := range b.site.Pieces {
			total += p.GrossAcres
		}
		for i, on := range ladder {
			holds(t, b, on.assignment)
			got := plan.Ladder[i]
			sum := got.Acres
			for _, l := range got.Left {
				assert.Positive(t, l.Acres)
				sum += l.Acres
			}
			assert.InDelta(t, total, sum, 1e-9, "case %d", n)
			assert.InDelta(t, on.priceUSD, got.PriceUSD, 1e-6)
			assert.InDelta(t, on.acres, got.Acres, 1e-9)
			if i == 0 {
				assert.True(t, math.IsNaN(got.ExtraPerAcreUSD))
				continue
			}
			below := ladder[i-1]
			assert.Greater(t, on.acres, below.acres)
			assert.GreaterOrEqual(t, on.priceUSD, below.priceUSD*(1-1e-9))
			assert.InEpsilon(t, (on.priceUSD-below.priceUSD)/(on.acres-below.acres), got.ExtraPerAcreUSD, 1e-9)
			assert.GreaterOrEqual(t, on.extraUSD, below.extraUSD*(1-1e-9))
		}
	}
}

// By hand: of six crews three are rungs. The one at 6 acres lies above the line from 4
// acres to 10, the one at 5 asks more than that at 6, and a second at 4 comes later.
func TestStepsByHand(t *testing.T) {
	flat := &Job{}
	b := &bidder{planner: &planner{job: flat}}
	of := func(points ...[2]float64) (out []clearing) {
		for i, pt := range points {
			out = append(out, clearing{&assignment{crew: crew{i}, costUSD: pt[1]}, pt[0], pt[1]})
		}
		return out
	}
	ladder := flat.steps(of([2]float64{6, 8500}, [2]float64{4, 4000}, [2]float64{10, 13000}, [2]float64{4, 4000}, [2]float64{5, 9000}, [2]float64{11, 18000}))
	require.Len(t, ladder, 3)
	var got [][3]float64
	for _, on := range ladder {
		got = append(got, [3]float64{float64(on.crew[0]), on.acres, on.extraUSD})
	}
	assert.Equal(t, [][3]float64{{1, 4, 1000}, {2, 10, 1500}, {5, 11, 5000}}, got)
	for usd, want := range map[float64]int{0: 0, 999: 0, 1499: 0, 1500: 1, 4999: 1, 5000: 2, 1e9: 2} {
		assert.Equal(t, want, b.worth(ladder, usd), "$%g", usd)
	}
	assert.Equal(t, -1, b.worth(nil, 5000))
	assert.Empty(t, flat.steps(nil))
	// At one price an acre, the most acres.
	one := flat.steps(of([2]float64{2, 2000}, [2]float64{3, 3000}, [2]float64{1, 1000}))
	require.Len(t, one, 1)
	assert.Equal(t, 3.0, one[0].acres)
}

// A crew whose moves the budget does not pay for, or that has no hours after them, clears
// nothing.
func TestCrewsThatCannotComeClearNothing(t *testing.T) {
	s := &Site{Pieces: []Piece{{Zone: "z", May: 0b1111, GrossAcres: 6, NetAcres: 6, Cover: Light}}}
	for _, limit := range [][2]string{{"budget", "$100"}, {"haul_miles", "500mi"}} {
		p := planning(t, s, "job", limit[0], limit[1], "job", "window", "1days", "job", "week", "7days")
		assert.Empty(t, p.bidder().clearings(), limit[0])
	}
	b := planning(t, s, "job", "budget", "$3000").bidder()
	all := b.clearings()
	require.NotEmpty(t, all)
	for _, c := range all {
		assert.LessOrEqual(t, c.priceUSD, 3000.01)
		assert.Less(t, c.acres, 6.0)
	}
}
