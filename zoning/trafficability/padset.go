package trafficability

import (
	"encoding/binary"
	"math"

	"github.com/acreband/acreband/terrain/runs"
)

// padSet is a set of a window's cells, a bit each, with a word of none before and after every row and
// two rows of none above and below, so that no move needs to look whether it leaves the window.
type padSet struct {
	stride int // words from a row to the next
	words  []uint64
}

// padWords are the words of such a set, and those from a row to the next.
func (l *lie) padWords() (n, stride int) {
	stride = (l.cols+63)/64 + 2
	return stride * (l.rows + 2*pad), stride
}

// padSetOf is the set of the cells in runs of rows; of no words for nil.
func (l *lie) padSetOf(list []runs.Run) padSet {
	if list == nil {
		return padSet{}
	}
	n, stride := l.padWords()
	s := padSet{stride, make([]uint64, n)}
	for _, run := range list {
		row := s.row(run.From / l.cols)
		for i := run.From; i < run.To; i++ {
			c := i % l.cols
			row[c/64] |= 1 << (c % 64)
		}
	}
	return s
}

// at is where a word of a row is.
func (s padSet) at(r, w int) int { return (r+pad)*s.stride + 1 + w }

func (s padSet) row(r int) []uint64 { return s.words[s.at(r, 0):][:s.stride-2] }

// beside are the cells of a word from which one of the set lies so many columns to the east; to the
// west where they are below 0.
func (s padSet) beside(at, columns int) uint64 {
	if columns < 0 {
		return s.words[at]<<-columns | s.words[at-1]>>(64+columns)
	}
	return s.words[at]>>columns | s.words[at+1]<<(64-columns)
}

// admitted are, by word of a padSet and by heading, the cells that admit it.
type admitted [][headings]uint64

// beside is that of the cells that admit a heading.
func (a admitted) beside(at, columns int, heading uint8) uint64 {
	h := heading % headings
	if columns < 0 {
		return a[at][h]<<-columns | a[at-1][h]>>(64+columns)
	}
	return a[at][h]>>columns | a[at+1][h]<<(64-columns)
}

// read takes the headings of a row, a byte of them a cell.
func (a admitted) read(heads []uint8) {
	for w := range a {
		a[w] = byHeading(heads[w*64 : min((w+1)*64, len(heads))])
	}
}

// byHeading are the cells of a word that admit each heading, of which heads are a byte a cell.
func byHeading(heads []uint8) (by [headings]uint64) {
	j := 0
	for ; j+8 <= len(heads); j += 8 {
		switch eight := binary.LittleEndian.Uint64(heads[j:]); eight {
		case 0:
		case math.MaxUint64:
			for h := range by {
				by[h] |= 0xff << j
			}
		default:
			eight = transposed(eight)
			for h := range by {
				by[h] |= eight >> (8 * h) & 0xff << j
			}
		}
	}
	for ; j < len(heads); j++ {
		for h := range by {
			by[h] |= uint64(heads[j]>>h&1) << j
		}
	}
	return by
}

// allWhereAny has cells that admit some heading admit all of them.
func (a admitted) allWhereAny() {
	for at, by := range a {
		any := by[0] | by[1] | by[2] | by[3] | by[4] | by[5] | by[6] | by[7]
		a[at] = [headings]uint64{any, any, any, any, any, any, any, any}
	}
}

// transposed makes rows columns, of 8 × 8 bits (Warren, Hacker's Delight, 2nd ed. 2013, 7-3).
func transposed(x uint64) uint64 {
	t := (x ^ x>>7) & 0x00aa00aa00aa00aa
	x ^= t ^ t<<7
	t = (x ^ x>>14) & 0x0000cccc0000cccc
	x ^= t ^ t<<14
	t = (x ^ x>>28) & 0x00000000f0f0f0f0
	return x ^ t ^ t<<28
}

// wayTo is a way seen from the cell to which it leads: by how many rows and columns from there it
// begins, and goes over cells. One that goes over none goes over its own end.
type wayTo struct {
	rows, columns [3]int
	heading       uint8
}

var waysTo = func() (all [len(ways)]wayTo) {
	for i, w := range ways {
		to := wayTo{heading: w.heading, rows: [3]int{-w.dr}, columns: [3]int{-w.dc}}
		if w.over != [2][2]int{} {
			for n, over := range w.over {
				to.columns[n+1], to.rows[n+1] = over[0]-w.dc, over[1]-w.dr
			}
		}
		all[i] = to
	}
	return all
}()
