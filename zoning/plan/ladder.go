package plan

import "math"

// clearing is all that one crew clears of a site within days and budget.
type clearing struct {
	*assignment
	acres    float64 // net acres, those of hand work among them
	priceUSD float64
}

// step is a clearing on a ladder.
type step struct {
	clearing
	extraUSD float64 // what each acre more asks than on the step below; on the first each acre
}

// clearing is what an assignment comes to.
func (b *bidder) clearing(a *assignment) clearing {
	return clearing{a, a.acres, b.job.Price(a.costUSD)}
}

// asks is the price of a cost before the minimum charge, by which crews are weighed: where
// that hides what they cost, the dearer one is still the dearer to its owner.
func (j *Job) asks(costUSD float64) float64 { return j.markup() * costUSD }

// steps takes the lower right hull of price over acres. Its first step is the crew of
// least price per acre; the next is the one that asks least for each acre beyond that, and
// so on. A crew that is on no step is never the best: where it is worth its price, the step
// above it is worth more. Of equals the first counts, and where acres are added at one
// price, the one with most.
func (j *Job) steps(all []clearing) []step {
	var out []step
	at, atUSD := clearing{}, 0.0 // nothing, for nothing
	for {
		best, least := -1, math.Inf(1)
		for i, c := range all {
			if c.acres <= at.acres+leastExcludedAcres {
				continue
			}
			extra := (j.asks(c.costUSD) - atUSD) / (c.acres - at.acres)
			tie := tieOf(extra)
			if extra < least-tie || extra <= least+tie && c.acres > all[best].acres+leastExcludedAcres {
				best, least = i, extra
			}
		}
		if best < 0 {
			return out
		}
		c := all[best]
		out = append(out, step{c, least})
		at, atUSD = c, j.asks(c.costUSD)
	}
}

// clearings are those of the crews that may be steps, those with fewer machines first.
// Crews are left out that are no steps whatever they do: at their best they clear no more
// than steps do at no higher a price. Within limits no more than mostSteps are worked out.
func (b *bidder) clearings() []clearing {
	var all []clearing
	var ladder []step
	tried := 0
	for _, k := range crews(b.kinds) {
		if !b.couldBeStep(k, ladder) {
			continue
		}
		if tried++; tried > mostSteps && !b.limits.none() {
			break
		}
		a := b.assign(k, b.v.truck)
		if b.busy(a) {
			all = append(all, b.clearing(a))
			ladder = b.job.steps(all)
		}
	}
	return all
}

// mostSteps is how many crews are worked out within limits: all of nine machines or fewer.
const mostSteps = 512

// above reports whether so many acres at a cost lie on or above the line of steps from
// nothing: then no fewer acres for no less can lie below it.
func (j *Job) above(ladder []step, acres, costUSD float64) bool {
	from, fromUSD := 0.0, 0.0
	for _, s := range ladder {
		usd := j.asks(s.costUSD)
		if acres <= s.acres+ofSums {
			return j.asks(costUSD) >= fromUSD+(usd-fromUSD)*(acres-from)/(s.acres-from)-ofSums*usd
		}
		from, fromUSD = s.acres, usd
	}
	return false
}

// busy reports whether each machine has the least work for which one joins a crew. One
// machine alone comes for any work.
func (b *bidder) busy(a *assignment) bool {
	if a.crew.size() < 2 {
		return true
	}
	least := b.job.LeastWorkDays * b.job.DayH
	for k, n := range a.crew {
		if n > 0 && (a.kindH[k] == 0 || isLess(a.kindH[k], float64(n)*least)) {
			return false
		}
	}
	return true
}

// atBest is what a crew could clear and spend at best: all that its machines, or hands,
// may work, and for that each lump in its cheapest way, with hours that its machines share
// evenly. Where limits may keep it from some ground, it may spend nothing on work.
func (b *bidder) atBest(k crew) (acres, usd float64) {
	usd, moveH := b.moves(k)
	if usd > b.limits.costUSD || moveH > b.limits.spanH {
		return 0, 0
	}
	work, hours := 0.0, 0.0
	for _, l := range b.lumps {
		least := l.atLeast(k)
		acres, work, hours = acres+least.acres, work+least.usd, hours+least.hours
	}
	if b.limits.none() {
		usd += work + b.v.truck*hours/float64(max(1, k.size()))
	}
	return acres, usd
}

// worth is the step to recommend to whom an acre is worth so many dollars: the last of
// which each extra acre asks no more; the first to whom does not say, with 0. Acres that
// the step below works when they are dry are no extra acres. It is -1 where there is no
// step.
func (b *bidder) worth(ladder []step, usdPerAcre float64) int {
	at := min(0, len(ladder)-1)
	for i := 1; i < len(ladder); i++ {
		usd := b.job.asks(ladder[i].costUSD) - b.job.asks(ladder[at].costUSD)
		acres := ladder[i].acres - (ladder[at].acres + b.onlyWaits(ladder[at].assignment, ladder[i].assignment))
		if acres > leastExcludedAcres && atMost(usd, usdPerAcre*acres) {
			at = i
		}
	}
	return at
}
