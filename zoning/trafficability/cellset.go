package trafficability

import (
	"encoding/binary"
	"math"
	"math/bits"
)

// cellSet is a set of a window's cells, a bit each, 64 to a word. Every row begins a word of its
// own, whose bits beyond the last column are 0.
type cellSet struct {
	cols, words int // of a row
	bits        []uint64
}

// noCells is the empty set.
func (l *lie) noCells() cellSet {
	words := (l.cols + 63) / 64
	return cellSet{l.cols, words, make([]uint64, words*l.rows)}
}

// cellsOf is the set of the cells that are marked.
func (l *lie) cellsOf(marked []bool) cellSet {
	s := l.noCells()
	for r := range l.rows {
		pack(s.row(r), marked[r*l.cols:][:l.cols])
	}
	return s
}

// marked marks the cells of a set.
func (l *lie) marked(s cellSet) []bool {
	out := make([]bool, l.cols*l.rows)
	for r := range l.rows {
		unpack(out[r*l.cols:][:l.cols], s.row(r))
	}
	return out
}

func (s cellSet) row(r int) []uint64 { return s.bits[r*s.words:][:s.words] }

// inRow is the bits of a word of a row that are cells.
func (s cellSet) inRow(w int) uint64 { return math.MaxUint64 >> max(0, (w+1)*64-s.cols) }

func (s cellSet) has(i int) bool {
	c := i % s.cols
	return s.bits[i/s.cols*s.words+c/64]>>(c%64)&1 != 0
}

func (s cellSet) add(i int) {
	c := i % s.cols
	s.bits[i/s.cols*s.words+c/64] |= 1 << (c % 64)
}

func (s cellSet) drop(i int) {
	c := i % s.cols
	s.bits[i/s.cols*s.words+c/64] &^= 1 << (c % 64)
}

// each visits the cells of a set in a row that begins with a cell.
func each(row []uint64, first int, visit func(i int)) {
	for w, word := range row {
		for ; word != 0; word &= word - 1 {
			visit(first + w*64 + bits.TrailingZeros64(word))
		}
	}
}

// below finds which of a row's values are less than a limit; no number is not. Values are 0
// or more.
func below(row []uint64, values []float32, limit float32) {
	for w := range row {
		part := values[w*64 : min((w+1)*64, len(values))]
		var word uint64
		for j, v := range part {
			word |= uint64(bit(v < limit)) << j
		}
		row[w] = word
	}
}

// asSteep finds which of a row's values are a limit or more; no number is not.
func asSteep(row []uint64, values []float32, limit float32) {
	for w := range row {
		part := values[w*64 : min((w+1)*64, len(values))]
		var word uint64
		for j, v := range part {
			word |= uint64(bit(v >= limit)) << j
		}
		row[w] = word
	}
}

// atLeastStage finds which bytes of a row, all below 128, are of a stage or a later one.
func atLeastStage(row []uint64, stages []uint8, stage uint8) {
	const ones, tops = 0x0101010101010101, 0x8080808080808080
	for w := range row {
		part := stages[w*64 : min((w+1)*64, len(stages))]
		var word uint64
		j := 0
		for ; j+8 <= len(part); j += 8 {
			// The top bit of a byte tells; the product gathers those of eight.
			top := (binary.LittleEndian.Uint64(part[j:]) + ones*uint64(128-stage)) & tops
			word |= (top >> 7 * 0x0102040810204080 >> 56) << j
		}
		for ; j < len(part); j++ {
			word |= uint64(bit(part[j] >= stage)) << j
		}
		row[w] = word
	}
}

// onesAt makes bytes of the last eight bits of a word, of 1 and 0: the byte repeated, of each
// repetition another bit.
func onesAt(word uint64) uint64 {
	own := word & 0xff * 0x0101010101010101 & 0x8040201008040201
	return (own + 0x7f7f7f7f7f7f7f7f) >> 7 & 0x0101010101010101
}

// writeBytes writes a byte for each cell of a row: in for those of the set, 0 for others.
func writeBytes(to []uint8, row []uint64, in uint8) {
	for w, word := range row {
		part := to[w*64 : min((w+1)*64, len(to))]
		if word == 0 {
			clear(part)
			continue
		}
		j := 0
		for ; j+8 <= len(part); j += 8 {
			binary.LittleEndian.PutUint64(part[j:], onesAt(word>>j)*uint64(in))
		}
		for ; j < len(part); j++ {
			part[j] = uint8(word>>j&1) * in
		}
	}
}

// setBytes writes a byte for the cells of a row that are of a set, and leaves others.
func setBytes(to []uint8, row []uint64, in uint8) {
	for w, word := range row {
		if word == 0 {
			continue
		}
		part := to[w*64 : min((w+1)*64, len(to))]
		j := 0
		for ; j+8 <= len(part); j += 8 {
			ones := onesAt(word >> j)
			binary.LittleEndian.PutUint64(part[j:], binary.LittleEndian.Uint64(part[j:])&^(ones*0xff)|ones*uint64(in))
		}
		for ; j < len(part); j++ {
			if word>>j&1 != 0 {
				part[j] = in
			}
		}
	}
}
