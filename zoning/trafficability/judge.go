package trafficability

import (
	"math"
	"math/bits"

	"github.com/acreband/acreband/zoning"
)

// judge asks what each cell says by itself.
func (p *mover) judge() {
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		p.askRules(r)
		p.openRow(r)
	}
}

// askRules asks the rules of every cell of a row that is asked about. Of others nobody asks,
// but a boom may reach them.
func (p *mover) askRules(r int) {
	from, works, asked, off := r*p.lie.cols, p.works.row(r), p.asked.row(r), p.scratch.row
	for w := range works {
		works[w] = p.works.inRow(w)
	}
	if p.machine.ReachM == 0 {
		p.refuse(r, without(off, works, asked), zoning.NoWayIn)
	}
	if p.why != nil {
		each(without(off, works, p.free.row(r)), from, func(i int) { p.why[i] = p.closed[i] })
	}
	for w, free := range p.free.row(r) {
		works[w] &= free
	}
	for n := range p.rules {
		rule := &p.rules[n]
		rule.ofRow(off, works, from)
		if p.machine.ReachM > 0 {
			for w, a := range asked {
				if beside := off[w] &^ a; beside != 0 {
					p.refuseWord(r, w, beside, zoning.NoWayIn)
				}
			}
		}
		p.refuse(r, off, rule.why)
	}
}

// openRow opens the cells of a row that no rule keeps the machine off, in the headings that
// their slope admits.
func (p *mover) openRow(r int) {
	limits := p.machine.Driving()
	cross, free := riseSquared(limits.CrossPct), riseSquared(limits.AlongPct) // off a tether
	squared, aspect := p.ground.Field.Squared[r*p.lie.cols:][:p.lie.cols], p.ground.Field.Aspect
	works, open, gentle, hangs := p.works.row(r), p.scratch.open.row(r), p.scratch.gentle.row(r), p.scratch.row
	below(gentle, squared, cross)
	clear(hangs)
	if p.anchors != nil {
		below(hangs, squared, free)
	}
	k := (r+pad)*(p.lie.cols+2*pad) + pad
	heads := p.scratch.heads[k:][:p.lie.cols]
	for w, asked := range p.asked.row(r) {
		open[w] = works[w] & asked
		if p.anchors == nil {
			continue
		}
		hangs[w] = open[w] &^ hangs[w]
		for word := hangs[w]; word != 0; word &= word - 1 {
			if c := w*64 + bits.TrailingZeros64(word); !p.anchored(r*p.lie.cols + c) {
				p.refuseWord(r, w, word&-word, zoning.TooSteep)
				open[w] &^= word & -word
				hangs[w] &^= word & -word
			}
		}
	}
	writeBytes(heads, open, math.MaxUint8)
	for w := range open {
		for word := open[w]&^gentle[w] | hangs[w]; word != 0; word &= word - 1 {
			c := w*64 + bits.TrailingZeros64(word)
			h := p.headingsAt(r*p.lie.cols+c, cross)
			if hangs[w]&word&-word != 0 && aspect != nil { // on a tether it hangs straight down
				h &= p.lie.straight[aspect[r*p.lie.cols+c]]
			}
			if heads[c] = h; h == 0 && !p.ground.NoWays {
				p.refuseWord(r, w, word&-word, zoning.OnlyAcross)
				open[w] &^= word & -word
			}
		}
	}
}

// refuse keeps the machine off cells of a row for a reason, where nothing has before.
func (p *mover) refuse(r int, off []uint64, why zoning.Why) {
	works := p.works.row(r)
	for w, word := range off {
		if word &= works[w]; word != 0 {
			p.refuseWord(r, w, word, why)
		}
	}
}

// refuseWord keeps the machine off cells of a word of a row, none of which anything has before.
func (p *mover) refuseWord(r, w int, off uint64, why zoning.Why) {
	p.works.row(r)[w] &^= off
	if p.why == nil {
		return
	}
	for row := p.why[r*p.lie.cols+w*64:]; off != 0; off &= off - 1 {
		row[bits.TrailingZeros64(off)] = why
	}
}

// refuseCell keeps the machine off a cell for a reason, where nothing has before.
func (p *mover) refuseCell(i int, why zoning.Why) {
	if p.works.has(i) {
		r, c := i/p.lie.cols, i%p.lie.cols
		p.refuseWord(r, c/64, 1<<(c%64), why)
	}
}

// without are the cells of a row of one set that are not of another's, in out.
func without(out, of, not []uint64) []uint64 {
	for w, word := range of {
		out[w] = word &^ not[w]
	}
	return out
}

// headingsAt are the headings of a cell: where nobody knows which way it falls, its whole
// slope may lie across.
func (p *mover) headingsAt(i int, cross float32) uint8 {
	if p.ground.Field.Aspect == nil {
		if p.ground.Field.Squared[i] < cross {
			return math.MaxUint8
		}
		return 0
	}
	return p.lie.headings(p.ground.Field.Squared[i], p.ground.Field.Aspect[i], cross)
}

// headings are those along which a slope falls across the machine by less than its
// limit.
func (l *lie) headings(squared float32, aspect uint8, cross float32) uint8 {
	if squared < cross {
		return math.MaxUint8
	}
	sins := &l.crossSquared[aspect]
	return bit(squared*sins[0] < cross) | bit(squared*sins[1] < cross)<<1 |
		bit(squared*sins[2] < cross)<<2 | bit(squared*sins[3] < cross)<<3 |
		bit(squared*sins[4] < cross)<<4 | bit(squared*sins[5] < cross)<<5 |
		bit(squared*sins[6] < cross)<<6 | bit(squared*sins[7] < cross)<<7
}

// bit is 1 for true, without a branch.
func bit(is bool) uint8 {
	if is {
		return 1
	}
	return 0
}
