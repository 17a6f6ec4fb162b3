package plan

import (
	"math"
	"slices"
)

// Goal is what a crew is chosen for. Every choice stays within the job's window and
// budget.
type Goal string

// Goals. Cheapest may leave ground standing, or to a hand crew, where that costs less
// than working it. The other two work all that a machine may work: in as few half
// days as can be, or with as few machines; among those, at least cost.
const (
	Cheapest Goal = "cheapest"
	Soonest  Goal = "soonest"
	Fewest   Goal = "fewest machines"
)

// Unmet is a goal that no crew reaches.
type Unmet struct {
	Goal   Goal   `json:"goal"`
	Reason string `json:"reason"`
}

// planOptions finds the options of a plan, and where each machine begins to pay.
func (p *planner) planOptions(plan *Plan) error {
	drawn, err := p.draw()
	if err != nil {
		return err
	}
	var cheapest crew
	for _, g := range []struct {
		goal  Goal
		solve func() (solution, bool, error)
	}{{Cheapest, p.cheapest}, {Soonest, p.soonest}, {Fewest, p.fewest}} {
		s, ok, err := g.solve()
		if err != nil {
			return err
		}
		if !ok {
			plan.Unmet = append(plan.Unmet, Unmet{g.goal,
				"no crew works all that machines may work within the window and the budget"})
			continue
		}
		if g.goal == Cheapest {
			cheapest = s.crew
		}
		t := p.tallyOf(p.choice(), s)
		o := p.option(g.goal, s, t)
		p.spread(&o, t, drawn)
		plan.Options = append(plan.Options, o)
	}
	plan.BreakEven = p.breakEven(cheapest)
	return nil
}

// cheapest is always there: at worst nothing is done.
func (p *planner) cheapest() (solution, bool, error) {
	s, err := p.money(false).solve()
	return s, true, err
}

// money is the choice at least cost. With all, whatever a machine may work is not left
// to hand work, nor standing, as long as the limits allow it.
func (p *planner) money(all bool) *choice {
	c := p.choice()
	c.hourly = p.v.truck
	c.fixed = c.spend
	for i, piece := range p.site.Pieces {
		ways := c.pieces[i]
		ways[0].cost = p.job.StandingPerAcre * piece.NetAcres
		for o := range ways[1:] {
			ways[o+1].cost = ways[o+1].spend
		}
	}
	c.whole = all
	return c
}

// time is the choice in least hours, of all that machines may work.
func (p *planner) time() *choice {
	c := p.choice()
	c.hourly, c.moving = 1, 1
	c.fixed = make([]float64, len(p.kinds))
	c.whole = true
	return c
}

// choice is what the choices by cost and by time have in common.
func (p *planner) choice() *choice {
	j := p.job
	c := &choice{area: p.areas.of, room: p.areas.room, truck: p.v.truck,
		within: j.windowWorkingDays() * j.DayH, budget: math.Inf(1)}
	if j.BudgetUSD > 0 {
		c.budget = j.BudgetUSD
	}
	for i, k := range p.kinds {
		c.owned = append(c.owned, k.owned)
		c.moveH = append(c.moveH, k.moveH)
		c.spend = append(c.spend, p.v.movesUSD(i))
	}
	for i, piece := range p.site.Pieces {
		ways := []option{{by: byNobody}}
		if piece.closed() {
			c.pieces = append(c.pieces, ways)
			continue
		}
		if j.Rest == Hand {
			ways = append(ways, option{by: byHand, spend: p.v.hand * piece.NetAcres})
		}
		for m, k := range p.kinds {
			if w, ok := p.v.load(m, k, piece, p.walk[i]); ok {
				ways = append(ways, option{by: m, spend: w.usd, hours: w.scheduled})
			}
		}
		c.pieces = append(c.pieces, ways)
	}
	return c
}

// spared reports whether a way leaves ground that a machine may work, where nothing is to
// be left.
func (c *choice) spared(ways []option, o option) bool { return c.whole && o.by < 0 && workable(ways) }

// workable reports whether a machine may work a piece with such ways: those of machines come last.
func workable(ways []option) bool { return ways[len(ways)-1].by >= 0 }

// complete reports whether a crew does all that the choice asks for. What rounding leaves
// of a piece is nothing left.
func (c *choice) complete(s solution) bool {
	for i, ways := range c.pieces {
		for o, share := range s.share[i] {
			if c.spared(ways, ways[o]) && share > leastLeft {
				return false
			}
		}
	}
	return true
}

// soonest finds the fewest half days, then the cheapest way to keep to them.
func (p *planner) soonest() (solution, bool, error) {
	c := p.time()
	s, err := c.solve()
	if err != nil || s.crew == nil {
		return s, false, err
	}
	// s.cost is hours of moving and work.
	within := halfDays(s.cost, p.job.DayH) * p.job.DayH
	c = p.money(true)
	c.within = min(c.within, within)
	s, err = c.solve()
	return s, s.crew != nil, err
}

// fewest finds how few machines can work all in time, then the cheapest such crew.
func (p *planner) fewest() (solution, bool, error) {
	hours := p.time()
	hours.narrow = hours.covers
	// Whoever works all takes no longer than the slowest ways one after the other.
	limit := min(hours.within, hours.slowest()+slices.Max(append(hours.moveH, 0)))
	size, err := hours.fewest(limit)
	if err != nil || size < 0 {
		return solution{}, false, err
	}
	c := p.money(true)
	c.narrow = func(k crew) bool { return k.size() == size && c.covers(k) }
	s, err := c.solve()
	return s, s.crew != nil, err
}

// covers reports whether a crew has a machine for everything that machines may work.
func (c *choice) covers(k crew) bool {
	for _, ways := range c.pieces {
		found := !workable(ways)
		for _, o := range ways {
			found = found || o.by >= 0 && k[o.by] > 0
		}
		if !found {
			return false
		}
	}
	return true
}
