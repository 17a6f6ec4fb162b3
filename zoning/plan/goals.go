package plan

import (
	"cmp"
	"slices"
)

// Goal is what a crew is chosen for. Every choice stays within the job's days and budget.
type Goal string

// Goals. The others than Brought clear at least as many acres as the recommended rung:
// at the least price, which that rung itself does, in the fewest half days, or with the
// fewest machines; among those, at the least price.
const (
	Cheapest Goal = "cheapest"
	Soonest  Goal = "soonest"
	Fewest   Goal = "fewest machines"
	AsAsked  Goal = "as asked" // the crew that the owner brings
)

// goals finds the crews that serve one goal each, the one to recommend first.
func (b *bidder) goals(best clearing) []goalCrew {
	return []goalCrew{{Cheapest, best}, {Soonest, b.soonest(best)}, {Fewest, b.fewest(best)}}
}

type goalCrew struct {
	goal Goal
	clearing
}

// soonest is the clearing of at least as many acres in the fewest half days. Crews are tried
// in the order of what they take at best, and no more of them than mostTried.
func (b *bidder) soonest(than clearing) clearing {
	best, days := than, halfDays(than.spanH, b.job.DayH)
	type candidate struct {
		crew
		days, usd float64 // at best
	}
	var all []candidate
	for _, k := range crews(b.kinds) {
		most, usd := b.atBest(k)
		c := candidate{k, halfDays(b.soonestH(k), b.job.DayH), b.job.Price(usd)}
		if asMuch(most, than) && c.days <= days {
			all = append(all, c)
		}
	}
	slices.SortStableFunc(all, func(x, y candidate) int { return cmp.Or(cmp.Compare(x.days, y.days), cmp.Compare(x.usd, y.usd)) })
	tried := 0
	for _, at := range all {
		if at.days > days || at.days == days && at.usd >= best.priceUSD {
			continue
		}
		if tried++; tried > mostTried {
			break
		}
		for _, hourUSD := range []float64{b.v.truck, hurryUSD} {
			a := b.assign(at.crew, hourUSD)
			if !b.serves(a, than) {
				continue
			}
			c, d := b.clearing(a), halfDays(a.spanH, b.job.DayH)
			if d < days || d == days && isLess(c.priceUSD, best.priceUSD) {
				best, days = c, d
			}
		}
	}
	return best
}

// serves reports whether an assignment clears as much as a clearing, with work for each
// machine.
func (b *bidder) serves(a *assignment, as clearing) bool { return asMuch(a.acres, as) && b.busy(a) }

// asMuch reports whether acres are no fewer than those of a clearing.
func asMuch(acres float64, as clearing) bool { return acres >= as.acres-leastExcludedAcres }

// mostTried is how many crews are worked out for the soonest: all of five machines or
// fewer, and the most promising of more.
const mostTried = 64

// hurryUSD is what an hour counts for where time is all that does.
const hurryUSD = 1e6

// soonestH is less than a crew takes for all that it may work.
func (b *bidder) soonestH(k crew) float64 {
	_, moveH := b.moves(k)
	hours := 0.0
	if b.limits.none() {
		for _, l := range b.lumps {
			hours += l.atLeast(k).hours
		}
	}
	return moveH + hours/float64(max(1, k.size()))
}

// fewest is the clearing of at least as many acres with the fewest machines.
func (b *bidder) fewest(than clearing) clearing {
	best := than
	for _, k := range crews(b.kinds) {
		if k.size() > best.crew.size() {
			break
		}
		most, least := b.atBest(k)
		if !asMuch(most, than) || k.size() == best.crew.size() && b.job.Price(least) >= best.priceUSD {
			continue
		}
		a := b.assign(k, b.v.truck)
		if !b.serves(a, than) {
			continue
		}
		c := b.clearing(a)
		if k.size() < best.crew.size() || isLess(c.priceUSD, best.priceUSD) {
			best = c
		}
	}
	return best
}
