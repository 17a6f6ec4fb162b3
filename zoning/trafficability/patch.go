package trafficability

import (
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
)

// patches takes from each machine, in fleet order, the pieces of its band that are
// smaller than what is worth moving it to. Their cells go to the next machine that
// may work them, and so join the neighbour whose machine passes all its limits on all
// of them; where there is none they are hand work. Then it takes the pieces of all that the
// machine may work, whoever comes before it: a crew may be without that one. works is what
// each machine may work.
func (w *Work) patches(works []cellSet, g *Ground, l *lie, fleet zoning.Fleet, watch *beside.Watch) {
	perCell := l.areaM2 / terrain.SquareMetresPerAcre
	lots := l.cellsOf(g.Lots)
	domain, taken, some := l.touched(lots, watch), l.noCells(), l.noCells() // taken by machines before
	inLots := func(r runs.Run) (n int) {
		for _, in := range g.Lots[r.From:r.To] {
			n += int(bit(in))
		}
		return n
	}
	for k, m := range fleet {
		takeSmall := func() {
			pieces := l.piecesOf(some, false, watch)
			for n, size := range pieces.Sizes(inLots) {
				if float64(size)*perCell < m.PatchAcres {
					w.take(works[k], k, pieces.Runs[n])
				}
			}
		}
		if m.PatchAcres > 0 {
			for i, may := range works[k].bits {
				some.bits[i] = may & domain.bits[i] &^ taken.bits[i]
			}
			takeSmall()
			for i, may := range works[k].bits {
				some.bits[i] = may & domain.bits[i]
			}
			takeSmall()
		}
		for i, may := range works[k].bits {
			taken.bits[i] |= may
		}
	}
}

// take takes the cells of a run from a machine.
func (w *Work) take(works cellSet, k int, r runs.Run) {
	for i := r.From; i < r.To; i++ {
		works.drop(i)
		if w.Why[k] != nil {
			w.Why[k][i] = zoning.TooSmallAPatch
		}
	}
}

// touched are the cells of some ground and their eight neighbours, in part of which
// it may lie.
func (l *lie) touched(ground cellSet, watch *beside.Watch) cellSet {
	out := l.noCells()
	l.grow(out, ground, disc{half: []int{1, 1}}, false, &spare{watch: watch})
	return out
}
