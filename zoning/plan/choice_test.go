package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// randomChoice is a choice of a few machines and pieces, with every kind of limit in
// turn.
func randomChoice(r *rand.Rand, kinds, pieces, most int) *choice {
	c := &choice{within: math.Inf(1), budget: math.Inf(1), hourly: 25, truck: 25}
	for range kinds {
		c.owned = append(c.owned, 1+r.IntN(most))
		c.moveH = append(c.moveH, 1+2*r.Float64())
		move := 200 + 800*r.Float64()
		c.fixed, c.spend = append(c.fixed, move), append(c.spend, move)
	}
	areas := 1 + r.IntN(pieces)
	for range areas {
		c.room = append(c.room, float64(1+r.IntN(2)))
	}
	for range pieces {
		acres := 0.1 + 5*r.Float64()
		ways := []option{{byNobody, 4000 * acres, 0, 0}, {byHand, 3500 * acres, 3500 * acres, 0}}
		for k := range kinds {
			if r.IntN(3) > 0 {
				h := acres * (1 + 6*r.Float64())
				usd := h * (80 + 150*r.Float64())
				ways = append(ways, option{k, usd, usd, h})
			}
		}
		c.pieces, c.area = append(c.pieces, ways), append(c.area, r.IntN(areas))
	}
	total := c.slowest()
	if r.IntN(2) == 0 {
		c.within = 3 + total*0.4*r.Float64()
	}
	if r.IntN(2) == 0 {
		c.budget = 5000 * float64(pieces) * r.Float64()
	}
	return c
}

// reference works a crew out with gonum's simplex: every row, every area, slack for
// slack. +Inf where the crew cannot be.
func reference(t *testing.T, c *choice, k crew) float64 {
	base, spend, move := c.base(k)
	hours := min(c.within-move, c.slowest())
	if k.size() > 0 && hours <= 0 || spend > c.budget {
		return math.Inf(1)
	}
	hours = max(hours, 0)
	var cost []float64
	type cell struct {
		row, col int
		v        float64
	}
	var cells []cell
	machines, areas, pieces := len(k), len(c.room), len(c.pieces)
	rows := pieces + machines + areas + 2 // then hours, budget
	b := make([]float64, rows)
	basic := make([]int, rows) // nobody works anything; gonum's own search for a start fails on such rows
	column := func(cst float64) int { cost = append(cost, cst); return len(cost) - 1 }
	put := func(row, col int, v float64) { cells = append(cells, cell{row, col, v}) }
	w := column(c.hourly) // hours of work
	for i, n := range k {
		put(pieces+i, w, -float64(n))
	}
	for a, room := range c.room {
		put(pieces+machines+a, w, -room)
	}
	put(rows-2, w, 1)
	b[rows-2] = hours
	if math.IsInf(c.budget, 1) {
		b[rows-1] = 1e6
	} else {
		b[rows-1] = c.budget - spend
	}
	put(rows-1, w, c.truck)
	for i, ways := range c.pieces {
		b[i] = 1
		for _, o := range ways {
			if o.by >= 0 && k[o.by] == 0 {
				continue
			}
			x := column(o.cost)
			put(i, x, 1)
			if o.by == byNobody {
				basic[i] = x
			}
			put(rows-1, x, o.spend)
			if o.by >= 0 {
				put(pieces+o.by, x, o.hours)
				put(pieces+machines+c.area[i], x, o.hours)
			}
		}
	}
	for r := pieces; r < rows; r++ {
		basic[r] = column(0)
		b[r] += 1e-6 * float64(r) // gonum's simplex runs in circles where many rows are at 0
		put(r, basic[r], 1)
	}
	a := mat.NewDense(rows, len(cost), nil)
	for _, e := range cells {
		a.Set(e.row, e.col, e.v)
	}
	v, _, err := lp.Simplex(cost, a, b, 1e-10, basic)
	require.NoError(t, err)
	return v + base
}

// Every crew is worked out with gonum's linear programme, and none is better than the
// answer.
func TestChoiceAgainstEveryCrew(t *testing.T) {
	for n := range uint64(120) {
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			r := rand.New(rand.NewPCG(n, 5))
			c := randomChoice(r, 1+r.IntN(3), 1+r.IntN(6), 2)
			s, err := c.solve()
			require.NoError(t, err)
			best := math.Inf(1)
			for _, k := range c.crews() {
				best = min(best, reference(t, c, k))
			}
			assert.InDelta(t, best, s.cost, 1e-6*best+0.05)
			assertHolds(t, c, s)
			assert.GreaterOrEqual(t, s.proof.Bound, s.cost*(1-1e-8))
		})
	}
}

// With nothing to be left, no way to give whole pieces to a crew's machines that keeps to
// all limits is cheaper than the answer, and where there is one there is an answer.
// Without limits the best of them is the answer.
func TestChoiceThatLeavesNothing(t *testing.T) {
	answers := 0
	for n := range uint64(150) {
		r := rand.New(rand.NewPCG(n, 11))
		c := randomChoice(r, 1+r.IntN(3), 1+r.IntN(5), 2)
		c.whole = true
		unlimited := n%3 == 0
		if unlimited {
			c.within, c.budget, c.hourly, c.truck = math.Inf(1), math.Inf(1), 0, 0
		}
		s, err := c.solve()
		require.NoError(t, err)
		best := math.Inf(1)
		for _, k := range c.crews() {
			best = min(best, wholePieces(c, k))
		}
		if s.crew == nil {
			assert.True(t, math.IsInf(best, 1), "case %d", n)
			continue
		}
		answers++
		assertHolds(t, c, s)
		assert.True(t, c.complete(s))
		assert.LessOrEqual(t, s.cost, best*(1+1e-9))
		if unlimited {
			assert.InDelta(t, best, s.cost, 1e-9*best)
		}
	}
	assert.Greater(t, answers, 75)
}

// wholePieces is the least cost of a crew that divides no piece and leaves nothing that
// a machine may work; +Inf where it cannot.
func wholePieces(c *choice, k crew) float64 {
	base, spend, move := c.base(k)
	best := math.Inf(1)
	var try func(i int, load, area []float64, cost, money float64)
	try = func(i int, load, area []float64, cost, money float64) {
		if i == len(c.pieces) {
			work := 0.0
			for m, h := range load {
				if h > 0 {
					work = max(work, h/float64(k[m]))
				}
			}
			for a, h := range area {
				work = max(work, h/c.room[a])
			}
			if k.size() > 0 && work+move <= c.within && money+c.truck*work <= c.budget || k.size() == 0 && money <= c.budget {
				best = min(best, cost+c.hourly*work)
			}
			return
		}
		for _, o := range c.pieces[i] {
			if c.spared(c.pieces[i], o) || o.by >= 0 && k[o.by] == 0 {
				continue
			}
			load, area := slices.Clone(load), slices.Clone(area)
			if o.by >= 0 {
				load[o.by] += o.hours
				area[c.area[i]] += o.hours
			}
			try(i+1, load, area, cost+o.cost, money+o.spend)
		}
	}
	try(0, make([]float64, len(k)), make([]float64, len(c.room)), base, spend)
	return best
}

// assertHolds checks a solution against the limits of its choice.
func assertHolds(t *testing.T, c *choice, s solution) {
	t.Helper()
	base, spend, move := c.base(s.crew)
	load, area := make([]float64, len(c.owned)), make([]float64, len(c.room))
	cost, money := base, spend
	for i, share := range s.share {
		sum := 0.0
		for o, x := range share {
			w := c.pieces[i][o]
			sum += x
			cost, money = cost+x*w.cost, money+x*w.spend
			if w.by >= 0 {
				load[w.by] += x * w.hours
				area[c.area[i]] += x * w.hours
			}
		}
		assert.InDelta(t, 1, sum, 1e-7)
	}
	work := 0.0
	for i, h := range load {
		if h > 0 {
			require.Positive(t, s.crew[i])
			work = max(work, h/float64(s.crew[i]))
		}
	}
	for a, h := range area {
		work = max(work, h/c.room[a])
	}
	assert.LessOrEqual(t, work+move, c.within*(1+1e-6)+1e-6)
	assert.LessOrEqual(t, money+c.truck*work, c.budget*(1+1e-6)+1e-6)
	assert.InDelta(t, s.cost, cost+c.hourly*work, 1e-5*(1+s.cost))
}

// Without limits and truck each piece goes to one way: then all ways to give pieces to
// machines are tried.
func TestChoiceAgainstEveryAssignment(t *testing.T) {
	for n := range uint64(60) {
		r := rand.New(rand.NewPCG(n, 7))
		c := randomChoice(r, 3, 5, 1)
		c.within, c.budget, c.hourly, c.truck = math.Inf(1), math.Inf(1), 0, 0
		s, err := c.solve()
		require.NoError(t, err)
		best := math.Inf(1)
		var try func(i int, cost float64, used crew)
		try = func(i int, cost float64, used crew) {
			if i == len(c.pieces) {
				base, _, _ := c.base(used)
				best = min(best, cost+base)
				return
			}
			for _, o := range c.pieces[i] {
				next := slices.Clone(used)
				if o.by >= 0 {
					next[o.by] = 1
				}
				try(i+1, cost+o.cost, next)
			}
		}
		try(0, 0, make(crew, 3))
		assert.InDelta(t, best, s.cost, 1e-9*best)
	}
}

func BenchmarkChoice(b *testing.B) {
	for _, limit := range []string{"none", "days"} {
		b.Run(limit, func(b *testing.B) {
			c := randomChoice(rand.New(rand.NewPCG(1, 2)), 12, 500, 1)
			c.within, c.budget = math.Inf(1), math.Inf(1)
			if limit == "days" {
				c.within = 300
			}
			for b.Loop() {
				s, err := c.solve()
				require.NoError(b, err)
				b.ReportMetric(float64(s.proof.Solved), "crews-solved")
			}
		})
	}
}
