package trafficability

import (
	"cmp"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
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
	now = p.throughWide(now, kinds)

	// From there through the narrow ground to the rest: by the shortest way, whose
	// tightest spot is the pinch.
	from := make([]uint8, len(p.scratch.stage))
	p.throughNarrow(now, kinds, from)
	p.tightest(kinds, from)
}

// inPieces reports whether the wide ground is more than one piece worth listing, headings
// not counted: if not there is no pinch, and most ways in have none.
func (p *mover) inPieces(roomy cellSet) bool {
	pieces := p.lie.piecesOf(roomy, true, p.watch)
	least := leastPocketAcres * terrain.SquareMetresPerAcre / p.lie.areaM2
	large := 0
	for n, size := range pieces.Sizes(func(r runs.Run) int { return r.To - r.From }) {
		if pieces.First(n) == n && float64(size) >= least {
			large++
		}
	}
	return large > 1
}

// wideM is clearM of a machine that must keep half again as far.
func (p *mover) wideM() float64 { return spareTimes*(p.clearM()-p.lie.shortM/2) + p.lie.shortM/2 }

// throughWide makes wide ground near that leads on from near cells, and returns those of it that
// lead to narrow ground, the nearest first.
func (p *mover) throughWide(now []int32, kinds []uint8) (rim []int32) {
	moves := p.moves()
	for n := 0; n < len(now); n++ {
		if n > 1<<16 && n > len(now)/2 { // what lies behind is done with
			now, n = append(now[:0], now[n:]...), 0
		}
		p.watch.Did(len(moves))
		k, leads := int(now[n]), false
		for w := range moves {
			j := k + moves[w].to
			switch {
			case kinds[j] == wide && p.may(k, &moves[w]):
				kinds[j] = near
				now = append(now, int32(j))
			case kinds[j] == narrow && !leads:
				leads = p.scratch.stage[j] == reached && p.may(k, &moves[w])
			}
		}
		if leads {
			rim = append(rim, int32(k))
		}
	}
	return rim
}

// throughNarrow spreads over narrow ground, and notes for each cell by which way it was come to,
// from 1. It goes no farther than the first wide cells.
func (p *mover) throughNarrow(now []int32, kinds, from []uint8) {
	moves := p.moves()
	for n := 0; n < len(now); n++ {
		p.watch.Did(len(moves))
		k := int(now[n])
		for w := range moves {
			j := k + moves[w].to
			beyond := kinds[j] == wide && from[j] == 0
			if !beyond && kinds[j] != narrow || p.scratch.stage[j] != reached || !p.may(k, &moves[w]) {
				continue
			}
			from[j] = uint8(w + 1)
			if !beyond {
				kinds[j] = passed
				now = append(now, int32(j))
			}
		}
	}
}

// wholePiece is the wide ground that leads on from a cell, which it makes beyond.
func (p *mover) wholePiece(k int, kinds []uint8) []int32 {
	moves := p.moves()
	kinds[k] = beyond
	piece := []int32{int32(k)}
	for n := 0; n < len(piece); n++ {
		p.watch.Did(len(moves))
		for w := range moves {
			if j := int(piece[n]) + moves[w].to; kinds[j] == wide && p.may(int(piece[n]), &moves[w]) {
				kinds[j] = beyond
				piece = append(piece, int32(j))
			}
		}
	}
	return piece
}

// tightest finds, for each piece of wide ground that only narrow ground leads to, the
// tightest spot on the way to it.
func (p *mover) tightest(kinds, from []uint8) {
	moves := p.moves()
	perCell := p.lie.areaM2 / terrain.SquareMetresPerAcre
	for k, kind := range kinds {
		if kind != wide || from[k] == 0 {
			continue
		}
		pinch := Pinch{Cell: -1}
		for j := k; from[j] != 0; {
			j -= moves[from[j]-1].to
			i := p.cell(j)
			if clear := p.freeM(i); pinch.Cell < 0 || clear < pinch.ClearM {
				pinch.Cell, pinch.ClearM = i, clear
			}
		}
		for _, k := range p.wholePiece(k, kinds) {
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
