package trafficability

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// bound says on which side a distance may be out where a grid's axes are not square
// on the ground, and whether cells at the very distance count.
type bound int

const (
	atLeast bound = iota // every cell nearer than the radius, for what is kept from
	atMost               // no cell beyond the radius, for what is reached
)

// disc is the cells around one that lie within a radius of it: half[v] is how many
// columns to either side, v rows away.
type disc struct{ half []int }

func (l *lie) disc(radiusM float64, b bound) disc {
	const tie = 1e-12 // rounding does not decide about a cell at the very distance
	e, g, r2 := l.e, l.g, radiusM*radiusM
	if b == atLeast {
		e, g, r2 = e*(1-l.skew()), g*(1-l.skew()), r2*(1-tie)
	} else {
		e, g, r2 = e*(1+l.skew()), g*(1+l.skew()), r2*(1+tie)
	}
	var d disc
	for v := 0; v <= l.rows; v++ { // it need not be larger than the window
		left := (r2 - g*float64(v*v)) / e
		if !(left >= 0) {
			break
		}
		d.half = append(d.half, int(min(math.Sqrt(left), float64(l.cols))))
	}
	return d
}

// grow makes dst, another set than src, every cell within a disc of one of src. outside says
// that what lies beyond the window counts as of src. It is exact: rows, 64 cells to a word, are
// widened by what the disc has at each distance and laid over the rows so far away.
func (l *lie) grow(dst, src cellSet, d disc, outside bool, s *spare) {
	if len(d.half) == 0 {
		copy(dst.bits, src.bits)
		return
	}
	clear(dst.bits)
	s.fit(src.words)
	for r := range l.rows {
		s.watch.Did(l.cols)
		row := src.row(r)
		if isZero(row) {
			continue
		}
		s.watch.Did(len(d.half) * src.words)
		copy(s.wide, row)
		for v, by := len(d.half)-1, 0; v >= 0; v-- { // the farthest rows are widened least
			widen(s.wide, by, d.half[v])
			by = d.half[v]
			if r >= v {
				orInto(dst.row(r-v), s.wide)
			}
			if v > 0 && r+v < l.rows {
				orInto(dst.row(r+v), s.wide)
			}
		}
	}
	last := src.inRow(src.words - 1)
	for r := range l.rows {
		row := dst.row(r)
		if outside {
			// Beyond the first and last rows, and columns.
			if away := min(r, l.rows-1-r) + 1; away < len(d.half) {
				fillEnds(row, l.cols, l.cols)
			}
			fillEnds(row, l.cols, d.half[0])
		}
		row[len(row)-1] &= last
	}
}

// spare is memory for grow, and watches for whom it is done.
type spare struct {
	wide  []uint64 // of a row
	watch *beside.Watch
}

func (s *spare) fit(words int) {
	if len(s.wide) != words {
		s.wide = make([]uint64, words)
	}
}

// fillEnds fills the first and the last columns of a row.
func fillEnds(row []uint64, cols, columns int) {
	for c := range min(columns, cols) {
		row[c/64] |= 1 << (c % 64)
		row[(cols-1-c)/64] |= 1 << ((cols - 1 - c) % 64)
	}
}

func pack(row []uint64, marks []bool) {
	for i := range row {
		part := marks[i*64 : min((i+1)*64, len(marks))]
		var w uint64
		j := 0
		for ; j+8 <= len(part); j += 8 {
			m := part[j : j+8 : j+8]
			eight := bit(m[0]) | bit(m[1])<<1 | bit(m[2])<<2 | bit(m[3])<<3 | bit(m[4])<<4 | bit(m[5])<<5 | bit(m[6])<<6 | bit(m[7])<<7
			w |= uint64(eight) << j
		}
		for ; j < len(part); j++ {
			w |= uint64(bit(part[j])) << j
		}
		row[i] = w
	}
}

func unpack(marks []bool, row []uint64) {
	for i, w := range row {
		part := marks[i*64 : min((i+1)*64, len(marks))]
		if w == 0 {
			clear(part)
			continue
		}
		j := 0
		for ; j+8 <= len(part); j += 8 {
			m, eight := part[j:j+8:j+8], w>>j
			m[0], m[1], m[2], m[3] = eight&1 != 0, eight&2 != 0, eight&4 != 0, eight&8 != 0
			m[4], m[5], m[6], m[7] = eight&16 != 0, eight&32 != 0, eight&64 != 0, eight&128 != 0
		}
		for ; j < len(part); j++ {
			part[j] = w>>j&1 != 0
		}
	}
}

func fill(marks []bool) {
	for i := range marks {
		marks[i] = true
	}
}

func isZero(row []uint64) bool {
	for _, w := range row {
		if w != 0 {
			return false
		}
	}
	return true
}

func orInto(dst, src []uint64) {
	for i, w := range src {
		dst[i] |= w
	}
}

// widen adds to a row, which was widened by some columns either way before, what it takes to be
// widened by so many in all. It may be widened by one more than it was at once without a gap: of
// a cell at the end of the row one side is left only.
func widen(row []uint64, was, half int) {
	for n := was; n < half; {
		step := min(n+1, half-n, 63)
		var before uint64 // as it was
		for i, word := range row {
			wide := word | word<<step | word>>step | before>>(64-step)
			if i+1 < len(row) {
				wide |= row[i+1] << (64 - step)
			}
			row[i], before = wide, word
		}
		n += step
	}
}

// Near marks the cells of a window whose middles lie within a distance of those of
// marked ones, one mark a cell.
func Near(g *terrain.Grid, marks []bool, metres float64) ([]bool, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	if n := g.Cols * g.Rows; len(marks) != n {
		return nil, fmt.Errorf("%d marks for %d cells", len(marks), n)
	}
	if !(metres >= 0) {
		return nil, fmt.Errorf("cells within %g m of others are none; write 0 m or more", metres)
	}
	l := lieOf(g)
	near := l.noCells()
	l.grow(near, l.cellsOf(marks), l.disc(metres, atLeast), false, &spare{})
	return l.marked(near), nil
}
