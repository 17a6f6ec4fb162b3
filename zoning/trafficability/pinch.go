package trafficability

import (
	"cmp"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// Pinch is a spot on the way in that a machine fits through with little to spare, and
// the ground that lies beyond.
type Pinch struct {
	Cell   int
	ClearM float64 // what is free on either side of the middle of the machine, at most
	Acres  float64 // ground that is reached through it only
}

// spareTimes is how much wider than it has to be a way must be to be no pinch: half
// again (planning value, no source).
const spareTimes = 1.5

// Kinds of reached cells.
const (
	narrow uint8 = iota // the wider machine does not fit
	wide                // it does
	near                // and gets there
	passed              // narrow ground that ground it gets to leads to
	beyond              // wide ground beyond that
)

// findPinches looks for ground that would not be reached if the machine had to keep half
// again as far from what stops it. It asks after access, whose stages it leaves as
// they were.
func (p *mover) findPinches() {
	if p.ground.Staging == nil || p.machine.WidthM == 0 || p.ground.AcresOnly {
		return
	}
	// What the wider machine would get to, and where it would fit.
	p.notOpen(p.scratch.marks)
	roomy := p.scratch.grown
	p.lie.grow(roomy, p.scratch.marks, p.lie.disc(p.wideM(), atLeast), true, &p.scratch.spare)
	p.staged(p.scratch.marks, reached)
	for i, got := range p.scratch.marks.bits {
		roomy.bits[i] = got &^ roomy.bits[i]
	}
	if !p.inPieces(roomy) {
		return
	}
	kinds := make([]uint8, len(p.scratch.stage))
	for r := range p.lie.rows {
		writeBytes(kinds[(r+pad)*(p.lie.cols+2*pad)+pad:][:p.lie.cols], roomy.row(r), wide)
	}
	var now []int32
	for n, place := range p.ground.Staging {
		if !p.usesPlace(n) {
			continue
		}
		for _, i := range place {
			if k := p.padded(i); p.scratch.stage[k] == reached && kinds[k] != near {
				kinds[k] = near
				now = append(now, int32(k))
			}
		}
	}
	now = p.through(now, kinds, wide, near, nil)

	// From there through the narrow ground to the rest: by the shortest way, whose
	// tightest spot is the pinch.
	from := make([]int32, len(p.scratch.stage))
	for i := range from {
		from[i] = -1
	}
	p.through(now, kinds, narrow, passed, from)
	p.tightest(kinds, from)
}

// inPieces reports whether the wide ground is more than one piece worth listing, headings
// not counted: if not there is no pinch, and most ways in have none.
func (p *mover) inPieces(roomy cellSet) bool {
	pieces := p.lie.piecesOf(roomy, true, func(from, to int) int { return to - from }, p.watch)
	least := leastPocketAcres * terrain.SquareMetresPerAcre / p.lie.areaM2
	large := 0
	for n, r := range pieces {
		if r.root == n && float64(r.size) >= least {
			large++
		}
	}
	return large > 1
}

// wideM is clearM of a machine that must keep half again as far.
func (p *mover) wideM() float64 { return spareTimes*(p.clearM()-p.lie.shortM/2) + p.lie.shortM/2 }

// through spreads over reached cells of a kind and makes them another. With from, it
// notes for each cell where it was come from, and goes no farther than the first
// wide cells.
func (p *mover) through(now []int32, kinds []uint8, over, to uint8, from []int32) []int32 {
	moves := p.moves()
	for n := 0; n < len(now); n++ {
		p.watch.Did(len(moves))
		k := int(now[n])
		for w := range moves {
			j := k + moves[w].to
			if p.scratch.stage[j] != reached || !p.may(k, &moves[w]) {
				continue
			}
			if from != nil && from[j] < 0 && kinds[j] == wide {
				from[j] = int32(k) // the first cell of wide ground beyond
			}
			if kinds[j] == over {
				kinds[j] = to
				if from != nil {
					from[j] = int32(k)
				}
				now = append(now, int32(j))
			}
		}
	}
	return now
}

// tightest finds, for each piece of wide ground that only narrow ground leads to, the
// tightest spot on the way to it.
func (p *mover) tightest(kinds []uint8, from []int32) {
	perCell := p.lie.areaM2 / terrain.SquareMetresPerAcre
	for k, kind := range kinds {
		if kind != wide || from[k] < 0 {
			continue
		}
		pinch := Pinch{Cell: -1}
		for j := from[k]; j >= 0; j = from[j] {
			i := p.cell(int(j))
			if clear := p.freeM(i); pinch.Cell < 0 || clear < pinch.ClearM {
				pinch.Cell, pinch.ClearM = i, clear
			}
		}
		kinds[k] = beyond
		piece := p.through([]int32{int32(k)}, kinds, wide, beyond, nil)
		for _, k := range piece {
			if p.ground.Lots[p.cell(int(k))] {
				pinch.Acres += perCell
			}
		}
		if pinch.Acres >= leastPocketAcres {
			p.pinches = append(p.pinches, pinch)
		}
	}
	slices.SortStableFunc(p.pinches, func(a, b Pinch) int { return cmp.Compare(b.Acres, a.Acres) })
}

// freeM is how far it is from the middle of a cell to the side of the nearest that the
// machine may not be on, at most wideM.
func (p *mover) freeM(i int) float64 {
	free := p.wideM() - p.lie.shortM/2
	c, r := i%p.lie.cols, i/p.lie.cols
	p.lie.eachNear(i, p.lie.disc(p.wideM(), atLeast), func(from, to int) {
		p.watch.Did(to - from)
		for j := from; j < to; j++ {
			if !(p.scratch.open.has(j) && p.ground.Drive[j]) {
				free = min(free, p.lie.distM(j%p.lie.cols-c, j/p.lie.cols-r)-p.lie.shortM/2)
			}
		}
	})
	return free
}
