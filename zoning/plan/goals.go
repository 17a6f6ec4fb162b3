package plan

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

// soonest is the clearing of at least as many acres in the fewest half days.
func (b *bidder) soonest(than clearing) clearing {
	best := than
	days := halfDays(best.spanH, b.job.DayH)
	for _, k := range crews(b.kinds) {
		if most, _ := b.atBest(k); most < than.acres-leastExcludedAcres {
			continue
		}
		if least := halfDays(b.soonestH(k), b.job.DayH); least > days {
			continue
		}
		for _, hourUSD := range []float64{b.v.truck, hurryUSD} {
			a := b.assign(k, hourUSD)
			if a.acres < than.acres-leastExcludedAcres || !b.busy(a) {
				continue
			}
			c := b.clearing(a)
			d := halfDays(a.spanH, b.job.DayH)
			if d < days || d == days && c.priceUSD < best.priceUSD*(1-1e-9) {
				best, days = c, d
			}
		}
	}
	return best
}

// hurryUSD is what an hour counts for where time is all that does.
const hurryUSD = 1e6

// soonestH is less than a crew takes for all that it may work.
func (b *bidder) soonestH(k crew) float64 {
	_, moveH := b.moves(k)
	hours := 0.0
	if b.limits.none() {
		for _, l := range b.lumps {
			shortest := -1.0
			for _, w := range l.ways {
				if k.comes(w) && (shortest < 0 || w.hours < shortest) {
					shortest = w.hours
				}
			}
			hours += max(0, shortest)
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
		if most < than.acres-leastExcludedAcres || k.size() == best.crew.size() && b.job.Price(least) >= best.priceUSD {
			continue
		}
		a := b.assign(k, b.v.truck)
		c := b.clearing(a)
		if c.acres < than.acres-leastExcludedAcres || !b.busy(a) {
			continue
		}
		if k.size() < best.crew.size() || c.priceUSD < best.priceUSD*(1-1e-9) {
			best = c
		}
	}
	return best
}
