package trafficability

import (
	"math/bits"

	"github.com/acreband/acreband/zoning"
)

// gather says of every cell how far the machine got that comes nearest to it.
func (p *mover) gather() {
	d := p.lie.disc(p.clearM(), atMost)
	if p.ground.AcresOnly { // whatever the reason
		p.cover(reached, d, zoning.OnlyAcross)
	} else {
		p.coverByStage(d)
	}
	p.staged(p.stands, reached)
}

// staged finds the cells that get as far as a stage, or farther.
func (p *mover) staged(cells cellSet, stage uint8) {
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		atLeastStage(cells.row(r), p.scratch.stage[(r+pad)*(p.lie.cols+2*pad)+pad:][:p.lie.cols], stage)
	}
}

// coverByStage refuses cells by the first stage at which nothing near gets on.
func (p *mover) coverByStage(d disc) {
	var most [reached + 1]int // cells that got at least so far
	for _, s := range p.scratch.stage {
		most[s]++
	}
	for s := reached; s > shut; s-- {
		most[s-1] += most[s]
	}
	for s, why := range [reached + 1]zoning.Why{fits: zoning.TooNarrow, turns: zoning.NoTurn, across: zoning.NoWayIn, reached: zoning.OnlyAcross} {
		if stage := uint8(s); stage == fits || stage > fits && most[stage] < most[stage-1] {
			p.cover(stage, d, why)
		}
	}
}

// cover refuses the cells that the machine does not cover from the middles that got
// as far as a stage. A cell beside the ground it may drive on is covered from there.
func (p *mover) cover(from uint8, d disc, otherwise zoning.Why) {
	p.staged(p.scratch.marks, from)
	covered := p.scratch.grown
	p.lie.grow(covered, p.scratch.marks, d, false, &p.scratch.spare)
	for i, drive := range p.drive.bits {
		covered.bits[i] &= drive
	}
	for r := range p.lie.rows {
		off := without(p.scratch.row, p.works.row(r), covered.row(r))
		for w, fringe := range p.fringe.row(r) {
			for word := off[w] & fringe; word != 0; word &= word - 1 {
				if p.lie.touches(covered, w*64+bits.TrailingZeros64(word), r) {
					off[w] &^= word & -word
				}
			}
		}
		p.refuse(r, off, otherwise)
	}
}

// touches reports whether a cell or one of its eight neighbours is of a set.
func (l *lie) touches(s cellSet, c, r int) bool {
	for y := max(r-1, 0); y <= min(r+1, l.rows-1); y++ {
		row := s.row(y)
		for x := max(c-1, 0); x <= min(c+1, l.cols-1); x++ {
			if row[x/64]>>(x%64)&1 != 0 {
				return true
			}
		}
	}
	return false
}
