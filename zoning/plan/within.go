package plan

import (
	"cmp"
	"math"
	"slices"
)

// within clears as many acres as it finds room for in the days and the budget. Lumps are
// taken whole, those that take least of what is scarce for an acre first, each by the
// first way that has room for it; where none has, as much of it as there is room for. Of
// three orders of ways the one that clears most counts.
func (b *bidder) within(k crew, hourUSD float64) *assignment {
	if usd, moveH := b.moves(k); moveH > b.limits.spanH || usd > b.limits.costUSD {
		return b.start(k)
	}
	var best *assignment
	for _, order := range []func(w way) float64{
		func(w way) float64 { return w.usd },
		func(w way) float64 { return w.usd + hourUSD*w.hours },
		func(w way) float64 { return b.scarce(k, w) },
	} {
		for _, fewFirst := range []bool{false, true} {
			a := b.inOrder(k, order, fewFirst)
			if best == nil || a.acres > best.acres+ofSums || a.acres > best.acres-ofSums && a.costUSD < best.costUSD {
				best = a
			}
		}
	}
	return best
}

// scarce is how much of the scarcer of hours and dollars a way takes, as a part of all.
func (b *bidder) scarce(k crew, w way) float64 {
	part := w.usd / b.limits.costUSD
	if w.by >= 0 {
		part = max(part, w.hours/(float64(k[w.by])*b.limits.spanH))
	}
	return part
}

func (b *bidder) inOrder(k crew, order func(w way) float64, fewFirst bool) *assignment {
	type turn struct {
		lump  int
		ways  []int
		asked float64
	}
	var turns []turn
	for i, l := range b.lumps {
		t := turn{lump: i, asked: math.Inf(1)}
		for n, w := range l.ways {
			if k.comes(w) {
				t.ways = append(t.ways, n)
				t.asked = min(t.asked, b.scarce(k, w)/l.acres)
			}
		}
		if len(t.ways) == 0 {
			continue
		}
		slices.SortStableFunc(t.ways, func(x, y int) int { return cmp.Compare(order(l.ways[x]), order(l.ways[y])) })
		turns = append(turns, t)
	}
	slices.SortStableFunc(turns, func(x, y turn) int {
		if fewFirst {
			return cmp.Or(cmp.Compare(len(x.ways), len(y.ways)), cmp.Compare(x.asked, y.asked))
		}
		return cmp.Compare(x.asked, y.asked)
	})
	a := b.start(k)
	for _, t := range turns {
		b.squeeze(a, t.lump, t.ways)
	}
	b.again(a)
	return a
}

// squeeze gives a lump to the first way that has room for it, or as much of it as one has
// room for.
func (b *bidder) squeeze(a *assignment, i int, ways []int) {
	l := &b.lumps[i]
	most, at, why := 0.0, ways[0], ""
	for _, n := range ways {
		room, ends := b.room(a, l, l.ways[n])
		if room > most || why == "" {
			most, at, why = room, n, ends
		}
		if room == 1 {
			break
		}
	}
	a.ended[i] = why
	if most*l.acres < LeastWorkAcres {
		return
	}
	a.by[i], a.share[i] = at, most
	w := l.ways[at]
	a.give(l, w, most)
	if w.by == byHand {
		return
	}
	a.workH = max(a.workH, a.kindH[w.by]/float64(a.crew[w.by]))
	for _, in := range w.in {
		a.workH = max(a.workH, a.areaH[in.area]/b.areas.room[in.area])
	}
}

// room is the share of a lump that a way can clear beside what is given already, and which
// limit ends it. Hours only grow here: what the work takes is known without going through
// all machines and areas again.
func (b *bidder) room(a *assignment, l *lump, w way) (share float64, ends string) {
	movesUSD, moveH := b.moves(a.crew)
	hours := func(share float64) float64 {
		if w.by == byHand {
			return a.workH
		}
		most := max(a.workH, (a.kindH[w.by]+share*w.hours)/float64(a.crew[w.by]))
		for _, in := range w.in {
			most = max(most, (a.areaH[in.area]+share*in.hours)/b.areas.room[in.area])
		}
		return most
	}
	try := func(share float64) (ok bool, ends string) {
		h := hours(share)
		switch {
		case !atMost(h+moveH, b.limits.spanH):
			return false, LeftByDays
		case !atMost(movesUSD+a.workUSD+share*w.usd+b.v.truck*h, b.limits.costUSD):
			return false, LeftByBudget
		}
		return true, ""
	}
	ok, ends := try(1)
	if ok {
		return 1, ""
	}
	low, high := LeastWorkAcres/l.acres, 1.0
	if ok, why := try(low); !ok {
		return 0, why
	}
	for range 50 {
		mid := (low + high) / 2
		if ok, why := try(mid); ok {
			low = mid
		} else {
			high, ends = mid, why
		}
	}
	return low, ends
}
