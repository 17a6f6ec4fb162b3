package trafficability

import (
	"math"
	"math/bits"
)

// flood gets from cells to all that a machine's moves lead to, 64 cells at once: a word gets the
// cells to which some move leads from those that were got to before, and a row goes on along itself
// as far as it may. Words around what is new are asked again, down the window and up, until nothing is.
type flood struct {
	*mover
	admits admitted
	left   padSet // cells to get to
	got    padSet // cells that were got to
	water  padSet // cells of water lines, which moves do not enter for now; no words for none
	waded  padSet // cells to which only moves into water lead
	news   []news
	asked  []span // by padded row, words to ask
	rows   int    // with any
	top    int    // the first of them, since all were asked,
	bottom int    // and the last
}

// news are cells of a word that were got to at once.
type news struct {
	at    int
	cells uint64
}

// span is words of a row, from one to another, none where from is greater.
type span struct{ from, to int }

var noWords = span{math.MaxInt, 0}

// floodMemory is what floods use, one after the other.
type floodMemory struct {
	words  []uint64
	admits admitted
	asked  []span
}

// newFlood is a flood of the cells that may be got to, before any is.
func (p *mover) newFlood() *flood {
	n, stride := p.lie.padWords()
	m := &p.scratch.flood
	if len(m.admits) != n {
		*m = floodMemory{words: make([]uint64, 3*n), admits: make(admitted, n), asked: make([]span, p.lie.rows+2*pad)}
	}
	clear(m.words)
	f := &flood{
		mover: p, admits: m.admits, asked: m.asked, top: len(m.asked),
		left: padSet{stride, m.words[:n]}, got: padSet{stride, m.words[n : 2*n]}, waded: padSet{stride, m.words[2*n:]},
	}
	for r := range f.asked {
		f.asked[r] = noWords
	}
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		left := f.left.row(r)
		atLeastStage(left, p.stages(r), turns)
		f.admits[f.left.at(r, 0):][:len(left)].read(p.scratch.heads[(r+pad)*(p.lie.cols+2*pad)+pad:][:p.lie.cols])
	}
	return f
}

// firstCell is the first cell of a word.
func (f *flood) firstCell(at int) int {
	return (at/f.got.stride-pad)*f.lie.cols + (at%f.got.stride-1)*64
}

// eachNew visits the new cells.
func (f *flood) eachNew(visit func(i int)) {
	for _, n := range f.news {
		each([]uint64{n.cells}, f.firstCell(n.at), visit)
	}
}

// arrive gets to a cell, if it was left.
func (f *flood) arrive(i int) {
	c, r := i%f.lie.cols, i/f.lie.cols
	if at := f.left.at(r, c/64); f.left.words[at]>>(c%64)&1 != 0 {
		f.get(at, 1<<(c%64), true)
	}
}

// get gets to cells of a word, and has the words asked to which they may lead: those of its own row,
// too, unless that goes on from them anyway.
func (f *flood) get(at int, cells uint64, own bool) {
	f.left.words[at] &^= cells
	f.got.words[at] |= cells
	f.news = append(f.news, news{at, cells})
	r, w := at/f.left.stride, at%f.left.stride
	for _, dr := range [5]int{-2, -1, 1, 2, 0} {
		if dr != 0 || own {
			f.ask(r+dr, w-1, w+1)
		}
	}
}

// ask has words of a padded row asked.
func (f *flood) ask(r, from, to int) {
	s := &f.asked[r]
	if s.from > s.to {
		f.rows++
	}
	s.from, s.to = min(s.from, max(from, 1)), max(s.to, min(to, f.got.stride-2))
	f.top, f.bottom = min(f.top, r), max(f.bottom, r)
}

// spread goes on until nothing is new.
func (f *flood) spread() {
	for f.rows > 0 {
		for r := f.top; r <= f.bottom; r++ {
			f.askRow(r)
		}
		for r := f.bottom; r >= f.top; r-- {
			f.askRow(r)
		}
	}
	f.top, f.bottom = len(f.asked), 0
}

// askRow asks the words of a padded row.
func (f *flood) askRow(r int) {
	s := f.asked[r]
	if s.from > s.to {
		return
	}
	f.asked[r] = noWords
	f.rows--
	f.watch.Did(64 * (s.to - s.from + 1))
	first, last := r*f.left.stride+s.from, r*f.left.stride+s.to
	for at := first; at <= last; at++ {
		if left := f.left.words[at]; left != 0 {
			if cells := f.ledTo(at, left); cells != 0 {
				f.get(at, cells, !f.dry())
			}
		}
	}
	f.goEast(first, last)
	f.goWest(first, last)
}

// dry reports whether no water lines count.
func (f *flood) dry() bool { return len(f.water.words) == 0 }

// ledTo are the cells of a word, of those left, to which moves lead from cells that were got to.
func (f *flood) ledTo(at int, left uint64) (cells uint64) {
	for k := range waysTo {
		w := &waysTo[k]
		own := left & f.admits[at][w.heading%headings]
		if own == 0 {
			continue
		}
		from := at + w.rows[0]*f.left.stride
		if own &= f.got.beside(from, w.columns[0]); own == 0 {
			continue
		}
		over0, over1 := at+w.rows[1]*f.left.stride, at+w.rows[2]*f.left.stride
		own &= f.admits.beside(from, w.columns[0], w.heading) & f.admits.beside(over0, w.columns[1], w.heading) & f.admits.beside(over1, w.columns[2], w.heading)
		if !f.dry() {
			into := f.water.words[at] | f.water.beside(over0, w.columns[1]) | f.water.beside(over1, w.columns[2])
			wading := own & into &^ f.water.beside(from, w.columns[0])
			f.waded.words[at] |= wading
			own &^= wading
		}
		cells |= own
		left &^= own
	}
	return cells
}

// goEast goes on along a row from what was got to in some words, as far as it may.
func (f *flood) goEast(first, last int) {
	before := uint64(0) // whether the cell before the word was got to, and admits going on
	for at := first; at <= last || before != 0; at++ {
		got, may := f.got.words[at]&f.admits[at][0], f.left.words[at]&f.admits[at][0]
		if !f.dry() {
			may &^= f.water.words[at] &^ f.water.beside(at, -1)
		}
		if cells := onward(may, got<<1|before); cells != 0 {
			f.get(at, cells, !f.dry())
			got |= cells
		} else if at > last {
			return
		}
		before = got >> 63
	}
}

// goWest is the same the other way.
func (f *flood) goWest(first, last int) {
	before := uint64(0)
	for at := last; at >= first || before != 0; at-- {
		got, may := f.got.words[at]&f.admits[at][0], f.left.words[at]&f.admits[at][0]
		if !f.dry() {
			may &^= f.water.words[at] &^ f.water.beside(at, 1)
		}
		if from := got>>1 | before<<63; from&may != 0 {
			cells := bits.Reverse64(onward(bits.Reverse64(may), bits.Reverse64(from)))
			f.get(at, cells, !f.dry())
			got |= cells
		} else if at < first {
			return
		}
		before = got & 1
	}
}

// onward are the cells, of those that may be gone to, from some on to the end of their runs: what
// is added there carries through the run, and leaves 0.
func onward(may, from uint64) uint64 {
	from &= may
	return may&^(may+from) | from
}
