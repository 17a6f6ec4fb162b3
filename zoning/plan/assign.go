package plan

import "math"

// assignment is who clears which lump with one crew, and what that takes.
type assignment struct {
	crew  crew
	by    []int     // of each lump the index of its way; -1 left
	share []float64 // of each lump what is cleared: 1 or 0, a part where a limit ends the work
	ended []string  // of each lump why a part is left that the crew would clear; "" where none is

	kindH   []float64 // scheduled hours, of all machines of a kind
	areaH   []float64
	workUSD float64 // of machines and hands, moves and support truck apart
	acres   float64 // cleared
	workH   float64 // from the first hour of work to the last
	spanH   float64 // with moves
	costUSD float64
}

// bidder assigns lumps to the machines of one crew after another.
type bidder struct {
	*planner
	lumps  []lump
	limits limits
	tight  []int // areas that may take longer than the machines that work in them
}

func (p *planner) bidder() *bidder {
	b := &bidder{planner: p, lumps: p.lumps(), limits: p.job.limits()}
	b.findTight()
	return b
}

// start is an assignment of nothing.
func (b *bidder) start(k crew) *assignment {
	a := &assignment{crew: k, by: make([]int, len(b.lumps)), share: make([]float64, len(b.lumps)), ended: make([]string, len(b.lumps)),
		kindH: make([]float64, len(k)), areaH: make([]float64, len(b.areas.room))}
	for i := range a.by {
		a.by[i] = -1
	}
	b.reckon(a)
	return a
}

// comes reports whether a way is open to a crew.
func (k crew) comes(w way) bool { return w.by == byHand || k[w.by] > 0 }

// give adds a share of a lump to what a way does, or takes it off.
func (a *assignment) give(l *lump, w way, share float64) {
	a.workUSD += share * w.usd
	a.acres += share * l.acres
	if w.by == byHand {
		return
	}
	a.kindH[w.by] += share * w.hours
	for _, in := range w.in {
		a.areaH[in.area] += share * in.hours
	}
}

// hours is how long the work of an assignment takes: as long as the machine, or the area,
// that takes longest.
func (b *bidder) hours(a *assignment) float64 {
	most := 0.0
	for k, h := range a.kindH {
		if n := a.crew[k]; n > 0 {
			most = max(most, h/float64(n))
		}
	}
	for _, i := range b.tight {
		most = max(most, a.areaH[i]/b.areas.room[i])
	}
	return most
}

// reckon adds up what an assignment takes.
func (b *bidder) reckon(a *assignment) {
	usd, moveH := b.moves(a.crew)
	a.workH = b.hours(a)
	a.spanH = a.workH + moveH
	a.costUSD = usd + a.workUSD + b.v.truck*a.workH
}

// again adds up an assignment from nothing: what was given and taken off leaves rounding.
func (b *bidder) again(a *assignment) {
	clear(a.kindH)
	clear(a.areaH)
	a.workUSD, a.acres = 0, 0
	for i, n := range a.by {
		if n >= 0 {
			a.give(&b.lumps[i], b.lumps[i].ways[n], a.share[i])
		}
	}
	b.reckon(a)
}

// assign gives each lump whole to who clears it at least cost, with each hour on the site
// at hourUSD; where limits are in the way, as many acres as it finds room for. The support
// truck couples the lumps: the least is sought by descent from three starts, by one lump
// at a time and by two that are exchanged.
func (b *bidder) assign(k crew, hourUSD float64) *assignment {
	if !b.mayFit(k) {
		return b.within(k, hourUSD)
	}
	var best *assignment
	n := float64(max(1, k.size()))
	for _, weight := range []float64{0, hourUSD / n, hourUSD} {
		a := b.start(k)
		for i := range b.lumps {
			b.cheapest(a, i, weight)
		}
		b.descend(a, hourUSD)
		b.again(a)
		if best == nil || a.workUSD+hourUSD*a.workH < best.workUSD+hourUSD*best.workH-ofSums {
			best = a
		}
	}
	if b.fits(best) {
		return best
	}
	return b.within(k, hourUSD)
}

// mayFit reports whether all that a crew may work could fit the limits, at best.
func (b *bidder) mayFit(k crew) bool {
	if b.limits.none() {
		return true
	}
	usd, moveH := b.moves(k)
	hours := 0.0
	for _, l := range b.lumps {
		least := l.atLeast(k)
		usd, hours = usd+least.usd, hours+least.hours
	}
	return usd <= b.limits.costUSD && moveH+hours/float64(max(1, k.size())) <= b.limits.spanH
}

func (b *bidder) fits(a *assignment) bool {
	return atMost(a.spanH-ofSums, b.limits.spanH) && atMost(a.costUSD-ofSums, b.limits.costUSD)
}

// cheapest gives a lump to who does it at least cost, with an hour of his at weight.
func (b *bidder) cheapest(a *assignment, i int, weight float64) {
	least := math.Inf(1)
	for n, w := range b.lumps[i].ways {
		if usd := w.usd + weight*w.hours; a.crew.comes(w) && usd < least {
			a.by[i], least = n, usd
		}
	}
	if a.by[i] >= 0 {
		a.share[i] = 1
		a.give(&b.lumps[i], b.lumps[i].ways[a.by[i]], 1)
	}
}

// mostExchanged is how many lumps are tried in pairs.
const mostExchanged = 64

// descend moves lumps to others as long as that costs less.
func (b *bidder) descend(a *assignment, hourUSD float64) {
	if kindsOf(a.crew) < 2 && b.job.Rest != Hand {
		return // each lump has one way
	}
	cost := func() float64 { return a.workUSD + hourUSD*b.hours(a) }
	now := cost()
	try := func(i, n int) (undo func()) {
		l, was := &b.lumps[i], a.by[i]
		a.give(l, l.ways[was], -1)
		a.give(l, l.ways[n], 1)
		a.by[i] = n
		return func() {
			a.give(l, l.ways[n], -1)
			a.give(l, l.ways[was], 1)
			a.by[i] = was
		}
	}
	better := func() bool {
		c := cost()
		if c < now-tieOf(now) {
			now = c
			return true
		}
		return false
	}
	for moved := true; moved; {
		moved = false
		b.eachOther(a, 0, func(i, n int) {
			if undo := try(i, n); better() {
				moved = true
			} else {
				undo()
			}
		})
		if moved || len(b.lumps) > mostExchanged {
			continue
		}
		b.eachOther(a, 0, func(i, n int) {
			undo := try(i, n)
			kept := false
			b.eachOther(a, i+1, func(j, m int) {
				if kept {
					return
				}
				if back := try(j, m); better() {
					kept = true
				} else {
					back()
				}
			})
			if moved = moved || kept; !kept {
				undo()
			}
		})
	}
}

// eachOther visits every other way of the lumps from one on that a crew may clear; each of
// those has one.
func (b *bidder) eachOther(a *assignment, from int, visit func(i, n int)) {
	for i := from; i < len(b.lumps); i++ {
		for n, w := range b.lumps[i].ways {
			if n != a.by[i] && a.crew.comes(w) {
				visit(i, n)
			}
		}
	}
}

func kindsOf(k crew) (n int) {
	for _, m := range k {
		if m > 0 {
			n++
		}
	}
	return n
}
