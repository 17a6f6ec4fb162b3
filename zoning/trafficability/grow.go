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

// grow marks in dst every cell within a disc of one that src marks. outside says
// that what lies beyond the window counts as marked. It is exact: rows of marks, 64 to
// a word, are widened by what the disc has at each distance and laid over the rows so
// far away. dst and src may be the same.
func (l *lie) grow(dst, src []bool, d disc, outside bool, s *spare) {
	if len(d.half) == 0 {
		copy(dst, src)
		return
	}
	words := (l.cols + 63) / 64
	s.fit(words, l.rows)
	for r := range l.rows {
		s.watch.Did(l.cols)
		row := s.row
		pack(row, src[r*l.cols:][:l.cols])
		if isZero(row) {
			continue
		}
		s.watch.Did(len(d.half) * words)
		for v, half := range d.half {
			wide := widen(s.wide, row, s.shifted, half)
			if r >= v {
				orInto(s.out[(r-v)*words:][:words], wide)
			}
			if v > 0 && r+v < l.rows {
				orInto(s.out[(r+v)*words:][:words], wide)
			}
		}
	}
	for r := range l.rows {
		out := dst[r*l.cols:][:l.cols]
		unpack(out, s.out[r*words:][:words])
		if !outside {
			continue
		}
		// Beyond the first and last rows, and columns.
		if away := min(r, l.rows-1-r) + 1; away < len(d.half) {
			fill(out)
		}
		fill(out[:min(d.half[0], l.cols)])
		fill(out[max(l.cols-d.half[0], 0):])
	}
}

// spare is memory for grow, and watches for whom it is done.
type spare struct {
	row, wide, shifted, out []uint64
	watch                   *beside.Watch
}

func (s *spare) fit(words, rows int) {
	if len(s.row) != words || len(s.out) != words*rows {
		s.row, s.wide, s.shifted = make([]uint64, words), make([]uint64, words), make([]uint64, words)
		s.out = make([]uint64, words*rows)
		return
	}
	clear(s.out)
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
		switch w {
		case 0:
			clear(part)
		case math.MaxUint64:
			fill(part)
		default:
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

// widen marks what lies within half columns of a mark of a row, in wide. A row that is
// widened by n may be widened by up to n+1 more at once without a gap: of a mark at the end
// of the row one side is left only.
func widen(wide, row, shifted []uint64, half int) []uint64 {
	copy(wide, row)
	for n := 0; n < half; {
		step := min(n+1, half-n)
		copy(shifted, wide)
		shift(wide, shifted, step)
		n += step
	}
	return wide
}

// shift lays a row over another, moved by n columns either way.
func shift(dst, src []uint64, n int) {
	skip, bits := n/64, n%64
	for i := range dst {
		if j := i - skip; j >= 0 {
			dst[i] |= src[j] << bits
			if j > 0 && bits > 0 {
				dst[i] |= src[j-1] >> (64 - bits)
			}
		}
		if j := i + skip; j < len(src) {
			dst[i] |= src[j] >> bits
			if j+1 < len(src) && bits > 0 {
				dst[i] |= src[j+1] << (64 - bits)
			}
		}
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
	out := make([]bool, len(marks))
	l.grow(out, marks, l.disc(metres, atLeast), false, &spare{})
	return out, nil
}
