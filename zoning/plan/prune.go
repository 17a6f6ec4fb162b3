package plan

import (
	"cmp"
	"slices"
)

// atLeast is what a lump asks of a crew at best.
type atLeast struct{ acres, usd, hours float64 }

// atLeast is the least dollars and the fewest hours of the ways that are open to a crew, be
// they two; nothing where none is.
func (l *lump) atLeast(k crew) (least atLeast) {
	open := false
	for _, w := range l.ways {
		switch {
		case !k.comes(w):
		case open:
			least.usd, least.hours = min(least.usd, w.usd), min(least.hours, w.hours)
		default:
			least, open = atLeast{l.acres, w.usd, w.hours}, true
		}
	}
	return least
}

// couldBeStep reports whether a crew may lie below the line of steps: by what its lumps cost
// at least, the cheapest acres first, with hours that its machines share evenly, within the
// limits. Between the lumps' corners cost is straight and the line bends up, so that corners
// are all that has to be asked.
func (b *bidder) couldBeStep(k crew, ladder []step) bool {
	usd, moveH := b.moves(k)
	n := float64(max(1, k.size()))
	var all []atLeast
	for _, l := range b.lumps {
		if one := l.atLeast(k); one.acres > 0 {
			one.usd += b.v.truck * one.hours / n
			all = append(all, one)
		}
	}
	room := fillAcres(all, n*(b.limits.spanH-moveH), func(a atLeast) float64 { return a.hours })
	room = min(room, fillAcres(all, b.limits.costUSD-usd, func(a atLeast) float64 { return a.usd }))
	acres := 0.0
	for _, a := range all { // in order of dollars an acre, from the second filling
		part := min(a.acres, room-acres)
		if part <= 0 {
			break
		}
		acres, usd = acres+part, usd+a.usd*part/a.acres
		if !b.job.above(ladder, acres, usd) {
			return true
		}
	}
	return false
}

// fillAcres sorts by what an acre takes and returns how many acres there is room for.
func fillAcres(all []atLeast, room float64, takes func(a atLeast) float64) (acres float64) {
	slices.SortStableFunc(all, func(x, y atLeast) int { return cmp.Compare(takes(x)/x.acres, takes(y)/y.acres) })
	for _, a := range all {
		t := takes(a)
		if t > room {
			return acres + a.acres*room/t
		}
		acres, room = acres+a.acres, room-t
	}
	return acres
}
