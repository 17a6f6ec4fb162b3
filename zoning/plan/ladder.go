package plan

import "math"

// clearing is all that one crew can clear of a site within window and budget, in the
// cheapest way.
type clearing struct {
	solution
	acres    float64 // net acres, those of hand work among them
	priceUSD float64
}

// rung is a crew of a ladder.
type rung struct {
	clearing
	extraUSD float64 // price of each acre more than on the rung below; on the first of each acre
}

// ladder is the crews that an owner would choose from, by what an acre is worth to him:
// each rung clears more than the one below, and each asks more for an acre more.
//
// The first rung is the crew of least price per acre; the next is the one that asks
// least for each acre beyond that, and so on: the lower right hull of price over acres. A
// crew that is on no rung is never the best: where it is worth its price, the rung
// above it is worth more.
func (p *planner) ladder() ([]rung, error) {
	all, err := p.clearings()
	return rungs(all), err
}

// rungs takes the hull of clearings. Of equals the first counts, and where acres are
// added at one price, the one with most.
func rungs(all []clearing) []rung {
	var out []rung
	var at clearing // nothing, for nothing
	for {
		best, least := -1, math.Inf(1)
		for i, c := range all {
			if c.acres <= at.acres+leastExcludedAcres {
				continue
			}
			extra := (c.priceUSD - at.priceUSD) / (c.acres - at.acres)
			tie := 1e-9 * (1 + math.Abs(extra))
			if best < 0 || extra < least-tie || extra <= least+tie && c.acres > all[best].acres+leastExcludedAcres {
				best, least = i, extra
			}
		}
		if best < 0 {
			return out
		}
		at = all[best]
		out = append(out, rung{at, least})
	}
}

// worth is the rung to recommend to whom an acre is worth so many dollars: the last of
// which each extra acre asks no more; the first to whom does not say, with 0. It is -1
// where there is no rung.
func worth(ladder []rung, usdPerAcre float64) int {
	at := min(0, len(ladder)-1)
	for i, r := range ladder {
		if r.extraUSD <= usdPerAcre {
			at = i
		}
	}
	return at
}

// clearings are those of all crews that can come and clear something, those with fewer
// machines first. Crews are left out that another shows to be no better before they are
// worked out: it clears no less than they ever could, at no more than they ask at least.
func (p *planner) clearings() ([]clearing, error) {
	c := p.clearingChoice()
	c.mostH = c.slowest()
	var out []clearing
	areas := map[int]bool{}
	for _, k := range c.crews() {
		most, least, can := c.atBest(k)
		if !can || beaten(out, most, p.job.Price(least)) {
			continue
		}
		s, _, err := c.use(k, areas)
		if err != nil {
			return nil, err
		}
		if acres := c.cleared(s); acres > leastExcludedAcres {
			out = append(out, clearing{s, acres, p.job.Price(s.cost)})
		}
	}
	return out, nil
}

// beaten reports whether one of the clearings has as many acres for no higher a price.
func beaten(all []clearing, acres, priceUSD float64) bool {
	for _, c := range all {
		if c.acres >= acres-1e-9 && c.priceUSD <= priceUSD {
			return true
		}
	}
	return false
}

// clearingChoice is the choice in which a crew leaves as little as it can, whatever
// that costs, and spends as little as it can on that. What is left costs nothing.
func (p *planner) clearingChoice() *choice {
	c := p.choice()
	c.hourly, c.fixed = c.truck, c.spend
	for i, piece := range p.site.Pieces {
		acres := 0.0
		if !piece.closed() {
			acres = piece.NetAcres
		}
		c.acres = append(c.acres, acres)
		for o := range c.pieces[i] {
			c.pieces[i][o].cost = c.pieces[i][o].spend
		}
	}
	return c
}

// cleared is the acres of which somebody disposes in a solution.
func (c *choice) cleared(s solution) (acres float64) {
	for i, share := range s.share {
		for o, part := range share {
			if c.pieces[i][o].by != byNobody {
				acres += part * c.acres[i]
			}
		}
	}
	return acres
}

// atBest is what a crew could clear and spend at best: all that its machines, or hands,
// may work, and for that each piece in its cheapest way, with hours that its machines share
// evenly. can is false where it cannot come for its moves alone. Where window or
// budget may keep it from some ground, it may spend nothing on work.
func (c *choice) atBest(k crew) (acres, usd float64, can bool) {
	base, spend, _ := c.base(k)
	if spend > c.budget || k.size() > 0 && !(c.workH(k) > 0) {
		return 0, 0, false
	}
	work, workH := 0.0, 0.0
	for i, ways := range c.pieces {
		least, hours := math.Inf(1), math.Inf(1)
		for _, o := range ways {
			if o.by == byHand || o.by >= 0 && k[o.by] > 0 {
				least, hours = min(least, o.cost), min(hours, o.hours)
			}
		}
		if !math.IsInf(least, 1) {
			acres, work, workH = acres+c.acres[i], work+least, workH+hours
		}
	}
	if !math.IsInf(c.within, 1) || !math.IsInf(c.budget, 1) {
		return acres, base, true
	}
	return acres, base + work + c.hourly*workH/float64(max(1, k.size())), true
}
