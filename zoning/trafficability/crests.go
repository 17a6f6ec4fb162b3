package trafficability

import (
	"math"
	"sync"

	"github.com/acreband/acreband/zoning"
)

// Crests remember the crests of a ground, which several machines and both states of the ground
// ask for: see [Ground.Crests]. They may be used by several goroutines.
type Crests struct {
	mu    sync.Mutex
	found map[crestsNear]*once[[]crest]
	near  map[crestsNear]*once[[]int32]
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
		for _, i := range p.nearCrests(along) {
			if p.ground.Field.Squared[i] >= free {
				p.keepOff(int(i))
			}
		}
	}
}

func (p *mover) keepFromCrestsOf(facePct float64) {
	if p.anchors == nil {
		for _, i := range p.nearCrests(facePct) {
			p.keepOff(int(i))
		}
		return
	}
	along := riseSquared(p.alongPct())
	for _, x := range p.crests(facePct) {
		// Where it may hang on a tether, no ground is too steep.
		if down := int(x.down); p.ground.Field.Squared[down] >= along || !p.scratch.open[down] && !p.anchored(down) {
			p.lie.eachAbove(p.ground.Grid, x, p.crestM(), p.keepOff)
		}
	}
}

// keepOff takes off a cell near a crest.
func (p *mover) keepOff(i int) {
	k := p.padded(i)
	if p.why[i] == zoning.Works {
		p.why[i] = zoning.NearCrest
	}
	p.scratch.heads[k], p.scratch.stage[k] = 0, shut
	if p.machine.ReachM == 0 {
		p.scratch.open[i] = false
	}
}

// crests are those of the ground's faces of a fall, 10 ft high or higher, that may lie near
// enough to ground that is driven on.
func (p *mover) crests(facePct float64) []crest {
	const some = 16 // metres; most machines then ask for the same
	c, farM := p.ground.Crests, some*math.Ceil(p.crestM()/some)
	return at(&c.mu, &c.found, crestsNear{facePct, farM}).or(func() []crest {
		f := faces{lie: p.lie, ground: p.ground, watch: p.watch, rise: facePct / 100, mostM: CrestFaceM}
		return f.crests(CrestFaceM, farM)
	})
}

// nearCrests are the cells nearer to those crests than the machine's length, each once.
func (p *mover) nearCrests(facePct float64) []int32 {
	c := p.ground.Crests
	return at(&c.mu, &c.near, crestsNear{facePct, p.crestM()}).or(func() (out []int32) {
		marks := p.scratch.mark
		clear(marks)
		for _, x := range p.crests(facePct) {
			p.watch.Did(1)
			p.lie.eachAbove(p.ground.Grid, x, p.crestM(), func(i int) { marks[i] = true })
		}
		for i, near := range marks {
			if near {
				out = append(out, int32(i))
			}
		}
		return out
	})
}
