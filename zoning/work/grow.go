package work

import (
	"math"

	"github.com/acreband/acreband/terrain"
)

// bound says on which side a distance may be out where a grid's axes are not square
// on the ground, and whether cells at the very distance count.
type bound int

const (
	atLeast bound = iota // every cell nearer than the radius, for what is kept from
	atMost               // no cell beyond the radius, for what is reached
)

// disc is the cells around one that lie within a radius of it: half[v] is how many
// columns to either side, v rows away; -1 where there are none.
type disc struct{ half []int }

func (l *lie) disc(radiusM float64, b bound) disc {
	e, g, r2 := l.e, l.g, radiusM*radiusM
	if b == atLeast {
		e, g = e*(1-l.skew()), g*(1-l.skew())
	} else {
		e, g = e*(1+l.skew()), g*(1+l.skew())
	}
	var d disc
	for v := 0; ; v++ {
		left := (r2 - g*float64(v*v)) / e
		w := int(math.Floor(math.Sqrt(max(left, 0)) * (1 + 1e-12)))
		if b == atLeast && float64(w*w) >= left*(1-1e-12) {
			w-- // not nearer
		}
		if left < 0 || w < 0 {
			return d
		}
		d.half = append(d.half, w)
	}
}

// grow marks in dst every cell within a disc of one that src marks. outside says
// that what lies beyond the window counts as marked. It takes time linear in the
// cells whatever the radius: rows to the nearest mark in each column, then runs along
// each row, which is exact. rowsTo is scratch. dst and src may be the same.
func (l *lie) grow(dst, src []bool, d disc, outside bool, rowsTo []uint16) {
	if len(d.half) == 0 {
		copy(dst, src)
		return
	}
	far := min(len(d.half), math.MaxUint16)
	beyond := uint16(far)
	if outside {
		beyond = 1
	}
	l.rowsToMark(rowsTo, src, uint16(far), beyond)
	for r := range l.rows {
		row, out := rowsTo[r*l.cols:][:l.cols], dst[r*l.cols:][:l.cols]
		until := -1
		if outside {
			until = d.half[0] - 1
		}
		for c, v := range row {
			if int(v) < far {
				until = max(until, c+d.half[v])
			}
			out[c] = c <= until
		}
		from := l.cols
		if outside {
			from -= d.half[0]
		}
		for c := l.cols - 1; c >= 0; c-- {
			if v := row[c]; int(v) < far {
				from = min(from, c-d.half[v])
			}
			out[c] = out[c] || c >= from
		}
	}
}

// rowsToMark is how many rows each cell is from the nearest mark in its column, far
// where there is none nearer.
func (l *lie) rowsToMark(rowsTo []uint16, src []bool, far, beyond uint16) {
	for r := range l.rows {
		row, marks := rowsTo[r*l.cols:][:l.cols], src[r*l.cols:][:l.cols]
		for c, marked := range marks {
			v := beyond
			if r > 0 {
				v = min(rowsTo[(r-1)*l.cols+c]+1, far)
			}
			if marked {
				v = 0
			}
			row[c] = v
		}
	}
	for r := l.rows - 1; r >= 0; r-- {
		row := rowsTo[r*l.cols:][:l.cols]
		for c := range row {
			v := beyond
			if r+1 < l.rows {
				v = min(rowsTo[(r+1)*l.cols+c]+1, far)
			}
			row[c] = min(row[c], v)
		}
	}
}

// Near marks the cells of a window whose middles lie within a distance of those of
// marked ones.
func Near(g *terrain.Grid, marks []bool, metres float64) []bool {
	l := lieOf(g)
	out := make([]bool, len(marks))
	l.grow(out, marks, l.disc(metres, atLeast), false, make([]uint16, len(marks)))
	return out
}
