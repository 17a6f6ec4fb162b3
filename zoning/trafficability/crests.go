package trafficability

import (
	"math"
	"math/bits"
	"sync"

	"github.com/acreband/acreband/zoning"
)

// Crests remember the crests of a ground, which several machines and both states of the ground
// ask for: see [Ground.Crests]. They may be used by several goroutines.
type Crests struct {
	mu    sync.Mutex
	found map[crestsNear]*once[[]crest]
	near  map[crestsNear]*once[cellSet]
}

// crestsNear are crests of faces of a fall within a distance of the ground that machines drive
// on, or the cells so near to crests.
type crestsNear struct{ facePct, metres float64 }

// once is what is found once; what a panic ends is found anew.
type once[T any] struct {
	mu    sync.Mutex
	found bool
	is    T
}

func (o *once[T]) or(find func() T) T {
	o.mu.Lock()
	defer o.mu.Unlock()
	if !o.found {
		o.is = find()
		o.found = true
	}
	return o.is
}

// at is what a map holds at a key, made where there is none.
func at[K comparable, T any](mu *sync.Mutex, all *map[K]*once[T], key K) *once[T] {
	mu.Lock()
	defer mu.Unlock()
	if *all == nil {
		*all = map[K]*once[T]{}
	}
	if (*all)[key] == nil {
		(*all)[key] = &once[T]{}
	}
	return (*all)[key]
}

// keepFromCrests takes off the ground that is nearer than the machine's length to a crest
// beyond which the ground falls steeper than it may drive, for 10 ft or more. A boom works
// over such an edge: its middle keeps back so far, and what it reaches is found later.
//
// On ground that is not dry the crests of dry ground count too: a crest that is moved up
// the slope would else leave some cell in a corner to the machine.
func (p *mover) keepFromCrests() {
	driving := p.machine.Driving().AlongPct
	p.keepFromCrestsOf(driving)
	if p.machine.FacePct > driving {
		p.keepFromCrestsOf(p.machine.FacePct)
	}
	if along := p.alongPct(); along > driving {
		// Within a face that is worked on a tether, for the sake of that face alone: its end
		// holds the machine, but not on ground steeper than it may be on at all.
		free := riseSquared(driving)
		near := p.nearCrests(along)
		for r := range p.lie.rows {
			asSteep(p.scratch.row, p.ground.Field.Squared[r*p.lie.cols:][:p.lie.cols], free)
			for w, word := range near.row(r) {
				p.scratch.row[w] &= word
			}
			p.keepOffRow(r, p.scratch.row)
		}
	}
}

func (p *mover) keepFromCrestsOf(facePct float64) {
	if p.anchors == nil {
		near := p.nearCrests(facePct)
		for r := range p.lie.rows {
			p.keepOffRow(r, near.row(r))
		}
		return
	}
	along := riseSquared(p.alongPct())
	near, disc := p.scratch.marks, p.lie.crestDisc(p.ground.Grid, p.crestM())
	clear(near.bits)
	for _, x := range p.crests(facePct) {
		// Where it may hang on a tether, no ground is too steep.
		if down := int(x.down); p.ground.Field.Squared[down] >= along || !p.scratch.open.has(down) && !p.anchored(down) {
			disc.addTo(near, x)
			first, last := disc.rowsAround(x)
			for r := first; r <= last; r++ {
				p.keepOffRow(r, near.row(r))
			}
		}
	}
}

// keepOffRow takes off the cells of a row that are near a crest.
func (p *mover) keepOffRow(r int, near []uint64) {
	p.refuse(r, near, zoning.NearCrest)
	open, fits, first := p.scratch.open.row(r), p.scratch.fits.row(r), (r+pad)*(p.lie.cols+2*pad)+pad
	for w, word := range near {
		for off := word & open[w]; off != 0; off &= off - 1 {
			p.scratch.heads[first+w*64+bits.TrailingZeros64(off)] = 0
		}
		fits[w] &^= word
		if p.machine.ReachM == 0 {
			open[w] &^= word
		}
	}
}

// crests are those of the ground's faces of a fall, 10 ft high or higher, that may lie near
// enough to ground that is driven on.
func (p *mover) crests(facePct float64) []crest {
	near := p.crestsAround(facePct)
	c := p.ground.Crests
	return at(&c.mu, &c.found, near).or(func() []crest {
		f := faces{lie: p.lie, ground: p.ground, watch: p.watch, rise: facePct / 100, leastM: CrestFaceM, mostM: CrestFaceM}
		return f.crests(near.metres)
	})
}

// crestsAround is which crests may lie near enough.
func (p *mover) crestsAround(facePct float64) crestsNear {
	const some = 16 // metres; most machines then ask for the same
	return crestsNear{facePct, some * math.Ceil(p.crestM()/some)}
}

// nearCrests are the cells nearer to those crests than the machine's length.
func (p *mover) nearCrests(facePct float64) cellSet {
	c := p.ground.Crests
	return at(&c.mu, &c.near, crestsNear{facePct, p.crestM()}).or(func() cellSet {
		near, disc := p.lie.noCells(), p.lie.crestDisc(p.ground.Grid, p.crestM())
		for _, x := range p.crests(facePct) {
			p.watch.Did(1)
			disc.addTo(near, x)
		}
		if p.scratch.isLarge() { // memory counts for more than that another may ask for them
			c.mu.Lock()
			defer c.mu.Unlock()
			delete(c.found, p.crestsAround(facePct))
		}
		return near
	})
}
