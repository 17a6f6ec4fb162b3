package plan

import (
	"math"
	"slices"

	"github.com/acreband/acreband/zoning/plan/internal/lp"
)

// Ways to deal with a piece other than by a kind of machine.
const (
	byHand   = -1
	byNobody = -2 // it stays standing
)

// option is one way to deal with a piece.
type option struct {
	by    int     // a kind of machine, byHand or byNobody
	cost  float64 // what the choice is to make least
	spend float64 // what it costs in money
	hours float64 // of one machine; 0 by hand and by nobody
}

// choice is the question which machines to bring, and which of them deals with which
// piece, or part of one.
type choice struct {
	owned  []int           // machines of each kind
	moveH  []float64       // hours to bring one and take it away
	fixed  []float64       // what bringing one adds to the cost
	spend  []float64       // and to the money
	pieces [][]option      // ways to deal with each; by nobody first
	area   []int           // of each piece
	room   []float64       // machines that an area takes at once
	hourly float64         // what an hour of work on the site adds to the cost
	truck  float64         // and to the money
	moving float64         // what an hour of the longest move adds to the cost
	within float64         // the most hours of work and moving; +Inf no limit
	budget float64         // the most money; +Inf no limit
	narrow func(crew) bool // which crews may be chosen; nil all
	whole  bool            // nothing is left that a machine may work

	mostH float64 // what slowest returns
}

// crew is how many machines of each kind are brought.
type crew []int

// crews lists all crews, those with fewer machines first: equals are settled for the
// earlier.
func (c *choice) crews() []crew {
	var byCount [][]crew
	var add func(k, count int, chosen crew)
	add = func(k, count int, chosen crew) {
		if k == len(c.owned) {
			for len(byCount) <= count {
				byCount = append(byCount, nil)
			}
			byCount[count] = append(byCount[count], append(crew(nil), chosen...))
			return
		}
		for n := range c.owned[k] + 1 {
			add(k+1, count+n, append(chosen, n))
		}
	}
	add(0, 0, make(crew, 0, len(c.owned)))
	var all []crew
	for _, some := range byCount {
		for _, k := range some {
			if c.narrow == nil || c.narrow(k) {
				all = append(all, k)
			}
		}
	}
	return all
}

// size is how many machines a crew has.
func (k crew) size() int {
	n := 0
	for _, m := range k {
		n += m
	}
	return n
}

// kinds is the set of kinds in a crew, as bits.
func (k crew) kinds() int {
	set := 0
	for i, n := range k {
		if n > 0 {
			set |= 1 << i
		}
	}
	return set
}

// base is what a crew costs before it works, in cost and in money, and its longest move.
func (c *choice) base(k crew) (cost, spend, moveH float64) {
	for i, n := range k {
		if n > 0 {
			moveH = max(moveH, c.moveH[i])
			cost += float64(n) * c.fixed[i]
			spend += float64(n) * c.spend[i]
		}
	}
	return cost + c.moving*moveH, spend, moveH
}

// workH is how many hours a crew can work at most: what the limit leaves after its
// longest move, and never more than all the hours there are.
func (c *choice) workH(k crew) float64 {
	_, _, move := c.base(k)
	return min(c.within-move, c.mostH)
}

// slowest is how long the slowest ways take one after the other.
func (c *choice) slowest() float64 {
	total := 0.0
	for _, ways := range c.pieces {
		most := 0.0
		for _, o := range ways {
			most = max(most, o.hours)
		}
		total += most
	}
	return total
}

// solution is an answer to a choice.
type solution struct {
	crew  crew
	share [][]float64 // of each piece's options, as in choice.pieces
	cost  float64
	proof Proof
}

// Proof says how a choice is known to be the best.
type Proof struct {
	Crews  int     // how many crews could be brought
	Solved int     // for how many the best use was worked out
	Bound  float64 // no crew that was not can do better than this
	Cost   float64 // what the best does, in the same unit: dollars, or hours
}

// solve finds the best answer; one without a crew where none may be chosen. For one
// crew that is a linear programme. Its dual prices give a lower bound for every
// other crew (Lagrangian duality: it holds for any prices), so crews whose bound is
// not below the best found need not be solved; the best is proved when none is left.
func (c *choice) solve() (solution, error) {
	all, bound := c.bounds()
	solved := make([]bool, len(all))
	next := -1 // begin with the largest crew: its prices say the most
	for i, b := range bound {
		if !math.IsInf(b, 1) {
			next = i
		}
	}
	best, bestAt := solution{cost: math.Inf(1)}, -1
	areas := map[int]bool{}
	count := 0
	for ; next >= 0; next = lowest(bound, solved) {
		if bestAt >= 0 && bound[next] >= best.cost-1e-9*(1+math.Abs(best.cost)) {
			break
		}
		solved[next] = true
		count++
		s, p, err := c.use(all[next], areas)
		if err != nil {
			return solution{}, err
		}
		tie := 1e-9 * (1 + math.Abs(s.cost))
		better := bestAt < 0 || s.cost < best.cost-tie || s.cost <= best.cost+tie && next < bestAt
		if better && c.complete(s) {
			best, bestAt = s, next
		}
		c.raise(all, bound, p)
	}
	best.proof = Proof{Crews: len(all), Solved: count, Bound: best.cost, Cost: best.cost}
	if next >= 0 {
		best.proof.Bound = bound[next]
	}
	return best, nil
}

// bounds lists the crews and what each costs at least if nothing held it up; +Inf where
// it cannot come for its moves alone.
func (c *choice) bounds() ([]crew, []float64) {
	c.mostH = c.slowest()
	all := c.crews()
	bound := make([]float64, len(all))
	for i, k := range all {
		bound[i] = math.Inf(-1)
		if _, spend, _ := c.base(k); spend > c.budget || k.size() > 0 && !(c.workH(k) > 0) {
			bound[i] = math.Inf(1)
		}
	}
	if len(all) > 0 {
		free := prices{machine: make([]float64, len(c.owned))}
		c.raise(all, bound, [lp.Stages]prices{free, free})
	}
	return all, bound
}

// fewest is how many machines the smallest crew has that costs no more than a limit; -1
// where none does. Crews are gone through by size, and shown by bounds to cost
// more where they can be.
func (c *choice) fewest(limit float64) (int, error) {
	all, bound := c.bounds()
	areas := map[int]bool{}
	most := limit * (1 + 1e-9)
	// The largest crew's prices say the most; then by size.
	for i := range slices.Backward(all) {
		if math.IsInf(bound[i], 1) {
			continue
		}
		_, p, err := c.use(all[i], areas)
		if err != nil {
			return -1, err
		}
		c.raise(all, bound, p)
		break
	}
	for i, k := range all {
		if bound[i] > most {
			continue
		}
		s, p, err := c.use(k, areas)
		if err != nil || s.cost <= most && c.complete(s) {
			return k.size(), err
		}
		c.raise(all, bound, p)
	}
	return -1, nil
}

// lowest is the crew with the least bound that is not solved, the first of equals; -1
// for none.
func lowest(bound []float64, solved []bool) int {
	at := -1
	for i, b := range bound {
		if !solved[i] && !math.IsInf(b, 1) && (at < 0 || b < bound[at]) {
			at = i
		}
	}
	return at
}
